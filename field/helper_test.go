package field

import (
	"math"
	"testing"
)

func near(t *testing.T, name string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.10g, want %.10g within %g", name, got, want, tolerance)
	}
}

func graded(t *testing.T, finest, growth, widest float64, marks ...float64) []float64 {
	t.Helper()
	e, err := Graded(marks, finest, growth, widest)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func steady(t *testing.T, p *Problem) *SteadyField {
	t.Helper()
	f, err := Steady(t.Context(), p, SteadyOptions{})
	if err != nil {
		t.Fatal(err)
	}
	closes(t, &f.Ledger)
	return f
}

func transient(t *testing.T, p *Problem, start State, o TransientOptions) *TransientField {
	t.Helper()
	f, err := Transient(t.Context(), p, start, o)
	if err != nil {
		t.Fatal(err)
	}
	closes(t, &f.Ledger)
	return f
}

// closes: energy closes to 1e-6 of all heat that crossed a face.
func closes(t *testing.T, l *Ledger) {
	t.Helper()
	if !(math.Abs(l.Residual()) <= 1e-6*l.Turnover()) {
		t.Errorf("ledger leaves %g of %g", l.Residual(), l.Turnover())
	}
}

func (f *Field) read(t *testing.T, x, y, z float64) float64 {
	t.Helper()
	v, err := f.At([3]float64{x, y, z})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

const celsius = 273.15
