package cli

import (
	"bytes"
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/design"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/report"
)

func TestVaryJSONReadsBack(t *testing.T) {
	t.Parallel()
	code, out, errOut := run(t, "vary", "demo", "store.mass", "90 g", "110 g", "--steps", "2", "--samples", "20", "--json")
	var v predict.Variation
	if err := report.ReadJSON([]byte(out), &v); err != nil {
		t.Fatal(err)
	}
	if code != exitDone || errOut != "" || len(v.Points) != 2 || v.Axes[0].Values[1] != 0.11 || !(v.Points[1].Band.Median > v.Points[0].Band.Median) {
		t.Errorf("exit code %d, %s, %+v", code, errOut, v)
	}
}

func TestInterruptKeepsWhatWasVaried(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	var out strings.Builder
	screen := &impatient{interrupt: cancel}
	s := &session{ctx: ctx, out: &output{w: &out}, err: screen, terminal: true}
	code := s.run([]string{"vary", "demo", "stand.wall.cavities", "1", "3", "--samples", "20000", "--json"})
	var v predict.Variation
	if err := report.ReadJSON([]byte(out.String()), &v); err != nil {
		t.Fatal(err)
	}
	if code != exitInterrupted || v.Samples == 0 || v.Samples >= 20000 || !bytes.Contains(screen.shown.Bytes(), []byte("interrupted")) {
		t.Errorf("exit code %d, %d samples, %q", code, v.Samples, screen.shown.String())
	}
}

func TestRangeHoldsItsEndsAndThePresentValue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := knobRange{knob: design.Knob{Kind: quantity.Mass}, lo: rapid.Float64Range(-10, 10).Draw(t, "lo")}
		r.hi = r.lo + rapid.Float64Range(1e-3, 1000).Draw(t, "width")
		now := rapid.Float64Range(-20, 1200).Draw(t, "now")
		steps := rapid.IntRange(leastSteps, mostSteps).Draw(t, "steps")
		got, err := r.values(steps, true, now)
		if err != nil {
			t.Fatal(err)
		}
		inside := now > r.lo && now < r.hi
		if got[0] != r.lo && got[0] != now || got[len(got)-1] != r.hi && got[len(got)-1] != now || !slices.IsSorted(got) ||
			len(got) < steps || len(got) > steps+1 || inside && !slices.Contains(got, now) {
			t.Fatalf("%v for %g to %g, now %g", got, r.lo, r.hi, now)
		}
	})
}

func TestRangeSpacing(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		r     knobRange
		steps int
		want  []float64
	}{
		{knobRange{design.Knob{Kind: quantity.Mass}, 1, 3}, 3, []float64{1, 2, 3}},
		{knobRange{design.Knob{Kind: quantity.Mass}, 1, 100}, 3, []float64{1, 10, 100}},
		{knobRange{design.Knob{Kind: quantity.Mass}, 0, 100}, 3, []float64{0, 50, 100}},
		{knobRange{design.Knob{Count: true}, 1, 100}, 4, []float64{1, 34, 67, 100}},
		{knobRange{design.Knob{Count: true}, 1, 3}, 7, []float64{1, 2, 3}},
	} {
		got, err := c.r.values(c.steps, true, math.NaN())
		same := slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })
		if err != nil || !same {
			t.Errorf("%v for %+v in %d steps: %v", got, c.r, c.steps, err)
		}
	}
}

func TestJoinUnits(t *testing.T) {
	t.Parallel()
	for typed, want := range map[string]string{
		"demo|a|0.8|mm|2|mm":     "demo|a|0.8 mm|2 mm",
		"demo|a|-6|degC|-2 degC": "demo|a|-6 degC|-2 degC",
		"demo|a|1|3|b|1|W/K|2":   "demo|a|1|3|b|1 W/K|2",
		"demo|a|1|3":             "demo|a|1|3",
	} {
		if got := strings.Join(joinUnits(strings.Split(typed, "|")), "|"); got != want {
			t.Errorf("%q became %q, want %q", typed, got, want)
		}
	}
}
