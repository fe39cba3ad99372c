package matter

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// ASHRAE Handbook Fundamentals 2017, chapter 1, Table 2: it includes the
// enhancement factor, up to 0.5 %.
func TestHumidityRatioHandbookTable(t *testing.T) {
	for celsius, want := range map[float64]float64{-20: 0.0006373, -5: 0.0024863, 5: 0.005425, 25: 0.020173, 50: 0.086863} {
		checkRelative(t, "ASHRAE Table 2", []row{{"saturated", HumidityRatio(celsius+IcePoint, 1, StandardPressure), want, 0.01}})
	}
}

// ASHRAE equations without the enhancement factor (computed with an open
// psychrometric library, on Hyland and Wexler's pressures: hence 3e-4).
func TestHumidityRatioSaturated(t *testing.T) {
	checkRelative(t, "ASHRAE equation 20", []row{
		{"0 degC", HumidityRatio(273.15, 1, StandardPressure), 0.00377410, 3e-4},
		{"5 degC", HumidityRatio(278.15, 1, StandardPressure), 0.00540194, 3e-4},
		{"25 degC", HumidityRatio(298.15, 1, StandardPressure), 0.0200811, 3e-4},
	})
}

// The same library at three rooms: humidity ratio, dew point, wet bulb,
// enthalpy per kg of dry air, density.
func TestMoistAirRooms(t *testing.T) {
	for _, c := range []struct{ celsius, humidity, ratio, dew, wet, enthalpy, density float64 }{
		{25, 0.5, 0.00988104, 13.8640, 17.8894, 50322, 1.176958},
		{20, 0.5, 0.00726174, 9.2724, 13.7834, 38551.7, 1.198898},
		{22, 0.6, 0.00989526, 13.8857, 16.8736, 47285.0, 1.188911},
	} {
		T := c.celsius + IcePoint
		checkRelative(t, "ASHRAE equations", []row{
			{"humidity ratio", HumidityRatio(T, c.humidity, StandardPressure), c.ratio, 3e-4},
			{"enthalpy", MoistAirEnthalpy(T, c.ratio), c.enthalpy, 1e-5},
			{"density", MoistAirDensity(T, c.humidity, StandardPressure), c.density, 2e-5},
		})
		checkAbsolute(t, "ASHRAE equations", []row{
			{"dew point", DewPoint(T, c.humidity) - IcePoint, c.dew, 3e-3},
			{"wet bulb", WetBulb(T, c.humidity, StandardPressure) - IcePoint, c.wet, 3e-3},
		})
	}
}

// The same library: vapour pressure and specific volume at 25 degC, 50 %.
func TestMoistAirVolumeAndVapourPressure(t *testing.T) {
	const T = 298.15
	volume := (1 + HumidityRatio(T, 0.5, StandardPressure)) / MoistAirDensity(T, 0.5, StandardPressure)
	checkRelative(t, "ASHRAE equations", []row{
		{"volume per kg of dry air", volume, 0.858043, 1e-5},
		{"vapour pressure", VapourPressure(T, 0.5), 1584.608, 3e-4},
	})
}

// ASHRAE Handbook Fundamentals 2017, chapter 1, Example 1: 40 degC dry bulb,
// 20 degC wet bulb; read off a chart: humidity ratio 6.5 g/kg, dew point 7
// degC, relative humidity 14 %, enthalpy 56.7 kJ/kg, volume 0.896 m3/kg.
func TestMoistAirHandbookExample(t *testing.T) {
	const T, humidity = 313.15, 0.14
	ratio := HumidityRatio(T, humidity, StandardPressure)
	checkAbsolute(t, "ASHRAE Example 1", []row{
		{"wet bulb", WetBulb(T, humidity, StandardPressure) - IcePoint, 20, 0.2},
		{"humidity ratio", ratio, 0.0065, 1e-4},
		{"dew point", DewPoint(T, humidity) - IcePoint, 7, 0.5},
		{"enthalpy", MoistAirEnthalpy(T, ratio), 56.7e3, 400},
		{"volume", (1 + ratio) / MoistAirDensity(T, humidity, StandardPressure), 0.896, 1e-3},
	})
}

// WMO-No. 8's formula gives 13.8516 degC at 25 degC and 50 %.
func TestDewPointAgreesWithMeteorologicalFormula(t *testing.T) {
	checkAbsolute(t, "WMO-No. 8", []row{{"dew point", DewPoint(298.15, 0.5) - IcePoint, 13.8516, 0.03}})
}

// Condensation by the analogy of heat and mass transfer (Lewis): film 3
// W/(m2 K), air 22 degC and 60 %, surface 5 degC. The reference used Magnus's
// formula, 0.3 % low at 22 degC and hardly at 5 degC; on the difference of
// the two that is 0.6 %.
func TestCondensationExample(t *testing.T) {
	const film, density, specificHeat, diffusivity, vapourDiffusivity = 3.0, 1.239, 1006.0, 2.026e-5, 2.352e-5
	massTransfer := film / (density * specificHeat * math.Pow(diffusivity/vapourDiffusivity, 2.0/3))
	flux := massTransfer * (VapourDensity(VapourPressure(295.15, 0.6), 295.15) - VapourDensitySaturated(278.15))
	checkRelative(t, "Lewis analogy", []row{
		{"mass transfer coefficient", massTransfer, 2.65859e-3, 1e-5},
		{"condensate", flux, 1.28311e-5, 8e-3},
		{"latent heat", flux * LatentHeatVaporisation(278.15), 31.94, 8e-3},
	})
}

func TestDewPointInvertsSaturationPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		T := rapid.Float64Range(200, 373).Draw(t, "temperature")
		if got := DewPointAtVapourPressure(SaturationPressure(T)); math.Abs(got-T) > 1e-6 {
			t.Errorf("dew point %v for saturation at %v", got, T)
		}
	})
}

func TestDryAirHasNoDewPoint(t *testing.T) {
	for _, humidity := range []float64{0, -0.1, math.NaN()} {
		if got := DewPoint(295, humidity); got != 0 {
			t.Errorf("DewPoint at humidity %v = %v, want 0", humidity, got)
		}
	}
}

func TestWetBulbLiesBetweenDewPointAndDryBulb(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		T := rapid.Float64Range(265, 320).Draw(t, "temperature")
		humidity := rapid.Float64Range(0.05, 1).Draw(t, "relative humidity")
		wet := WetBulb(T, humidity, StandardPressure)
		// The thermodynamic wet bulb and the dew point come from equations
		// that agree to about 0.02 K at saturation.
		if dew := DewPoint(T, humidity); wet < dew-0.05 || wet > T+1e-6 {
			t.Errorf("wet bulb %v outside %v to %v", wet, dew, T)
		}
	})
}

func TestHumidityRatioOfBoilingIsInfinite(t *testing.T) {
	if got := HumidityRatio(374, 1, StandardPressure); !math.IsInf(got, 1) {
		t.Errorf("humidity ratio above boiling = %v, want +Inf", got)
	}
}
