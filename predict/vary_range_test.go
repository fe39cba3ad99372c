package predict

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"meltspan/design"
	"meltspan/quantity"
)

func TestRangeHoldsItsEndsAndThePresentValue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Range{Knob: design.Knob{Kind: quantity.Mass}, Low: rapid.Float64Range(-10, 10).Draw(t, "lo")}
		r.High = r.Low + rapid.Float64Range(1e-3, 1000).Draw(t, "width")
		now := rapid.Float64Range(-20, 1200).Draw(t, "now")
		steps := rapid.IntRange(LeastSteps, MostSteps).Draw(t, "steps")
		got, err := r.Values(steps, true, now)
		if err != nil {
			t.Fatal(err)
		}
		inside := now > r.Low && now < r.High
		if got[0] != r.Low && got[0] != now || got[len(got)-1] != r.High && got[len(got)-1] != now || !slices.IsSorted(got) ||
			len(got) < steps || len(got) > steps+1 || inside && !slices.Contains(got, now) {
			t.Fatalf("%v for %g to %g, now %g", got, r.Low, r.High, now)
		}
	})
}

func TestRangeSpacing(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		r     Range
		steps int
		want  []float64
	}{
		{Range{design.Knob{Kind: quantity.Mass}, 1, 3}, 3, []float64{1, 2, 3}},
		{Range{design.Knob{Kind: quantity.Mass}, 1, 100}, 3, []float64{1, 10, 100}},
		{Range{design.Knob{Kind: quantity.Mass}, 0, 100}, 3, []float64{0, 50, 100}},
		{Range{design.Knob{Count: true}, 1, 100}, 4, []float64{1, 34, 67, 100}},
		{Range{design.Knob{Count: true}, 1, 3}, 7, []float64{1, 2, 3}},
	} {
		got, err := c.r.Values(c.steps, true, math.NaN())
		same := slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })
		if err != nil || !same {
			t.Errorf("%v for %+v in %d steps: %v", got, c.r, c.steps, err)
		}
	}
}

func TestLogarithmicFromAFactorOfTwenty(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		kind   quantity.Kind
		want   bool
	}{
		{1, 20, quantity.Mass, true}, {1, 19.9, quantity.Mass, false}, {0, 5, quantity.Mass, false},
		{10, 400, quantity.Temperature, false}, {1, 40, "", false},
	} {
		if got := Logarithmic(c.lo, c.hi, c.kind); got != c.want {
			t.Errorf("%v to %v %s: %v", c.lo, c.hi, c.kind, got)
		}
	}
}
