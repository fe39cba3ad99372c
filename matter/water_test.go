package matter

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// IAPWS-95, R15-11 and R12-08 at 101325 Pa, computed with an independent
// library. SR6-08 claims 0.1 % on specific heat, 1 % on viscosity, 2 % on
// conductivity against data; against these releases it does better.
func TestWaterFollowsTheReleases(t *testing.T) {
	for _, c := range []struct{ temperature, density, specificHeat, conductivity, viscosity float64 }{
		{273.15, 999.8431, 4219.44, 0.55565, 1.79176e-3},
		{277.15, 999.9749, 4207.50, 0.56547, 1.56729e-3},
		{283.15, 999.7025, 4195.16, 0.57878, 1.30590e-3},
		{293.15, 998.2072, 4184.05, 0.59801, 1.00160e-3},
		{298.15, 997.0476, 4181.31, 0.60652, 8.90022e-4},
	} {
		w := Water(c.temperature)
		checkRelative(t, "IAPWS", []row{
			{"density", w.Density, c.density, 1e-6},
			{"density alone", WaterDensity(c.temperature), w.Density, 0},
			{"specific heat", w.SpecificHeat, c.specificHeat, 1e-4},
			{"conductivity", w.Conductivity, c.conductivity, 0.01},
			{"viscosity", w.Viscosity, c.viscosity, 1e-3},
		})
	}
}

// IAPWS-95, computed with an independent library.
func TestWaterExpansion(t *testing.T) {
	checkRelative(t, "IAPWS-95", []row{
		{"273.15 K", Water(273.15).Expansion, -6.776e-5, 0.01},
		{"283.15 K", Water(283.15).Expansion, 8.793e-5, 0.01},
		{"293.15 K", Water(293.15).Expansion, 2.0681e-4, 0.01},
	})
	// Near its zero only an absolute tolerance means anything.
	checkAbsolute(t, "IAPWS-95", []row{{"277.15 K", Water(277.15).Expansion, 3.49e-7, 3e-8}})
}

func TestWaterIsDensestNear277K(t *testing.T) {
	if cold, warm := Water(277.10).Expansion, Water(277.16).Expansion; cold >= 0 || warm <= 0 {
		t.Errorf("expansion is %g at 277.10 K and %g at 277.16 K; it should change sign between", cold, warm)
	}
}

// IAPWS SR6-08(2011) Table 3, check values at 260 K (from an independent
// library's documentation): 997.0683602710492 kg/m3, -55862.23174460868 J/kg.
func TestWaterSupplementaryReleaseCheckValues(t *testing.T) {
	checkRelative(t, "SR6-08 Table 3", []row{
		{"density at 260 K", WaterDensity(260), 997.0683602710492, 1e-12},
		{"enthalpy at 260 K", WaterEnthalpy(260), -55862.23174460868, 1e-10},
	})
}

// IAPWS R12-08 Table 4 and R15-11 Table 4 at 298.15 K and 998 kg/m3, which
// is water at some 2 MPa: 0.04 % and 0.2 % from one atmosphere. The tables'
// rows for steam and for 1200 kg/m3 lie outside SR6-08.
func TestWaterTransportCheckPoints(t *testing.T) {
	w := Water(298.15)
	checkRelative(t, "R12-08, R15-11", []row{
		{"viscosity", w.Viscosity, 889.735100e-6, 1e-3},
		{"conductivity", w.Conductivity, 607.712868e-3, 3e-3},
	})
}

// Property appendix "Properties at 273.15 K and 100 kPa".
func TestIceAndWaterAgreeWithAHandbookTable(t *testing.T) {
	w := Water(IcePoint)
	checkRelative(t, "property appendix", []row{
		{"conductivity of water", w.Conductivity, 0.56, 0.03},
		{"conductivity of ice", IceConductivity(IcePoint), 2.24, 0.045}, // the published span, see IceConductivity
		{"specific heat of water", w.SpecificHeat, 4218, 0.03},
		{"specific heat of ice", IceSpecificHeat(IcePoint), 2101, 0.03},
		{"fusion", LatentHeatFusion, 334e3, 0.03},
	})
}

// dh/dT = cp, and volume expansion = -(1/rho) drho/dT.
func TestWaterDerivativesAreConsistent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temperature := rapid.Float64Range(255, 372).Draw(t, "temperature")
		const h = 0.01
		slope := (WaterEnthalpy(temperature+h) - WaterEnthalpy(temperature-h)) / (2 * h)
		if e := math.Abs(slope/WaterSpecificHeat(temperature) - 1); e > 1e-6 {
			t.Errorf("dh/dT off by %g", e)
		}
		expansion := -(math.Log(WaterDensity(temperature+h)) - math.Log(WaterDensity(temperature-h))) / (2 * h)
		if e := math.Abs(expansion - Water(temperature).Expansion); e > 1e-9 {
			t.Errorf("expansion off by %g", e)
		}
	})
}

// IAPWS: rho_water/rho_ice - 1 = 9.067 % at 0 degC, 90.6 ml/kg on the
// property appendix's word: a kilogram of water gains that volume.
func TestFreezingExpansion(t *testing.T) {
	water, _ := FindSubstance("water")
	gained := (1/IceDensity(IcePoint) - 1/WaterDensity(IcePoint)) * 1e6
	checkRelative(t, "freezing expansion", []row{
		{"relative", water.FreezingExpansion(), 0.09067, 1e-4},
		{"ml per kg", gained, 90.6, 2e-3},
	})
}
