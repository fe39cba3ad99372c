package calibrate

import (
	"fmt"
	"math"

	"meltspan/trial"
)

// ending is one way the trial may end.
type ending struct{ stall, ice float64 }

// endings draws members by weight. Those that would have stalled by now fall
// away. Once the stall was seen the pace is not in the members and is drawn here.
func (f *Forecaster) endings(in *inference, all []particle, weights []float64) ([]ending, error) {
	s := in.subjects[0]
	w := in.whole()
	var paces *conditional
	if len(w.paces) > 0 {
		in.straightPaces(w)
		var err error
		if paces, err = in.conditional(); err != nil {
			return nil, err
		}
	}
	var out []ending
	for _, p := range resample(all, weights, len(all), f.source) {
		r := p.runs[0]
		if paces != nil {
			row := append([]float64(nil), p.row...)
			for k, v := range paces.draw(in.misfit(r.features), f.source) {
				row[in.minor[k]] = v
			}
			r = s.read(r.run, in.deviates(row))
		}
		if !(s.floor > 0 && r.runTime < s.floor) {
			out = append(out, ending{r.runTime, r.last})
		}
	}
	return out, nil
}

// sum puts the forecast together.
func (f *Forecaster) sum(in *inference, now float64, all []particle, weights []float64) (*Forecast, error) {
	endings, err := f.endings(in, all, weights)
	if err != nil {
		return nil, err
	}
	s := in.subjects[0]
	out := &Forecast{Trial: s.trial.Name, Now: now, Members: len(all), Runs: f.runs, Features: len(s.features), Seed: f.o.Seed, Assumed: f.assumed}
	out.Size = effectiveShare(weights) * float64(distinct(all))
	if len(endings) == 0 {
		out.Size = 0
		out.Cautions = append(out.Cautions, "No run of the model goes on as long as this trial has: it lies outside what design and discrepancy allow. Nothing can be foretold.")
		none := Interval{math.NaN(), math.NaN(), math.NaN()}
		out.Stall, out.LastIce = none, none
		return out, nil
	}
	if out.Size < float64(len(all))/4 {
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
	out.Stall, out.LastIce = intervalOf(out.StallTimes), intervalOf(ice)
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
