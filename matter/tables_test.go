package matter

import (
	"fmt"
	"math"
	"testing"
)

func checkProperty(t *testing.T, where string, p Property) {
	t.Helper()
	if !p.Stated() {
		t.Errorf("%s has no source", where)
	}
	if p.Spread < 0 || p.High != 0 && (p.Value < p.Low || p.Value > p.High) {
		t.Errorf("%s is inconsistent: %+v", where, p)
	}
}

func TestSolidsAreComplete(t *testing.T) {
	for _, s := range Solids() {
		for name, p := range map[string]Property{
			"conductivity": s.Conductivity, "density": s.Density, "specific heat": s.SpecificHeat,
			"emissivity": s.Emissivity, "layer ratio": s.LayerRatio,
		} {
			checkProperty(t, s.Name+" "+name, p)
			if p.Value <= 0 {
				t.Errorf("%s %s is %v", s.Name, name, p.Value)
			}
		}
		if s.Emissivity.Value > 1 || s.LayerRatio.Value > 1 {
			t.Errorf("%s has an emissivity or layer ratio above 1", s.Name)
		}
	}
}

func TestSubstancesAreComplete(t *testing.T) {
	for _, s := range Substances() {
		properties := map[string]Property{
			"melting": s.Melting, "liquid density": s.LiquidDensity, "liquid specific heat": s.LiquidSpecificHeat,
			"liquid conductivity": s.LiquidConductivity, "liquid viscosity": s.LiquidViscosity, "liquid expansion": s.LiquidExpansion,
		}
		if s.HasPhaseChange {
			properties["latent heat"] = s.Latent
			properties["solid density"] = s.SolidDensity
			properties["solid specific heat"] = s.SolidSpecificHeat
			properties["solid conductivity"] = s.SolidConductivity
		}
		for name, p := range properties {
			checkProperty(t, s.Name+" "+name, p)
			if p.Value <= 0 && (name != "liquid expansion" || s.Name != "water") {
				t.Errorf("%s %s is %v", s.Name, name, p.Value)
			}
		}
	}
}

func TestNamesAreUnambiguous(t *testing.T) {
	owners := map[string]string{}
	claim := func(owner string, names ...string) {
		for _, name := range names {
			key := plainName(name)
			if other, taken := owners[key]; taken && other != owner {
				t.Errorf("%q names both %s and %s", name, other, owner)
			}
			owners[key] = owner
		}
	}
	for _, s := range Solids() {
		claim("solid "+s.Name, append(s.Aliases, s.Name, s.Label)...)
	}
	for _, s := range Substances() {
		claim("substance "+s.Name, append(s.Aliases, s.Name, s.Label)...)
	}
}

func TestFindSolidTakesCaseAndAliases(t *testing.T) {
	for _, asked := range []string{"stainless_steel", "Stainless Steel", " inox ", "STAINLESS-STEEL"} {
		if s, ok := FindSolid(asked); !ok || s.Name != "stainless_steel" {
			t.Errorf("FindSolid(%q) = %q, %v", asked, s.Name, ok)
		}
	}
	if _, ok := FindSolid("cheese"); ok {
		t.Error("FindSolid found cheese")
	}
}

func TestIceAndWaterAreOneSubstance(t *testing.T) {
	for _, asked := range []string{"ice", "water"} {
		if s, ok := FindSubstance(asked); !ok || s.Name != "water" || !s.HasPhaseChange {
			t.Errorf("FindSubstance(%q) = %q, %v", asked, s.Name, ok)
		}
	}
}

// Zmeskal et al. 2020 (0.12), Baraboi et al. 2026 (0.267 ± 0.011 at k = 2):
// both within two standard uncertainties of the value for PLA.
func TestConductivityOfPLAShowsThePublishedSpan(t *testing.T) {
	pla, _ := FindSolid("pla")
	k := pla.Conductivity
	for _, published := range []float64{0.12, 0.267} {
		if published < k.Low || published > k.High || published < k.Value-2*k.Spread || published > k.Value+2*k.Spread {
			t.Errorf("published %v lies outside %+v", published, k)
		}
	}
}

// Baraboi et al. 2026: foamed PLA 0.114; Rodriguez et al. 2023: TPU 0.26 ±
// 0.05. Textbook spans for the others (from memory).
func TestPrintedPolymersLieInPublishedSpans(t *testing.T) {
	for name, span := range map[string][2]float64{
		"pla_foam": {0.109, 0.119}, "tpu": {0.21, 0.31}, "petg": {0.19, 0.29}, "abs": {0.17, 0.19}, "asa": {0.17, 0.19},
	} {
		s, _ := FindSolid(name)
		if k := s.Conductivity.Value; k < span[0] || k > span[1] {
			t.Errorf("%s conducts %v, published %v", name, k, span)
		}
	}
}

// EN ISO 10456:2007 and EN ISO 10077-2:2003, tables of design values, read in
// two independent reproductions: conductivity, density, specific heat. Grades
// and printings differ, so two standard uncertainties are allowed.
func TestSolidsAgreeWithTheStandardsTable(t *testing.T) {
	for name, want := range map[string][3]float64{
		"copper": {380, 8900, 380}, "aluminium": {160, 2800, 880}, "brass": {120, 8400, 380},
		"steel": {50, 7800, 450}, "stainless_steel": {17, 7900, 460}, "glass": {1, 2500, 750},
		"acrylic": {0.18, 1180, 1500}, "nylon": {0.25, 1150, 1600}, "silicone": {0.35, 1200, 1000},
		"wood": {0.13, 500, 1600},
	} {
		s, ok := FindSolid(name)
		if !ok {
			t.Fatalf("no %s", name)
		}
		for i, p := range []Property{s.Conductivity, s.Density, s.SpecificHeat} {
			if math.Abs(p.Value-want[i]) > 2*p.Spread {
				t.Errorf("%s: property %d is %v ± %v, the standard has %v", name, i, p.Value, p.Spread, want[i])
			}
		}
	}
}

func TestNamesListWhatFindFinds(t *testing.T) {
	for _, name := range SolidNames() {
		if s, ok := FindSolid(name); !ok || s.Name != name {
			t.Errorf("FindSolid(%q) = %q, %v", name, s.Name, ok)
		}
	}
	for _, name := range SubstanceNames() {
		if s, ok := FindSubstance(name); !ok || s.Name != name {
			t.Errorf("FindSubstance(%q) = %q, %v", name, s.Name, ok)
		}
	}
	if _, ok := FindSubstance("cheese"); ok {
		t.Error("FindSubstance found cheese")
	}
}

func TestSolidStateOfIceFollowsTemperature(t *testing.T) {
	ice, _ := FindSubstance("ice")
	checkRelative(t, "ice at 255 K", []row{
		{"density", ice.DensityOfSolid(255), IceDensity(255), 0},
		{"specific heat", ice.SpecificHeatOfSolid(255), IceSpecificHeat(255), 0},
		{"conductivity", ice.ConductivityOfSolid(255), IceConductivity(255), 0},
	})
}

func TestSolidStateOfOthersIsConstant(t *testing.T) {
	s, _ := FindSubstance("hexadecane")
	checkRelative(t, "hexadecane at 280 K", []row{
		{"density", s.DensityOfSolid(280), s.SolidDensity.Value, 0},
		{"specific heat", s.SpecificHeatOfSolid(280), s.SolidSpecificHeat.Value, 0},
		{"conductivity", s.ConductivityOfSolid(280), s.SolidConductivity.Value, 0},
	})
}

func TestOnlyWaterGrowsOnFreezing(t *testing.T) {
	for _, s := range Substances() {
		growth := s.FreezingExpansion()
		if (growth > 0) != s.isWater() || !s.HasPhaseChange && growth != 0 {
			t.Errorf("%s grows by %v on freezing", s.Name, growth)
		}
	}
}

func TestBrineStateIsThatOfTheIcePoint(t *testing.T) {
	s, _ := FindSubstance("brine_20")
	checkRelative(t, "brine", []row{{"density", s.Liquid(IcePoint).Density, s.LiquidDensity.Value, 1e-12}})
}

func TestLiquidOfWaterFollowsTemperature(t *testing.T) {
	water, _ := FindSubstance("ice")
	if got, want := water.Liquid(280), Water(280); got != want {
		t.Errorf("Liquid(280) = %+v, want %+v", got, want)
	}
}

func TestLiquidDensityFollowsExpansion(t *testing.T) {
	s, _ := FindSubstance("octadecane")
	warm, cool := s.Liquid(s.Melting.Value+10), s.Liquid(s.Melting.Value)
	checkRelative(t, "octadecane", []row{
		{"at melting", cool.Density, s.LiquidDensity.Value, 1e-12},
		{"10 K above", cool.Density/warm.Density - 1, 10 * s.LiquidExpansion.Value, 1e-9},
	})
}

func TestBrineFreezesBelowWater(t *testing.T) {
	// CRC Handbook, aqueous solutions (from memory): -6.6 and -16.5 degC.
	for name, want := range map[string]float64{"brine_10": 266.55, "brine_20": 256.65} {
		s, _ := FindSubstance(name)
		checkAbsolute(t, "sodium chloride", []row{{name, s.Melting.Value, want, 0.05}})
		if s.HasPhaseChange {
			t.Errorf("%s should stay liquid", name)
		}
	}
}

func ExampleFindSolid() {
	pla, _ := FindSolid("PLA")
	fmt.Printf("%s %.3f ± %.3f W/(m K)\n", pla.Label, pla.Conductivity.Value, pla.Conductivity.Spread)
	// Output: PLA 0.195 ± 0.043 W/(m K)
}
