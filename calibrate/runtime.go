package calibrate

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"meltspan/design"
	"meltspan/result"
	"meltspan/trial"
)

// Prediction is the run time of a design before and after what trials taught.
type Prediction struct {
	Design       string      `json:"design"`
	Revision     string      `json:"revision"`
	Prior        Interval    `json:"prior_run_time_s"`
	Posterior    Interval    `json:"posterior_run_time_s"`
	LastIce      Interval    `json:"posterior_last_ice_s"` // of the draws in which it comes; NaN when in none
	NeverStarted float64     `json:"share_never_started"`  // of the posterior
	StillRunning float64     `json:"share_still_running"`
	Draws        int         `json:"draws"`
	Seed         uint64      `json:"seed"`
	Assumed      Discrepancy `json:"assumed_discrepancy"`

	PriorTimes     []float64 `json:"prior_times_s"`
	PosteriorTimes []float64 `json:"posterior_times_s"`
}

// PredictOptions of a prediction. The zero value is right.
type PredictOptions struct {
	Draws    int    // runs of each of the two distributions; 0: 400
	Seed     uint64 // 0: 1
	Progress func(done, of int)
}

// Predict gives the run time of a design, of a trial of it still to come, by
// the prior and by the posterior on the same random numbers. The design may be
// another than those tried: what they share carries over. Both hold the
// discrepancy of design and trial.
func (p *Posterior) Predict(ctx context.Context, d *design.Design, o PredictOptions) (*Prediction, error) {
	return p.predict(ctx, d, d.Revision(), o)
}

// predict is Predict for a design as some trial arranged it; revision is that of
// the design as it is written.
func (p *Posterior) predict(ctx context.Context, d *design.Design, revision string, o PredictOptions) (*Prediction, error) {
	if o.Draws <= 0 {
		o.Draws = 400
	}
	if o.Seed == 0 {
		o.Seed = 1
	}
	s := &subject{trial: &trial.Trial{Name: "a trial to come of " + d.Name}, design: d.Clone(), revision: revision, cold: d.ColdStore()}
	columns, err := assign(p.Columns, []*subject{s}, p.Discrepancy)
	if err != nil {
		return nil, err
	}
	if len(p.Draws) == 0 {
		return nil, fmt.Errorf("calibrate: the posterior holds no draws")
	}
	source := rand.New(rand.NewPCG(o.Seed, 0x72756e74))
	out := &Prediction{Design: d.Name, Revision: s.revision, Draws: o.Draws, Seed: o.Seed, Assumed: p.Discrepancy}
	var before, after []drawn
	for done := 0; done < o.Draws; {
		batch := min(50, o.Draws-done)
		if o.Progress != nil {
			o.Progress(done, o.Draws)
		}
		got := make([]drawn, 2*batch)
		var tasks []task
		for i := range batch {
			fresh := make([]float64, len(columns))
			for c := range fresh {
				fresh[c] = source.NormFloat64()
			}
			known := append([]float64(nil), fresh...)
			copy(known, p.Draws[(done+i)*len(p.Draws)/o.Draws])
			tasks = append(tasks, task{s, fresh, &got[2*i]}, task{s, known, &got[2*i+1]})
		}
		if err := runAll(ctx, tasks); err != nil {
			return nil, err
		}
		for i := range batch {
			before, after = append(before, got[2*i]), append(after, got[2*i+1])
		}
		done += batch
	}
	out.PriorTimes, out.PosteriorTimes = timesOf(before), timesOf(after)
	out.Prior, out.Posterior = intervalOf(out.PriorTimes), intervalOf(out.PosteriorTimes)
	var last []float64
	for _, r := range after {
		if !math.IsNaN(r.last) {
			last = append(last, r.last)
		}
		switch r.end {
		case result.EndNeverStarted:
			out.NeverStarted += 1 / float64(o.Draws)
		case result.EndHorizon:
			out.StillRunning += 1 / float64(o.Draws)
		}
	}
	out.LastIce = intervalOf(last)
	return out, nil
}

func timesOf(runs []drawn) []float64 {
	out := make([]float64, len(runs))
	for i := range runs {
		out[i] = runs[i].runTime
	}
	return out
}

func intervalOf(values []float64) Interval {
	low, middle, high := quantiles(values)
	return Interval{low, middle, high}
}

// HalfWidth is half the width of the interval as a share of its median.
func (i Interval) HalfWidth() float64 { return (i.High - i.Low) / 2 / i.Median }

// Holds reports whether a value lies in the interval.
func (i Interval) Holds(v float64) bool { return v >= i.Low && v <= i.High }

// InTrial is a case's design as it was set up in its trial and in its trial's
// room, for predictions of what that trial should have given.
func InTrial(c Case, a Discrepancy) (*design.Design, error) { return prepared(c, a) }
