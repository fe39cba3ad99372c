package predict

import (
	"context"
	"fmt"
	"math"

	"meltspan/design"
)

// roster lines designs up for a sweep on common draws: an input that several
// of them have takes the same column, whatever its value in each.
type roster struct {
	cold     bool // the store of the design that the others are variations of
	column   map[string]int
	subjects []subject
}

func newRoster(nominal *design.Design) *roster {
	return &roster{cold: nominal.ColdStore(), column: map[string]int{}}
}

func (r *roster) add(d *design.Design) error {
	vs, err := variables(d)
	if err != nil {
		return err
	}
	s := subject{design: d, variables: vs, cold: r.cold}
	for _, v := range vs {
		c, known := r.column[v.Path]
		if !known {
			c = len(r.column)
			r.column[v.Path] = c
		}
		s.columns = append(s.columns, c)
	}
	r.subjects = append(r.subjects, s)
	return nil
}

func (r *roster) sweep(ctx context.Context, o Options) [][]outcome {
	return sweep(ctx, r.subjects, deviates(o.Samples, len(r.column), o.Seed), o.Horizon, o.Progress)
}

// Ranked is the run time of one of several designs on common draws.
type Ranked struct {
	Band     Band    `json:"band"`
	Early    float64 `json:"share_stalled_early"`
	Quantile float64 `json:"quantile_s"`
	Longer   float64 `json:"share_longer_than_first"` // of the draws; ties count half
}

// Bands runs designs, all variations of a first one, on the same draws of all
// that is uncertain, and gives for each its band and the given quantile of its
// run time. When the context is cancelled it returns what was computed so far,
// together with the context's error; the designs then have the same draws
// still.
func Bands(ctx context.Context, nominal *design.Design, designs []*design.Design, quantileAt float64, o Options) ([]Ranked, error) {
	o.complete()
	r := newRoster(nominal)
	for _, d := range designs {
		if err := r.add(d); err != nil {
			return nil, err
		}
	}
	out := make([]Ranked, len(designs))
	all := r.sweep(ctx, o)
	for i, rows := range all {
		out[i].Longer = longer(all[0], rows)
		out[i].Band, _ = runBands(rows, o.Seed)
		out[i].Early = shareOf(rows, func(x *outcome) bool { return x.early(r.cold) || x.runTime == 0 })
		out[i].Quantile = quantileOf(rows, quantileAt)
	}
	return out, ctx.Err()
}

// longer is the share of the draws in which b runs longer than a.
func longer(a, b []outcome) float64 {
	count, pairs := 0.0, 0.0
	for i := range a {
		if !a[i].done || !b[i].done {
			continue
		}
		pairs++
		switch {
		case b[i].runTime > a[i].runTime:
			count++
		case b[i].runTime == a[i].runTime:
			count += 0.5
		}
	}
	return count / math.Max(pairs, 1)
}

func quantileOf(rows []outcome, p float64) float64 {
	var times []float64
	for _, o := range rows {
		if o.done {
			times = append(times, o.runTime)
		}
	}
	if len(times) == 0 {
		return math.NaN()
	}
	return Quantile(times, p)
}

// CheckQuantile says why a quantile cannot be had from so many samples: an
// extreme one needs a sample beyond it.
func CheckQuantile(p float64, samples int) error {
	if least := 1 / math.Min(p, 1-p); !(p > 0 && p < 1) || float64(samples) < least {
		return fmt.Errorf("a quantile of %g needs %.0f samples at least", p, math.Ceil(least))
	}
	return nil
}
