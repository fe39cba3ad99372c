package calibrate

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"meltspan/design"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/trial"
)

// Valid reports what is wrong with a posterior that was read from somewhere.
func (p *Posterior) Valid() error {
	switch {
	case len(p.Columns) == 0 || len(p.Draws) < leastKnown:
		return fmt.Errorf("it holds %d unknowns and %d draws; a calibration holds some of the one and %d of the other at least", len(p.Columns), len(p.Draws), leastKnown)
	case len(p.Trials) == 0:
		return errors.New("it names no trials")
	}
	for i, row := range p.Draws {
		if len(row) != len(p.Columns) {
			return fmt.Errorf("draw %d holds %d values for %d unknowns", i+1, len(row), len(p.Columns))
		}
		for k, z := range row {
			if math.IsNaN(z) || math.Abs(z) > 50 {
				return fmt.Errorf("draw %d of %s is %g", i+1, p.Columns[k].name(), z)
			}
		}
	}
	return nil
}

// leastKnown is how many draws make a distribution.
const leastKnown = 20

// Holds reports whether a trial is among those that the posterior learned from.
func (p *Posterior) Holds(name string) bool {
	for i := range p.Trials {
		if p.Trials[i].Name == name {
			return true
		}
	}
	return false
}

// Known is the posterior as draws of the inputs of one design, for package
// predict and what builds on it: of those that outlast a trial and that the
// trials had. The paces are what the model gets wrong of all times of the
// design, as far as trials of it have taught that, and of one trial of it.
func (p *Posterior) Known(d *design.Design, seed uint64) (*predict.Draws, error) {
	s := &subject{trial: &trial.Trial{Name: "a trial to come of " + d.Name}, design: d.Clone(), revision: d.Revision(), cold: d.ColdStore()}
	columns, err := assign(p.Columns, []*subject{s}, p.Discrepancy)
	if err != nil {
		return nil, err
	}
	out := &predict.Draws{Deviates: true}
	var from []int
	for i := range s.unknowns {
		if c := s.columns[i]; c < len(p.Columns) && !columns[c].Own {
			out.Paths, from = append(out.Paths, columns[c].Path), append(from, c)
		}
	}
	if len(from) == 0 {
		return nil, fmt.Errorf("the trials taught nothing about any input of %s", d.Name)
	}
	source := rand.New(rand.NewPCG(seed, 0x6b6e6f77))
	for _, draw := range p.Draws {
		row := make([]float64, len(from))
		for k, c := range from {
			row[k] = draw[c]
		}
		pace := source.NormFloat64()
		if s.pace[0] < len(p.Columns) {
			pace = draw[s.pace[0]]
		}
		out.Rows = append(out.Rows, row)
		out.Pace = append(out.Pace, math.Exp(s.paceSize[0]*pace))
		out.Repeat = append(out.Repeat, math.Exp(s.paceSize[1]*source.NormFloat64()))
	}
	return out, nil
}

// Unlike says which of the inputs that trials taught something about a design
// states otherwise than the designs of the trials did. What was learned is
// carried over as so many standard deviations of what a design states, so for
// these it is no longer the same statement.
func (p *Posterior) Unlike(d *design.Design) []string {
	var out []string
	for _, in := range d.Quantities() {
		for i := range p.Unknowns {
			u := &p.Unknowns[i]
			if u.Path != in.Path || u.Own || in.Own || u.Spread > narrowed && math.Abs(u.Shift) < 0.3 || alike(u.Value, in.Value) {
				continue
			}
			out = append(out, fmt.Sprintf("%s: %s in %s, %s where it was learned",
				in.Path, quantity.FormatValue(in.Value, in.Kind), d.Name, quantity.FormatValue(u.Value, u.Kind)))
			break
		}
	}
	return out
}

// alike reports whether two statements are the same but for rounding.
func alike(a, b quantity.Value) bool {
	near := func(x, y float64) bool { return math.Abs(x-y) <= 1e-3*math.Max(math.Abs(x), math.Abs(y)) }
	return near(a.SI, b.SI) && near(a.Spread, b.Spread)
}
