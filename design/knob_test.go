package design

import (
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
