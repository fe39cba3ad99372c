package design

import (
	"slices"
	"testing"
)

// A material chosen for a clone brings its values, is written to the file that
// is read back as the same design, and leaves the original alone.
func TestChooseAMaterial(t *testing.T) {
	d, err := Parse("demo", Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	before := d.Revision()
	w, err := d.FindWord("stand.material")
	if err != nil || w.Value(d) != "pla" || !slices.Contains(w.Allowed, "petg") {
		t.Fatalf("%+v, %v", w, err)
	}
	c := d.Clone()
	if err := w.Choose(c, "petg"); err != nil {
		t.Fatal(err)
	}
	if m := c.MaterialByName("petg"); !(m.Conductivity.SI > 0) || c.Stand.Emissivity.SI != m.Emissivity.SI {
		t.Errorf("petg: %+v, emissivity of the stand %g", m, c.Stand.Emissivity.SI)
	}
	if d.Revision() != before || d.Stand.Material != "pla" {
		t.Error("the original changed")
	}
	back, err := Parse("written", c.YAML(), nil)
	if err != nil || back.Revision() != c.Revision() {
		t.Errorf("read back as another design: %v", err)
	}
}

// A word that a default had filled in is written once it was chosen.
func TestChooseInPlaceOfADefault(t *testing.T) {
	d, err := Parse("demo", Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	for path, word := range map[string]string{"stand.wall.filling": "cork", "store.support": "rests", "stand.cup.drains": "true", "stand.contact.mode": "pressed"} {
		w, err := d.FindWord(path)
		if err != nil {
			t.Fatal(err)
		}
		c := d.Clone()
		if err := w.Choose(c, word); err != nil {
			t.Fatal(err)
		}
		back, err := Parse("written", c.YAML(), nil)
		if err != nil || w.Value(back) != word || back.Revision() != c.Revision() {
			t.Errorf("%s: %q, %v", path, w.Value(c), err)
		}
		if err := w.Choose(c, "nonsense"); err == nil || w.Value(c) != word {
			t.Errorf("%s takes nonsense: %q", path, w.Value(c))
		}
	}
	for _, path := range []string{"", "stand", "stand.height", "store.substance", "name", "materials.pla.name", "stand.matrial", "load.engine.ring_material.more"} {
		if _, err := d.FindWord(path); err == nil {
			t.Errorf("%q is taken for a choice", path)
		}
	}
}
