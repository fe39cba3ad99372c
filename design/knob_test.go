package design

import (
	"math"
	"testing"
)

// Counts and quantities are found and turned; what is neither is refused.
func TestFindKnob(t *testing.T) {
	d, err := Parse("demo", Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	cavities, err := d.FindKnob("stand.wall.cavities")
	if err != nil || !cavities.Count || cavities.Value(d) != 2 {
		t.Fatalf("%+v, %v", cavities, err)
	}
	if err := cavities.Turn(d, 3); err != nil || d.Stand.Wall.Cavities != 3 {
		t.Errorf("cavities %d, %v", d.Stand.Wall.Cavities, err)
	}
	mass, err := d.FindKnob("store.mass")
	if err != nil || mass.Count || mass.Value(d) != 0.110 {
		t.Fatalf("%+v, %v", mass, err)
	}
	if err := mass.Turn(d, 0.1); err != nil || d.Store.Mass.SI != 0.1 {
		t.Errorf("mass %g, %v", d.Store.Mass.SI, err)
	}
	if err := mass.Turn(d, -1); err == nil || d.Store.Mass.SI != 0.1 {
		t.Errorf("a negative mass is taken: %g", d.Store.Mass.SI)
	}
	for _, path := range []string{"", "name", "meltspan", "stand", "stand.material", "store.mas", "load.generator.seebeck", "materials.nothing.density", "stand.wall.cavities.more"} {
		if _, err := d.FindKnob(path); err == nil {
			t.Errorf("%q is taken for a knob", path)
		}
	}
	if _, err := d.FindKnob("materials.pla.conductivity"); err != nil {
		t.Error(err)
	}
}

// A factor known to half of itself stays so; a length known to a tenth of a
// millimetre stays so; what is not there has no value.
func TestTurnKeepsHowWellAValueIsKnown(t *testing.T) {
	d, err := Parse("demo", Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	turn := func(path string, to float64) (before, after float64) {
		k, err := d.FindKnob(path)
		if err != nil {
			t.Fatal(err)
		}
		before = k.get(d).Spread
		if err := k.Turn(d, to); err != nil {
			t.Fatal(err)
		}
		return before, k.get(d).Spread
	}
	if before, after := turn("model.still", 0.2); math.Abs(after/before-0.2) > 1e-12 {
		t.Errorf("factor: spread %g, then %g", before, after)
	}
	if before, after := turn("stand.cup.diameter", 0.090); after != before {
		t.Errorf("length: spread %g, then %g", before, after)
	}
	k, err := d.FindKnob("load.engine.still_conductance")
	if err != nil || !math.IsNaN(k.Value(d)) {
		t.Errorf("an absent value reads %g, %v", k.Value(d), err)
	}
}
