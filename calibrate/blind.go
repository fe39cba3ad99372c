package calibrate

import (
	"context"
	"math"

	"meltspan/trial"
)

// Blind is a trial predicted by what other trials taught, beside what was seen
// of it. The prediction has the trial's design, settings and logged room, and
// nothing of what came of it.
type Blind struct {
	Trial       string      `json:"trial"`
	Seen        float64     `json:"run_time_s"` // NaN when no stall was seen
	Uncertainty float64     `json:"run_time_uncertainty_s"`
	Held        bool        `json:"held"`       // the run time seen lies in the band
	HalfWidth   float64     `json:"half_width"` // of the band, as a share of its median
	Prediction  *Prediction `json:"prediction"`
}

// Foretell predicts a trial that the posterior has not learned from.
func (p *Posterior) Foretell(ctx context.Context, c Case, o PredictOptions) (*Blind, error) {
	d, err := prepared(c, p.Discrepancy)
	if err != nil {
		return nil, err
	}
	out := &Blind{Trial: c.Trial.Name, Seen: math.NaN()}
	if out.Prediction, err = p.predict(ctx, d, c.Design.Revision(), o); err != nil {
		return nil, err
	}
	out.HalfWidth = out.Prediction.Posterior.HalfWidth()
	if e := c.Trial.Event(trial.Stalled); e != nil {
		out.Seen, out.Uncertainty = e.Time, stated(e.Uncertainty, p.Discrepancy.Stopwatch)
		out.Held = out.Prediction.Posterior.Holds(e.Time)
	}
	return out, nil
}
