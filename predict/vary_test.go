package predict

import (
	"context"
	"errors"
	"testing"

	"meltspan/design"
	"meltspan/internal/designtest"
)

func vary(t *testing.T, d *design.Design, o Options, values map[string][]float64, order ...string) *Variation {
	t.Helper()
	var knobs []design.Knob
	var axes [][]float64
	for _, path := range order {
		k, err := d.FindKnob(path)
		if err != nil {
			t.Fatal(err)
		}
		knobs, axes = append(knobs, k), append(axes, values[path])
	}
	v, err := Vary(context.Background(), d, knobs, axes, o)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// A wider single cavity stops helping when convection starts: dividing it goes
// on helping, and each added cavity gives less than the one before.
func TestDividingTheCavityHelpsLessAndLess(t *testing.T) {
	v := vary(t, designtest.Demo(t, "engine-on-ice"), Options{Samples: 40}, map[string][]float64{"stand.wall.cavities": {1, 2, 3, 4}}, "stand.wall.cavities")
	var gains []float64
	for i := 1; i < len(v.Points); i++ {
		gains = append(gains, v.Points[i].Nominal-v.Points[i-1].Nominal)
	}
	if !(gains[0] > gains[1] && gains[1] > gains[2] && gains[2] > 0) {
		t.Errorf("gains %v s", gains)
	}
	if v.Axes[0].Now != 2 || !v.Axes[0].Count {
		t.Errorf("axis %+v", v.Axes[0])
	}
}

// An engine that draws more runs shorter, and stalls early more often.
func TestMoreIntakeStallsEarlier(t *testing.T) {
	path := "load.engine.still_conductance"
	v := vary(t, designtest.Demo(t, "engine-on-ice"), Options{Samples: 60}, map[string][]float64{path: {0.02, 0.04, 0.08}}, path)
	for i := 1; i < len(v.Points); i++ {
		if p, q := v.Points[i-1], v.Points[i]; !(q.Nominal < p.Nominal && q.Early >= p.Early) {
			t.Errorf("%+v, then %+v", p, q)
		}
	}
	if v.Longest != 0 || v.Safest != 0 {
		t.Errorf("longest %d, safest %d", v.Longest, v.Safest)
	}
}

// Points share their draws: the same value twice gives the same band.
func TestPointsShareTheirDraws(t *testing.T) {
	path := "stand.outer_diameter"
	v := vary(t, designtest.Demo(t, "engine-on-hot-water"), Options{Samples: 30}, map[string][]float64{path: {0.112, 0.112}}, path)
	if v.Points[0].Band != v.Points[1].Band {
		t.Errorf("%+v and %+v", v.Points[0].Band, v.Points[1].Band)
	}
}

// What cannot be built is kept, with the reason, and takes no part in the
// ranking; two inputs make every combination, the last running fastest.
func TestImpossiblePointsSayWhy(t *testing.T) {
	values := map[string][]float64{"stand.cup.diameter": {0.070, 0.080}, "stand.wall.cavities": {1, 2, 3}}
	v := vary(t, designtest.Demo(t, "engine-on-ice"), Options{Samples: 20}, values, "stand.cup.diameter", "stand.wall.cavities")
	if len(v.Points) != 6 || v.Points[4].At[0] != 1 || v.Points[4].At[1] != 1 {
		t.Fatalf("%d points, the fifth at %v", len(v.Points), v.Points[4].At)
	}
	for i, p := range v.Points {
		if (p.Impossible != "") != (i < 3) || i < 3 && p.Band.Samples != 0 {
			t.Errorf("point %d: %+v", i, p)
		}
	}
	if v.Longest < 3 {
		t.Errorf("longest is point %d", v.Longest)
	}
}

// An interrupt keeps whole rows of draws.
func TestInterruptedVariationKeepsRows(t *testing.T) {
	d := designtest.Demo(t, "engine-on-hot-water")
	k, err := d.FindKnob("stand.outer_diameter")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	v, err := Vary(ctx, d, []design.Knob{k}, [][]float64{{0.112, 0.118}}, Options{Samples: 5000, Progress: func(done, _ int) {
		if done == 20 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) || v == nil || v.Samples < 20 || v.Samples > 1000 {
		t.Fatalf("err %v, variation %+v", err, v)
	}
	if a, b := v.Points[0].Band.Samples, v.Points[1].Band.Samples; a != b {
		t.Errorf("%d and %d samples", a, b)
	}
}
