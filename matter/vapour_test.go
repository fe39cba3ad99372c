package matter

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// IAPWS R7-97(2012) Table 35.
func TestSaturationPressureWaterReleaseTable(t *testing.T) {
	checkRelative(t, "R7-97 Table 35", []row{
		{"300 K", SaturationPressureWater(300), 0.353658941e4, 3e-9},
		{"500 K", SaturationPressureWater(500), 2.63889776e6, 3e-9},
		{"600 K", SaturationPressureWater(600), 12.3443146e6, 3e-9},
	})
}

// R7-97, computed with an independent library.
func TestSaturationPressureWaterAtRoomTemperatures(t *testing.T) {
	checkRelative(t, "R7-97", []row{
		{"5 degC", SaturationPressureWater(278.15), 872.575, 1e-6},
		{"10 degC", SaturationPressureWater(283.15), 1228.184, 1e-6},
		{"20 degC", SaturationPressureWater(293.15), 2339.215, 1e-6},
		{"25 degC", SaturationPressureWater(298.15), 3169.747, 1e-6},
		{"30 degC", SaturationPressureWater(303.15), 4246.688, 1e-6},
	})
}

// IAPWS R14-08(2011); 230 K is the release's own check point.
func TestSaturationPressureIce(t *testing.T) {
	checkRelative(t, "R14-08 equation 6", []row{
		{"230 K", SaturationPressureIce(230), 8.947353, 1e-6},
		{"250 K", SaturationPressureIce(250), 76.01267, 1e-6},
		{"260 K", SaturationPressureIce(260), 195.8017, 1e-6},
		{"270 K", SaturationPressureIce(270), 470.0619, 1e-6},
		{"273.16 K", SaturationPressureIce(273.16), 611.657, 1e-6},
	})
}

func TestSaturationPressuresMeetAtTheTriplePoint(t *testing.T) {
	checkRelative(t, "triple point", []row{
		{"water over ice", SaturationPressureWater(TriplePoint), SaturationPressureIce(TriplePoint), 1e-5},
	})
}

// ASHRAE Handbook Fundamentals 2017, chapter 1, Table 3 (read in a test of an
// open psychrometric library).
func TestSaturationPressureHandbookTable(t *testing.T) {
	checkRelative(t, "ASHRAE Table 3", []row{
		{"-20 degC", SaturationPressure(253.15), 103.24, 3e-4},
		{"-5 degC", SaturationPressure(268.15), 401.74, 3e-4},
		{"5 degC", SaturationPressure(278.15), 872.6, 3e-4},
		{"25 degC", SaturationPressure(298.15), 3169.7, 3e-4},
		{"50 degC", SaturationPressure(323.15), 12351.3, 3e-4},
		{"100 degC", SaturationPressure(373.15), 101418.0, 3e-4},
	})
}

// Hyland & Wexler's equations, ASHRAE equations 5 and 6 (computed with an
// open psychrometric library): another fit to older data, hence 3e-4.
func TestSaturationPressureAgreesWithHylandWexler(t *testing.T) {
	for celsius, want := range map[float64]float64{
		-20: 103.2604, -10: 259.9029, -5: 401.7641, 0: 611.1536, 5: 872.4867, 10: 1227.9953,
		15: 1705.4478, 20: 2338.8037, 25: 3169.2165, 30: 4246.0302,
	} {
		checkRelative(t, "ASHRAE equations 5 and 6", []row{{"saturation pressure", SaturationPressure(celsius + IcePoint), want, 3e-4}})
	}
}

// The engineering formulas of WMO-No. 8 (Annex 4.B) and ISO 13788:2012
// (Annex E) claim no more than a few tenths of a per cent.
func TestSaturationPressureAgreesWithEngineeringFormulas(t *testing.T) {
	checkRelative(t, "WMO-No. 8", []row{
		{"10 degC", SaturationPressure(283.15), 1226.030, 4e-3},
		{"20 degC", SaturationPressure(293.15), 2332.596, 4e-3},
		{"25 degC", SaturationPressure(298.15), 3160.057, 4e-3},
		{"ice, -10 degC", SaturationPressure(263.15), 259.874, 4e-3},
	})
	checkRelative(t, "ISO 13788", []row{
		{"ice, -10 degC", SaturationPressure(263.15), 259.333, 4e-3},
		{"0 degC", SaturationPressure(273.15), 610.5, 4e-3},
		{"10 degC", SaturationPressure(283.15), 1227.310, 4e-3},
		{"20 degC", SaturationPressure(293.15), 2336.951, 4e-3},
		{"25 degC", SaturationPressure(298.15), 3165.920, 4e-3},
	})
}

// Murphy & Koop, Q. J. R. Meteorol. Soc. 131 (2005) 1539, equation 10, for
// supercooled water (from memory).
func TestSaturationPressureOverSupercooledWater(t *testing.T) {
	for _, T := range []float64{250, 260, 270} {
		murphyKoop := math.Exp(54.842763 - 6763.22/T - 4.210*math.Log(T) + 0.000367*T +
			math.Tanh(0.0415*(T-218.8))*(53.878-1331.22/T-9.44523*math.Log(T)+0.014025*T))
		checkRelative(t, "Murphy & Koop", []row{{"supercooled", SaturationPressureWater(T), murphyKoop, 1e-3}})
	}
}

// IAPWS-95, computed with an independent library.
func TestLatentHeatVaporisation(t *testing.T) {
	checkRelative(t, "IAPWS-95", []row{
		{"5 degC", LatentHeatVaporisation(278.15), 2489.04e3, 2e-5},
		{"10 degC", LatentHeatVaporisation(283.15), 2477.19e3, 2e-5},
		{"20 degC", LatentHeatVaporisation(293.15), 2453.52e3, 2e-5},
		{"25 degC", LatentHeatVaporisation(298.15), 2441.68e3, 2e-5},
	})
}

// Hess's law at 0 degC, where all three phases all but meet.
func TestSublimationIsFusionAndVaporisation(t *testing.T) {
	checkRelative(t, "0 degC", []row{
		{"sublimation", LatentHeatSublimation(IcePoint), LatentHeatFusion + LatentHeatVaporisation(IcePoint), 1e-3},
	})
}

// Clausius and Clapeyron with ideal vapour: d ln p/dT = L/(Rv T2), within the
// vapour's departure from the ideal.
func TestSaturationSlopesFollowLatentHeats(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const h = 0.01
		T := rapid.Float64Range(230, 310).Draw(t, "temperature")
		if math.Abs(T-TriplePoint) < 2*h {
			return // the slope has a kink there
		}
		latent := LatentHeatVaporisation(T)
		if T < TriplePoint {
			latent = LatentHeatSublimation(T)
		}
		slope := math.Log(SaturationPressure(T+h)/SaturationPressure(T-h)) / (2 * h)
		if e := math.Abs(slope*GasConstantWaterVapour*T*T/latent - 1); e > 4e-3 {
			t.Errorf("at %g K off by %g", T, e)
		}
	})
}

// Massman 1998 and Marrero & Mason 1972 in mm2/s (formulas from memory).
func TestVapourDiffusivity(t *testing.T) {
	for _, c := range []struct{ temperature, massman, marreroMason float64 }{
		{273.15, 21.78, 20.90}, {283.15, 23.24, 22.51}, {293.15, 24.75, 24.19}, {298.15, 25.52, 25.05},
	} {
		got := VapourDiffusivity(c.temperature, StandardPressure) * 1e6
		checkRelative(t, "diffusivity", []row{
			{"Massman", got, c.massman, 3e-4},
			{"Marrero & Mason", got, c.marreroMason, VapourDiffusivitySpread},
		})
	}
}

func TestVapourDensityIsThatOfAnIdealGas(t *testing.T) {
	// IAPWS-95 saturated vapour at 25 degC: 0.023075 kg/m3 (from memory).
	checkRelative(t, "saturated vapour", []row{{"25 degC", VapourDensitySaturated(298.15), 0.023075, 2e-3}})
}
