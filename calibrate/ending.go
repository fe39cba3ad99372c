package calibrate

import (
	"context"
	"fmt"
	"math"
	"sort"

	"meltspan/trial"
)

// ending is one way the trial may end.
type ending struct{ stall, ice float64 }

// soonAfter is how much longer the run of a member may go on than its load before
// the ice that is left then is melted by a run of its own.
const soonAfter = 1.03

// endings draws members by weight, and for each the difference at which its load
// stalls, as far as it has not by now.
func (f *Forecaster) endings(ctx context.Context, in *inference, all []particle, weights []float64) ([]ending, error) {
	s, w := in.subjects[0], in.whole()
	var out []ending
	var late []task // of those whose ice outlasts their load: it stands still then
	var at []int
	again := make([]drawn, len(all))
	exact := *s
	exact.keep, exact.anchored, exact.floor, exact.features = false, false, 0, nil // its runs are held against nothing
	for i, p := range resample(all, weights, len(all), f.source) {
		done := w.complete(&p, f.source)
		z := in.deviates(done.row)
		r := s.read(done.runs[0].run, done.runs[0].lasting, done.runs[0].late, z)
		if r.lasting == nil && s.floor > 0 && r.runTime < s.floor {
			continue // it would have stalled by now
		}
		if r.lasting != nil && (math.IsNaN(r.last) || r.last > r.runTime) && s.stalledFirst == 0 && r.lasting.longest() > soonAfter*r.lasting.stalls(s.stallSize*s.stallShift(z)) {
			late, at = append(late, task{&exact, z, &again[i]}), append(at, len(out))
		}
		out = append(out, ending{r.runTime, r.last})
	}
	if err := runAll(ctx, late); err != nil {
		return nil, err
	}
	in.runs += len(late)
	for i, t := range late {
		out[at[i]].ice = t.out.last
	}
	return out, nil
}

// sum puts the forecast together.
func (f *Forecaster) sum(ctx context.Context, in *inference, now float64, all []particle, weights []float64) (*Forecast, error) {
	endings, err := f.endings(ctx, in, all, weights)
	if err != nil {
		return nil, err
	}
	s := in.subjects[0]
	out := &Forecast{Trial: s.trial.Name, Now: now, Members: len(all), Runs: f.runs + in.runs, Features: len(s.features), Seed: f.o.Seed, Assumed: f.assumed}
	out.Size = effectiveShare(weights) * f.worth
	if len(endings) == 0 {
		out.Size = 0
		out.Cautions = append(out.Cautions, "No run of the model goes on as long as this trial has: it lies outside what design and discrepancy allow. Nothing can be foretold.")
		none := Interval{math.NaN(), math.NaN(), math.NaN()}
		out.Stall, out.LastIce = none, none
		return out, nil
	}
	if out.Size < leastForBand {
		out.Cautions = append(out.Cautions, fmt.Sprintf("Few of the members fit the log (%.0f effective): the band is rough.", out.Size))
	}
	kept := float64(len(endings))
	var ice []float64
	for _, e := range endings {
		out.StallTimes = append(out.StallTimes, e.stall)
		if math.IsNaN(e.ice) || e.ice > e.stall {
			out.IceAfter += 1 / kept
		}
		if !math.IsNaN(e.ice) {
			ice = append(ice, e.ice*math.Exp(f.assumed.LastIce*f.source.NormFloat64()))
		}
	}
	out.Stall = foretold(out.StallTimes, out.Size)
	out.LastIce = foretold(ice, out.Size*float64(len(ice))/kept)
	if e := s.trial.Event(trial.Stalled); e != nil && e.Time <= now {
		out.Stalled = true
		half := tail * stated(e.Uncertainty, f.assumed.Stopwatch)
		out.Stall = Interval{e.Time - half, e.Time, e.Time + half}
		for i := range out.StallTimes {
			out.StallTimes[i] = e.Time + stated(e.Uncertainty, f.assumed.Stopwatch)*f.source.NormFloat64()
		}
	}
	if e := s.trial.Event(trial.IceGone); e != nil && e.Time <= now {
		out.IceGone = true
		half := tail * stated(e.Uncertainty, f.assumed.Stopwatch)
		out.LastIce = Interval{e.Time - half, e.Time, e.Time + half}
	}
	out.Question = f.answer(out.StallTimes)
	return out, nil
}

// leastForBand is how many independent draws have one below their 5 % quantile:
// with fewer, a band's ends are no better than the outermost of them.
const leastForBand = 1/0.05 - 1

// foretold is the interval in which the next of so many independent draws lies
// with 90 %: it falls below the i-th of n with a chance of i/(n+1), whatever they
// are distributed by (Hyndman and Fan, The American Statistician 50 (1996) 361,
// type 6), so that the ends lie a little further out than those of a posterior
// that is known through and through.
func foretold(values []float64, independent float64) Interval {
	sorted := append([]float64(nil), values...)
	sort.Float64s(sorted)
	at := func(p float64) float64 { return quantileOf(sorted, (p*(independent+1)-0.5)/independent) }
	return Interval{at(0.05), at(0.5), at(0.95)}
}

// answer weighs the question by the members.
func (f *Forecaster) answer(times []float64) *Question {
	if f.question == nil {
		return nil
	}
	q := *f.question
	for _, t := range times {
		if t > q.Time+q.Uncertainty*f.source.NormFloat64() {
			q.Longer += 1 / float64(len(times))
		}
	}
	switch {
	case q.Longer >= q.Confidence:
		q.Decided, q.Verdict = true, "longer"
	case q.Longer <= 1-q.Confidence:
		q.Decided, q.Verdict = true, "shorter"
	default:
		q.Verdict = "open"
	}
	return &q
}
