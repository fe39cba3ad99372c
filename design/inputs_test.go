package design

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"meltspan/quantity"
)

func demo(t testing.TB, name string) *Design {
	t.Helper()
	text, err := DemoNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	d, err := Parse(name+".yaml", text, nil)
	if err != nil {
		t.Fatalf("\n%v", err)
	}
	return d
}

var ignoreHidden = cmpopts.IgnoreUnexported(Design{})

func TestDemosAreValid(t *testing.T) {
	for _, name := range DemoNames() {
		demo(t, name)
	}
	if string(Demo()) == "" {
		t.Error("no starter")
	}
	if _, err := DemoNamed("engine-on-fire"); err == nil || !strings.Contains(err.Error(), "did you mean engine-on-ice?") {
		t.Errorf("%v", err)
	}
}

func TestQuantitiesAreUncertainAndReachable(t *testing.T) {
	for _, name := range DemoNames() {
		d := demo(t, name)
		seen := map[string]bool{}
		for _, in := range d.Quantities() {
			get, err := Accessor(in.Path)
			if err != nil {
				t.Errorf("%v", err)
				continue
			}
			if v := get(d); v == nil || *v != in.Value {
				t.Errorf("%s: the accessor finds %v", in.Path, v)
			}
			if !(in.Value.Spread > 0) || in.Value.Origin == quantity.Derived || in.About == "" || seen[in.Path] || !(in.Low <= in.Value.SI && in.Value.SI <= in.High) {
				t.Errorf("%+v", in)
			}
			seen[in.Path] = true
		}
		for _, path := range []string{"store.mass", "room.temperature", "materials.aluminium.conductivity", "model.cavity"} {
			if !seen[path] {
				t.Errorf("%s: %s is not listed", name, path)
			}
		}
		if seen["materials.cork.density"] != (name == "sample-on-cubes") {
			t.Errorf("%s: cork listed: %t", name, seen["materials.cork.density"])
		}
	}
}

func TestOwnMarksWhatBelongsToOneTrial(t *testing.T) {
	own := map[string]bool{}
	for _, in := range demo(t, "engine-on-ice").Quantities() {
		own[in.Path] = in.Own
	}
	if !own["store.mass"] || !own["room.temperature"] || own["stand.wall.skin"] || own["materials.pla.conductivity"] {
		t.Errorf("%v", own)
	}
}

func TestAccessorTellsWhatIsThere(t *testing.T) {
	for path, want := range map[string]string{
		"stand.wall.skim":      "did you mean skin?",
		"stand.wall":           "a section; allowed in it: cavities",
		"stand.material":       "holds no quantity",
		"materials.pla.colour": "allowed here",
		"materials":            "holds no quantity",
		"stand.height.x":       "no quantity",
		"":                     "no quantity",
	} {
		if _, err := Accessor(path); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", path, err)
		}
	}
}

func TestAccessorOfAPartThatIsNotThereIsNil(t *testing.T) {
	d := demo(t, "sample-on-cubes")
	for _, path := range []string{"load.engine.screws.diameter", "materials.brass.density"} {
		get, err := Accessor(path)
		if err != nil {
			t.Fatal(err)
		}
		if v := get(d); v != nil {
			t.Errorf("%s: %v", path, v)
		}
		if err := d.Set(path, 1e-3); err == nil {
			t.Errorf("Set %s did not fail", path)
		}
	}
}

func TestSetMovesWhatFollows(t *testing.T) {
	d := with(t, "name: bench", "name: bench")
	spread := d.Stand.Cup.Diameter.Spread
	if err := d.Set("stand.cup.diameter", 0.090); err != nil {
		t.Fatal(err)
	}
	near(t, "block", d.Store.Diameter.SI, 0.089, 1e-12)
	near(t, "spread", d.Stand.Cup.Diameter.Spread, spread, 0)
	if err := d.Set("room.temperature", 300); err != nil {
		t.Fatal(err)
	}
	near(t, "radiant temperature", d.Room.Radiant.SI, 300, 0)
	if err := d.Set("materials.pla.emissivity", 0.5); err != nil {
		t.Fatal(err)
	}
	near(t, "stand", d.Stand.Emissivity.SI, 0.5, 0)
}

func TestSetOfADerivedValueHoldsIt(t *testing.T) {
	d := with(t, "name: bench", "name: bench")
	if err := d.Set("store.diameter", 0.070); err != nil {
		t.Fatal(err)
	}
	if err := d.Set("stand.cup.diameter", 0.090); err != nil {
		t.Fatal(err)
	}
	near(t, "block", d.Store.Diameter.SI, 0.070, 0)
}

func TestSetRefusesWhatIsOutOfRange(t *testing.T) {
	d := with(t, "name: bench", "name: bench")
	before := d.Clone()
	for _, si := range []float64{-1e-3, 0, 1, math.NaN(), math.Inf(1)} {
		if err := d.Set("stand.wall.skin", si); err == nil || !strings.Contains(err.Error(), "more than 0 mm, up to 100 mm") {
			t.Errorf("%v: %v", si, err)
		}
	}
	if diff := cmp.Diff(before, d, ignoreHidden); diff != "" {
		t.Error(diff)
	}
}

func TestCloneSharesNothingThatChanges(t *testing.T) {
	for _, name := range DemoNames() {
		d, untouched := demo(t, name), demo(t, name)
		c := d.Clone()
		if diff := cmp.Diff(d, c, ignoreHidden); diff != "" {
			t.Fatal(diff)
		}
		for _, in := range c.Quantities() {
			get, err := Accessor(in.Path)
			if err != nil {
				t.Fatal(err)
			}
			get(c).SI *= 1.01
		}
		c.Rederive()
		if diff := cmp.Diff(untouched, d, ignoreHidden); diff != "" {
			t.Error(diff)
		}
	}
}

func TestRederiveChangesNothingOfACompleteDesign(t *testing.T) {
	for _, name := range DemoNames() {
		d := demo(t, name)
		c := d.Clone()
		c.Rederive()
		if diff := cmp.Diff(d, c, ignoreHidden); diff != "" {
			t.Error(diff)
		}
	}
}

func BenchmarkRederive(b *testing.B) {
	d := demo(b, "engine-on-ice")
	b.ReportAllocs()
	for b.Loop() {
		d.Rederive()
	}
}

func BenchmarkAccessor(b *testing.B) {
	d := demo(b, "engine-on-ice")
	get, err := Accessor("load.engine.screws.diameter")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		get(d).SI = 3e-3
	}
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := Parse("d", Demo(), nil); err != nil {
			b.Fatal(err)
		}
	}
}
