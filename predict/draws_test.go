package predict

import (
	"math"
	"testing"

	"meltspan/internal/designtest"
	"meltspan/network"
)

// certain is draws that all say the same of one input.
func certain(path string, deviate float64) *Draws {
	d := &Draws{Paths: []string{path}, Deviates: true}
	for range 50 {
		d.Rows = append(d.Rows, []float64{deviate})
	}
	return d
}

// Draws that all have one value make the nominal run the one of a design with
// that value, and take its share out of the band.
func TestPredictWithWhatIsKnown(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	const path = "model.still"
	before, err := Predict(t.Context(), d, Options{Samples: 200})
	if err != nil {
		t.Fatal(err)
	}
	after, err := Predict(t.Context(), d, Options{Samples: 200, Known: certain(path, 1)})
	if err != nil {
		t.Fatal(err)
	}
	vs, err := variables(d)
	if err != nil {
		t.Fatal(err)
	}
	set := d.Clone()
	v := vs[indexOf(vs, path)]
	v.set(set).SI = v.at(1)
	set.Rederive()
	m, err := network.Build(set)
	if err != nil {
		t.Fatal(err)
	}
	if want := m.Time(network.Options{}).RunTime; math.Abs(after.Nominal.RunTime/want-1) > 1e-9 {
		t.Errorf("nominal %g s, want %g s", after.Nominal.RunTime, want)
	}
	if after.Revision != before.Revision || after.Learned == nil || before.Learned != nil {
		t.Errorf("revisions %s and %s, learned %v and %v", after.Revision, before.Revision, after.Learned, before.Learned)
	}
	// Most of the demo's variance is this input's.
	if a, b := after.Band.High-after.Band.Low, before.Band.High-before.Band.Low; a > 0.8*b {
		t.Errorf("the band is %g s wide with %s known, %g s without", a, path, b)
	}
}

// A pace stretches every run time, and nothing else.
func TestPaceStretchesTheBand(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	plain := certain("model.still", 0)
	paced := certain("model.still", 0)
	for range paced.Rows {
		paced.Pace, paced.Repeat = append(paced.Pace, 1.1), append(paced.Repeat, 1.05)
	}
	a, err := Predict(t.Context(), d, Options{Samples: 60, Known: plain})
	if err != nil {
		t.Fatal(err)
	}
	b, err := Predict(t.Context(), d, Options{Samples: 60, Known: paced})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range [][2]float64{{a.Band.Low, b.Band.Low}, {a.Band.Median, b.Band.Median}, {a.Band.High, b.Band.High}, {a.LastIce.Median, b.LastIce.Median}} {
		if math.Abs(x[1]/x[0]-1.1*1.05) > 1e-9 {
			t.Errorf("%g s became %g s", x[0], x[1])
		}
	}
	if a.Nominal.RunTime != b.Nominal.RunTime {
		t.Errorf("nominal %g s and %g s", a.Nominal.RunTime, b.Nominal.RunTime)
	}
}

func TestPredictRefusesDrawsOfOtherThings(t *testing.T) {
	if _, err := Predict(t.Context(), designtest.Demo(t, "engine-on-ice"), Options{Samples: 20, Known: certain("model.nothing", 0)}); err == nil {
		t.Error("draws of an input that is not there are taken")
	}
}
