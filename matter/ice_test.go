package matter

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// IAPWS R10-06(2009) Table 6, the release's own check values (computed with
// an independent library; digits agree with the table from memory).
func TestIceGibbsReproducesReleaseTable(t *testing.T) {
	for _, c := range []struct{ temperature, pressure, gibbs, enthalpy, specificHeat, density float64 }{
		{273.16, 611.657, 0.611784135, -333444.253966, 2096.78431622, 916.709492200},
		{273.152519, 101325, 101.342740687, -333354.873637, 2096.71391024, 916.721463419},
		{100, 100e6, -222296.513088, -483491.635676, 866.333195517, 941.678203297},
	} {
		s := IceGibbs(c.temperature, c.pressure)
		checkRelative(t, "R10-06 Table 6", []row{
			{"enthalpy", s.Enthalpy, c.enthalpy, 1e-11},
			{"specific heat", s.SpecificHeat, c.specificHeat, 1e-11},
			{"density", s.Density, c.density, 1e-11},
		})
		// The Gibbs energy is the difference of two numbers of some 1e6.
		checkAbsolute(t, "R10-06 Table 6", []row{{"Gibbs energy", s.Gibbs, c.gibbs, 1e-6}})
	}
}

// R10-06 Table 6, triple point: cubic expansion (IAPWS library docstring).
func TestIceGibbsExpansion(t *testing.T) {
	checkRelative(t, "R10-06 Table 6", []row{{"expansion", IceGibbs(273.16, 611.657).Expansion, 0.159863102566e-3, 1e-11}})
}

// R10-06 evaluated by two independent libraries, which agree to ten digits.
func TestIceFitsFollowTheRelease(t *testing.T) {
	for _, c := range []struct{ temperature, density, specificHeat float64 }{
		{273.15, 916.7218, 2096.695}, {263.15, 918.1658, 2023.098}, {253.15, 919.5652, 1949.832},
	} {
		s := IceGibbs(c.temperature, StandardPressure)
		checkRelative(t, "R10-06", []row{
			{"density", s.Density, c.density, 1e-6},
			{"specific heat", s.SpecificHeat, c.specificHeat, 1e-6},
			{"fitted density", IceDensity(c.temperature), c.density, 1e-6},
			{"fitted specific heat", IceSpecificHeat(c.temperature), c.specificHeat, 5e-6},
		})
	}
}

func TestIceFitsKeepTheirStatedAccuracy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temperature := rapid.Float64Range(200, 273.16).Draw(t, "temperature")
		s := IceGibbs(temperature, StandardPressure)
		if e := math.Abs(IceDensity(temperature)/s.Density - 1); e > 5e-7 {
			t.Errorf("density off by %g", e)
		}
		if e := math.Abs(IceSpecificHeat(temperature)/s.SpecificHeat - 1); e > 5e-6 {
			t.Errorf("specific heat off by %g", e)
		}
	})
}

// A thermodynamic identity: dh/dT = cp at constant pressure.
func TestIceEnthalpySlopeIsSpecificHeat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temperature := rapid.Float64Range(120, 273).Draw(t, "temperature")
		const h = 0.01
		slope := (IceGibbs(temperature+h, StandardPressure).Enthalpy - IceGibbs(temperature-h, StandardPressure).Enthalpy) / (2 * h)
		if e := math.Abs(slope/IceGibbs(temperature, StandardPressure).SpecificHeat - 1); e > 1e-6 {
			t.Errorf("slope off by %g", e)
		}
	})
}

// Andersson & Suga, Phys. Rev. B 50 (1994) 6583 (formula from memory).
func TestIceConductivityFormula(t *testing.T) {
	checkRelative(t, "Andersson & Suga", []row{
		{"273.15 K", IceConductivity(273.15), 2.156, 3e-4},
		{"263.15 K", IceConductivity(263.15), 2.263, 3e-4},
		{"253.15 K", IceConductivity(253.15), 2.378, 3e-4},
	})
}

// Yen, CRREL Report 81-10 (1981), 9.828 exp(-0.0057 T), and the property
// appendix "Properties at 273.15 K and 100 kPa" (2.24): both within two
// standard uncertainties.
func TestIceConductivitySpreadCoversOtherSources(t *testing.T) {
	for _, c := range []row{
		{"Yen, 273.15 K", IceConductivity(273.15), 2.0715, 0},
		{"Yen, 263.15 K", IceConductivity(263.15), 2.1930, 0},
		{"Yen, 253.15 K", IceConductivity(253.15), 2.3217, 0},
		{"appendix, 273.15 K", IceConductivity(273.15), 2.24, 0},
	} {
		c.tolerance = 2 * IceConductivitySpread
		checkRelative(t, "ice conductivity", []row{c})
	}
}

// TEOS-10 through an independent library: latent heat of melting 333426.517
// J/kg, IAPWS-95 less R10-06 333426.516.
func TestLatentHeatFusionIsTheDifferenceOfEnthalpies(t *testing.T) {
	const airFree = 273.1525
	difference := WaterEnthalpy(airFree) - IceGibbs(airFree, StandardPressure).Enthalpy
	checkAbsolute(t, "enthalpy of fusion", []row{
		{"constant", LatentHeatFusion, 333426.5, 0.1},
		{"water less ice", difference, LatentHeatFusion, 5},
	})
}

// IAPWS R14-08(2011); its own check value is 138.268 MPa at 260 K.
func TestMeltingPressureIce(t *testing.T) {
	checkRelative(t, "R14-08 equation 1", []row{
		{"260 K", MeltingPressureIce(260), 138.2681e6, 1e-6},
		{"270 K", MeltingPressureIce(270), 39.31297e6, 1e-6},
		{"below the range", MeltingPressureIce(200), MeltingPressureIce(251.165), 0},
	})
}

// TEOS-10 through an independent library: melting at -0.75620 degC under one
// atmosphere and 10 MPa. R14-08 states 2 % on the pressure.
func TestMeltingPressureIceNearOneAtmosphere(t *testing.T) {
	checkRelative(t, "TEOS-10", []row{
		{"-0.75620 degC", MeltingPressureIce(IcePoint - 0.75620), 10.101325e6, 0.02},
	})
}
