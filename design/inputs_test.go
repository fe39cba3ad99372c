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

// withSubstance reads the base with another store.
func withSubstance(t *testing.T, name, temperature, more string) *Design {
	t.Helper()
	return with(t, "  substance: ice\n  mass: 110 g\n  temperature: -6 degC\n", "  substance: "+name+"\n  mass: 80 g\n  temperature: "+temperature+"\n"+more)
}

// spreadOf is the spread with which a design lists a value, 0 where it does
// not list it.
func spreadOf(d *Design, path string) float64 {
	for _, in := range d.Quantities() {
		if in.Path == path {
			return in.Value.Spread
		}
	}
	return 0
}

// The spans are those that package matter states with their sources: octadecane
// 28.1 +- 0.3 degC and 243 +- 4 kJ/kg.
func TestSpreadsOfTheSubstanceAreListed(t *testing.T) {
	d := withSubstance(t, "octadecane", "20 degC", "")
	near(t, "melting point", d.Store.MeltingPoint.SI, 301.25, 1e-9)
	near(t, "latent heat", d.Store.LatentHeat.SI, 243e3, 1e-9)
	near(t, "spread of the melting point", spreadOf(d, "store.melting_point"), 0.3, 1e-12)
	near(t, "spread of the latent heat", spreadOf(d, "store.latent_heat"), 4e3, 1e-9)
	assumed := map[string]bool{}
	for _, a := range d.Assumptions() {
		assumed[a.Key] = a.Origin == quantity.Handbook && a.Spread != "" && a.Source != ""
	}
	if !assumed["store.melting_point"] || !assumed["store.latent_heat"] {
		t.Errorf("not among the assumptions: %v", assumed)
	}
}

func TestStatedMeltingPointHolds(t *testing.T) {
	d := withSubstance(t, "octadecane", "20 degC", "  melting_point: 18 degC +- 0.5 K\n  latent_heat: 200 kJ/kg\n")
	near(t, "melting point", d.Store.MeltingPoint.SI, 291.15, 1e-9)
	near(t, "its spread", spreadOf(d, "store.melting_point"), 0.5, 1e-12)
	near(t, "latent heat", d.Store.LatentHeat.SI, 200e3, 1e-9)
	near(t, "its spread", spreadOf(d, "store.latent_heat"), 10e3, 1e-9)
	if d.Store.Form != FormLiquid {
		t.Errorf("at 20 degC it is melted, but its form is %s", d.Store.Form)
	}
}

func TestIceMeltsForCertain(t *testing.T) {
	d := with(t, "name: bench", "name: bench")
	near(t, "melting point", d.Store.MeltingPoint.SI, 273.15, 0)
	near(t, "latent heat", d.Store.LatentHeat.SI, 333.43e3, 10) // checks.md
	if a, b := spreadOf(d, "store.melting_point"), spreadOf(d, "store.latent_heat"); a != 0 || b != 0 {
		t.Errorf("sampled: %v K, %v J/kg", a, b)
	}
}

func TestBrineHasNoMeltingToSample(t *testing.T) {
	d := withSubstance(t, "brine_10", "2 degC", "  latent_heat: 300 kJ/kg\n")
	for _, path := range []string{"store.melting_point", "store.latent_heat"} {
		if spreadOf(d, path) != 0 {
			t.Errorf("%s is listed", path)
		}
	}
}

func TestEngineMassCountsOnlyWherePressed(t *testing.T) {
	if got := spreadOf(with(t, "name: bench", "name: bench"), "load.engine.mass"); got != 0 {
		t.Errorf("on the rim: %v", got)
	}
	pressed := with(t, "    skin: 1.2 mm", "    skin: 1.2 mm\n  contact: {mode: pressed}")
	near(t, "pressed", spreadOf(pressed, "load.engine.mass"), 0.03, 1e-12)
}

func TestCavityWidthIsWhatSkinsAndPartitionsLeave(t *testing.T) {
	d := with(t, "    skin: 1.2 mm", "    skin: 1.2 mm\n    cavities: 3\n    partition: 0.8 mm")
	near(t, "three", d.Stand.Wall.CavityWidth(18e-3), (18-2.4-1.6)/3*1e-3, 1e-12)
	near(t, "none", (&Shell{}).CavityWidth(18e-3), 0, 0)
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
