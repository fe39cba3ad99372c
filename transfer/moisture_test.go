package transfer

import (
	"math"
	"testing"

	"meltspan/matter"
	"pgregory.net/rapid"
)

const atmosphere = 101325.0

// Chilton and Colburn's analogy by hand: h 3, rho 1.239, cp 1006, a 2.026e-5,
// D 2.352e-5 give h_m = 2.65859e-3 m/s. With Magnus vapour pressures (WMO-No. 8,
// gas constant 461.52) and vapour densities at 22 degC, 60 % and at 5 degC,
// saturated, 1.28311e-5 kg/(m2 s).
func TestLewisAnalogy(t *testing.T) {
	air := matter.Fluid{Density: 1.239, SpecificHeat: 1006, Conductivity: 2.026e-5 * 1.239 * 1006}
	beta := MassTransferCoefficient(3, air, 2.352e-5)
	near(t, "m/s", beta, 2.65859e-3, 1e-5)
	magnus := func(c float64) float64 { return 611.2 * math.Exp(17.62*c/(243.12+c)) }
	density := 0.6*magnus(22)/(461.52*295.15) - magnus(5)/(461.52*278.15)
	near(t, "kg/(m2 s)", beta*density, 1.28311e-5, 1e-4)
}

// ASHRAE Fundamentals writes the same flow as h_m rho (W_room - W_face), with
// humidity ratios: for 22 degC and 60 %, W = 0.00989526 (psychrometric
// library), at 5 degC saturated 0.00540194, both at 101325 Pa without the
// enhancement factor; rho 1.2365 of the film. 3 % is left for the properties.
func TestCondensationAgainstHumidityRatios(t *testing.T) {
	mass, heat := Condensation(3, 295.15, 0.6*matter.SaturationPressureWater(295.15), 278.15, atmosphere)
	want := 2.65859e-3 * 1.2365 * (0.00989526 - 0.00540194)
	near(t, "kg/(m2 s)", mass, want, 0.03)
	// 2489.04 kJ/kg at 5 degC, IAPWS-95.
	near(t, "J/kg", heat/mass, 2489.04e3, 1e-3)
}

// Equal vapour pressures, at any two temperatures, move no vapour: that is the
// definition of the dew point.
func TestNoFlowAtDewPoint(t *testing.T) {
	mass, heat := Condensation(3, 298.15, matter.SaturationPressure(287), 287, atmosphere)
	if math.Abs(mass) > 1e-15 || math.Abs(heat) > 1e-9 {
		t.Errorf("flow %g kg/(m2 s), %g W/m2 at the dew point", mass, heat)
	}
}

// Dew gives heat, drying takes it; both follow the sign of the vapour pressure
// difference.
func TestCondensationSigns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		air := rapid.Float64Range(273.2, 323).Draw(t, "air")
		face := rapid.Float64Range(253, 368).Draw(t, "face")
		vapour := rapid.Float64Range(0, 1).Draw(t, "RH") * matter.SaturationPressure(air)
		mass, heat := Condensation(4, air, vapour, face, atmosphere)
		drive := vapour - matter.SaturationPressure(face)
		if mass*drive < 0 || heat*mass < 0 || math.IsInf(mass, 0) || math.IsNaN(mass) {
			t.Fatalf("mass %g, heat %g for a drive of %g Pa", mass, heat, drive)
		}
	})
}

// Frost gives the heat of sublimation, 2834 to 2838 kJ/kg near 0 degC (IAPWS:
// 333.4 above that of vaporisation, 2500.9).
func TestFrostGivesSublimationHeat(t *testing.T) {
	mass, heat := Condensation(3, 295.15, 1500, 268.15, atmosphere)
	near(t, "J/kg", heat/mass, 2835e3, 2e-3)
}

// Incropera 7th ed. eq. 14.77, by hand: water at 80 degC under a face at 60
// degC, 10 mm: p 47.4 and 19.9 kPa (steam tables); D 0.26e-4 at 298 K (Table
// A.8, from memory) times (343.15/298.15)^1.81 = 3.353e-5 at 70 degC;
// p/(Rv T) = 0.6398; ln((101.325-19.9)/(101.325-47.4)) = 0.4121. Tables of D
// differ by 5 %.
func TestVapourGapWithStefanFlow(t *testing.T) {
	mass, heat := VapourGap(0.01, 353.15, 333.15, atmosphere)
	near(t, "kg/(m2 s)", mass, 3.353e-5/0.01*0.6398*0.4121, 0.06)
	near(t, "J/kg", heat/mass, 2308e3, 3e-3) // steam tables, 80 degC
}

func TestVapourGapStillWhenDry(t *testing.T) {
	for _, gap := range []float64{0, 0.01} {
		if mass, heat := VapourGap(gap, 273.15, 283.15, atmosphere); mass != 0 || heat != 0 {
			t.Errorf("a gap of %g m under a warm dry plate passes %g kg/(m2 s), %g W/m2", gap, mass, heat)
		}
	}
	if mass, _ := VapourGap(0, 300, 280, atmosphere); mass != 0 {
		t.Errorf("touching faces pass %g", mass)
	}
}

func TestVapourGapFiniteAtBoiling(t *testing.T) {
	mass, _ := VapourGap(0.005, 380, 300, atmosphere)
	if math.IsNaN(mass) || math.IsInf(mass, 0) || mass <= 0 {
		t.Errorf("flow %g at the boiling point", mass)
	}
}
