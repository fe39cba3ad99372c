package design

import (
	"math"
	"path"
	"strings"
	"testing"

	"meltspan/quantity"
)

// with reads the base with one piece put in place of another.
func with(t *testing.T, old, new string) *Design {
	t.Helper()
	if strings.Count(base, old) != 1 {
		t.Fatalf("%q must stand once in the base", old)
	}
	d, err := Parse("d.yaml", []byte(strings.Replace(base, old, new, 1)), nil)
	if err != nil {
		t.Fatalf("\n%v", err)
	}
	return d
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

func TestEveryDefaultTagHasItsEntryAndEveryEntryIsUsed(t *testing.T) {
	used := map[string]bool{}
	eachField(layout(), func(f *field) {
		if f.preset == "" {
			return
		}
		used[f.preset] = true
		p := presetIndex()[f.preset]
		if p == nil {
			t.Errorf("%s: no entry for the default %q", f.key, f.preset)
			return
		}
		if v, ok := presetValues()[f.preset]; f.shape == shapeQuantity && (!ok || !f.limits.holds(v.SI)) {
			t.Errorf("the default %s = %s is out of the range of its key", p.key, p.text)
		}
	})
	for _, p := range presets {
		if !used[p.key] {
			t.Errorf("nothing uses the default %s", p.key)
		}
		if p.source == "" || p.origin != quantity.Handbook && p.origin != quantity.Guessed {
			t.Errorf("the default %s needs a source and an origin", p.key)
		}
	}
	if len(presetIndex()) != len(presets) {
		t.Error("a key stands twice in the table")
	}
}

func TestEveryKeyIsExplainedAndEveryQuantityHasRangeAndSpread(t *testing.T) {
	var visit func(s *section, at string)
	visit = func(s *section, at string) {
		for i := range s.fields {
			f := &s.fields[i]
			here := join(at, f.key)
			if f.about == "" {
				t.Errorf("%s has no explanation", here)
			}
			switch {
			case f.section != nil && f.shape == shapeList:
				visit(f.section, here+".any")
			case f.section != nil:
				visit(f.section, here)
			case f.shape == shapeQuantity && !f.limits.set:
				t.Errorf("%s has no range", here)
			case f.shape == shapeQuantity && findSpread(here, f.kind) == nil:
				t.Errorf("%s has no rule for its spread", here)
			}
		}
	}
	visit(layout(), "")
}

func TestEverySpreadRuleMatchesSomeKey(t *testing.T) {
	hit := map[*spreadRule]bool{}
	var visit func(s *section, at string)
	visit = func(s *section, at string) {
		for i := range s.fields {
			f := &s.fields[i]
			here := join(at, f.key)
			if f.section != nil && f.shape == shapeList {
				here += ".any"
			}
			if f.section != nil {
				visit(f.section, here)
			} else if rule := findSpread(here, f.kind); rule != nil {
				hit[rule.spreadRule] = true
			}
		}
	}
	visit(layout(), "")
	for i := range spreadRules {
		if !hit[&spreadRules[i]] {
			t.Errorf("rule %s %s is never used", spreadRules[i].match, spreadRules[i].kind)
		}
		if _, err := path.Match(spreadRules[i].match, ""); err != nil || spreadRules[i].source == "" {
			t.Errorf("rule %s %s is malformed or has no source", spreadRules[i].match, spreadRules[i].kind)
		}
	}
}

func TestSpreadOfAStatedValue(t *testing.T) {
	d := with(t, "    skin: 1.2 mm", "    skin: 1.2 mm +- 0 mm\n    partition: 0.8 mm +- 10 %\n  rim: {contact: 90 W/(m2 K)}")
	near(t, "its own 0", d.Stand.Wall.Skin.Spread, 0, 0)
	near(t, "its own 10 %", d.Stand.Wall.Partition.Spread, 0.08e-3, 1e-12)
	near(t, "a rule in per cent", d.Stand.Rim.Contact.Spread, 45, 1e-9)
	near(t, "a rule in units", d.Store.Mass.Spread, 0.5e-3, 1e-12)
	near(t, "a temperature", d.Room.Temperature.Spread, 0.5, 1e-12)
	near(t, "per cent of a fraction are parts of one", d.Room.Humidity.Spread, 0.04, 1e-12)
	near(t, "a default", d.Stand.Base.Skin.Spread, 0.05e-3, 1e-12)
}

func TestStatedZeroCountIsNotAbsent(t *testing.T) {
	d := with(t, "    skin: 1.2 mm", "    skin: 1.2 mm\n    cavities: 0")
	if d.Stand.Wall.Cavities != 0 || d.Stand.Base.Cavities != 1 {
		t.Errorf("wall %d, base %d cavities", d.Stand.Wall.Cavities, d.Stand.Base.Cavities)
	}
}

func TestWhatFollowsFromOtherValues(t *testing.T) {
	d := with(t, "  engine: {}", "  engine: {stall_difference: 8 K}")
	e := d.Load.Engine
	near(t, "start difference", e.StartDifference.SI, 9.2, 1e-12)
	near(t, "chamber", e.ChamberDiameter.SI, 88e-3, 1e-12)
	near(t, "displacer", e.Displacer.Diameter.SI, 84.48e-3, 1e-12)
	near(t, "displacer thickness", e.Displacer.Thickness.SI, 7.2e-3, 1e-12)
	near(t, "charge pressure", e.ChargePressure.SI, 101325, 1e-9)
	near(t, "block", d.Store.Diameter.SI, 79e-3, 1e-12)
	near(t, "radiant temperature", d.Room.Radiant.SI, 295.15, 1e-12)
	near(t, "envelope", d.Envelope.Height.SI, 38e-3, 1e-12)
	if e.StillConductance.Present() {
		t.Error("the still conductance is the solver's to work out")
	}
	if d.Store.Form != FormBlock {
		t.Errorf("form %q", d.Store.Form)
	}
}

// The block's height by hand: 110 g of ice at -6 degC, 917.5 kg/m3 (IAPWS
// R10-06; checks.md gives 916.72 at 0 and 918.17 at -10 degC, 917.59 by
// interpolation), on a face of 79 mm: 24.456 mm.
func TestStartingGapFollowsFromCupPegsAndCharge(t *testing.T) {
	cases := []struct {
		old, new string
		gap      float64 // mm
	}{
		{"name: bench", "name: bench", 28 - 24.456},
		{"    skin: 1.2 mm", "    skin: 1.2 mm\n  pegs: {count: 6, height: 5 mm}", 28 - 24.456 - 5},
		{"    skin: 1.2 mm", "    skin: 1.2 mm\n  contact: {starting_gap: 1 mm}", 1},
		{"    skin: 1.2 mm", "    skin: 1.2 mm\n  contact: {mode: no_contact}", 0.5},
		{"    skin: 1.2 mm", "    skin: 1.2 mm\n  contact: {mode: pressed}", 0},
	}
	for _, c := range cases {
		d := with(t, c.old, c.new)
		near(t, c.new, d.Stand.Contact.StartingGap.SI*1e3, c.gap, 0.01)
	}
}

func TestMaterialsHoldTheUsersValuesBeforeTheHandbooks(t *testing.T) {
	d := with(t, "room:\n", "materials:\n  - name: PLA\n    conductivity: 0.21 W/(m K) +- 5 %\nroom:\n")
	pla := d.MaterialByName("pla")
	near(t, "conductivity", pla.Conductivity.SI, 0.21, 1e-12)
	near(t, "its spread", pla.Conductivity.Spread, 0.0105, 1e-12)
	if pla.Conductivity.Origin != quantity.Stated || pla.Density.Origin != quantity.Handbook || pla.Density.Source == "" {
		t.Errorf("origins %s, %s", pla.Conductivity.Origin, pla.Density.Origin)
	}
	near(t, "the stand's emissivity", d.Stand.Emissivity.SI, pla.Emissivity.SI, 0)
	if d.MaterialByName("unobtainium") != (Material{}) {
		t.Error("an unknown material is not empty")
	}
}

func TestEveryMaterialNamedIsComplete(t *testing.T) {
	d := with(t, "    skin: 1.2 mm", "    skin: 1.2 mm\n    filling: wool\nmaterials:\n  - {name: wool, conductivity: 0.04 W/(m K), density: 20 kg/m3, specific_heat: 1700 J/(kg K)}")
	for _, use := range d.materialUses(true) {
		m := d.MaterialByName(use.name)
		for _, v := range []quantity.Value{m.Conductivity, m.Density, m.SpecificHeat, m.Emissivity, m.Across} {
			if !v.Present() || !(v.SI > 0) {
				t.Errorf("%s (%s) is not complete: %+v", use.name, use.path, m)
			}
		}
	}
}

func TestOtherSpellingsOfNamesAreUnderstood(t *testing.T) {
	d := with(t, "  height: 38 mm", "  height: 38 mm\n  material: PETG")
	if d.Stand.Material != "petg" {
		t.Errorf("material %q", d.Stand.Material)
	}
}

func TestAssumptionsListWhatWasFilledInAndNothingElse(t *testing.T) {
	list := map[string]Assumption{}
	for _, a := range with(t, "name: bench", "name: bench").Assumptions() {
		list[a.Key] = a
	}
	for key, want := range map[string]Assumption{
		"load.engine.stall_difference": {Value: "6.5 K", Spread: "0.8 K", Origin: quantity.Guessed},
		"stand.material":               {Value: "pla", Origin: quantity.Guessed},
		"stand.wall.cavities":          {Value: "1", Origin: quantity.Guessed},
		"room.pressure":                {Value: "1013 hPa", Spread: "20 hPa", Origin: quantity.Handbook},
		"store.form":                   {Value: "block", Origin: quantity.Derived},
		"store.diameter":               {Value: "79 mm", Origin: quantity.Derived},
		"materials.pla.density":        {Value: "1240 kg/m3", Spread: "10 kg/m3", Origin: quantity.Handbook},
	} {
		got := list[key]
		if got.Value != want.Value || got.Spread != want.Spread || got.Origin != want.Origin || got.Source == "" {
			t.Errorf("%s: %+v, want %+v", key, got, want)
		}
	}
	for _, key := range []string{"store.mass", "stand.wall.skin", "stand.pegs.diameter", "materials.cork.density", "stand.wall.infill"} {
		if a, ok := list[key]; ok {
			t.Errorf("listed without cause: %+v", a)
		}
	}
}

func TestFreezerFilmFollowsFromTheAirSpeedUnlessStated(t *testing.T) {
	const store = "  temperature: -6 degC"
	near(t, "neither", with(t, store, store).Store.Freezer.Film.SI, 10, 0)
	still := with(t, store, store+"\n  freezer: {air_speed: 0 m/s}").Store.Freezer.Film
	windy := with(t, store, store+"\n  freezer: {air_speed: 5 m/s}").Store.Freezer.Film
	// Handbooks of refrigeration: 5 to 10 in still air, some 30 in a blast.
	if still.Origin != quantity.Derived || !(still.SI > 5 && still.SI < 11) || !(windy.SI > 25 && windy.SI < 45) {
		t.Errorf("%+v, %+v", still, windy)
	}
	near(t, "both", with(t, store, store+"\n  freezer: {air_speed: 5 m/s, film: 12 W/(m2 K)}").Store.Freezer.Film.SI, 12, 0)
}
