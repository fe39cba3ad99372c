package predict

import (
	"context"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"meltspan/design"
	"meltspan/network"
)

// Scenario is one draw of all that is uncertain that stands for a quantile: a
// design run on it lasts about as long as that quantile of its own band, at the
// price of one run. It is exact for the design that it was taken from and near
// for its kin; what is chosen by it is to be ranked by Bands afterwards.
type Scenario struct {
	Deviates map[string]float64 // by path of the input, in standard deviations
	Cold     bool               // the store, nominally
	Horizon  float64            // s simulated at most
}

// NewScenario finds the scenario of a quantile for a design: the direction in
// which its inputs act on the run time, by the regression that shares out the
// variance, followed as far as the run time falls (or rises) to the quantile of
// its draws. It is the design point of reliability analysis, moved along with
// the search as in sequential optimisation and reliability assessment (Du and
// Chen, Journal of Mechanical Design 126 (2004) 225-233).
func NewScenario(ctx context.Context, d *design.Design, quantileAt float64, o Options) (*Scenario, error) {
	o.complete()
	r := newRoster(d)
	if err := r.add(d); err != nil {
		return nil, err
	}
	z := deviates(o.Samples, len(r.column), o.Seed)
	rows := sweep(ctx, r.subjects, z, o.Horizon, o.Progress)[0]
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s := &Scenario{Deviates: map[string]float64{}, Cold: r.cold, Horizon: o.Horizon}
	times, all := make([]float64, len(rows)), make([]int, len(rows))
	for i := range rows {
		times[i], all[i] = rows[i].runTime, i
	}
	slope := slopes(z, all, times)
	length := 0.0
	for _, b := range slope {
		length += b * b
	}
	if length == 0 {
		return s, nil // nothing uncertain moves the run time: all draws are alike
	}
	direction := make([]float64, len(slope))
	for i, b := range slope {
		direction[i] = b / math.Sqrt(length)
	}
	want := Quantile(times, quantileAt)
	reach := s.solve(d, r.subjects[0].variables, direction, want, quantileAt)
	for i, v := range r.subjects[0].variables {
		s.Deviates[v.Path] = reach * direction[i]
	}
	return s, nil
}

// farthest is how far, in standard deviations, a scenario may lie.
const farthest = 4

// solve finds how far along the direction the run time is that wanted, by
// halving: a cliff, where an engine stops to start, is no obstacle.
func (s *Scenario) solve(d *design.Design, vs []variable, direction []float64, want, quantileAt float64) float64 {
	time := func(reach float64) float64 {
		for i, v := range vs {
			s.Deviates[v.Path] = reach * direction[i]
		}
		t, err := s.Time(d)
		if err != nil {
			return math.NaN()
		}
		return t
	}
	low, high := -farthest+0.0, farthest+0.0
	if a, b := time(low), time(high); !(a <= want && want <= b) {
		// Not on this line: as far as the quantile of a straight response.
		return distuv.UnitNormal.Quantile(quantileAt)
	}
	for range 12 {
		if middle := (low + high) / 2; time(middle) < want {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// Time is the run time, s, of a design in the scenario: zero for one that
// cannot be or does not start there.
func (s *Scenario) Time(d *design.Design) (float64, error) {
	vs, err := variables(d)
	if err != nil {
		return 0, err
	}
	own := d.Clone()
	for i := range vs {
		vs[i].set(own).SI = vs[i].at(s.Deviates[vs[i].Path])
	}
	own.Rederive()
	m, err := network.BuildDraw(own, s.Cold)
	if err != nil {
		return 0, nil // its drawn sizes leave no room, as in a band
	}
	return m.Time(network.Options{Horizon: s.Horizon}).RunTime, nil
}
