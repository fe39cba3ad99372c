package matter

import "math"

// Moist air as a mixture of ideal gases, after ASHRAE Handbook Fundamentals
// 2017, chapter 1. Relative humidity is a fraction of saturation over ice
// below the triple point and over water above it. The enhancement factor
// (0.4 %) is left out.

// VapourPressure in Pa in air at a temperature (K) and relative humidity.
func VapourPressure(temperature, relativeHumidity float64) float64 {
	return relativeHumidity * SaturationPressure(temperature)
}

// HumidityRatio is the mass of vapour per mass of dry air, at a temperature
// (K), a relative humidity and a pressure (Pa). It is infinite where the
// vapour alone would exceed the pressure.
func HumidityRatio(temperature, relativeHumidity, pressure float64) float64 {
	vapour := VapourPressure(temperature, relativeHumidity)
	if vapour >= pressure {
		return math.Inf(1)
	}
	return MolarMassWater / MolarMassDryAir * vapour / (pressure - vapour)
}

// DewPoint is the temperature (K) at which air at a temperature (K) and
// relative humidity begins to deposit dew or, below 0.01 degC, frost. Dry air
// has none: the answer is 0 K.
func DewPoint(temperature, relativeHumidity float64) float64 {
	return DewPointAtVapourPressure(VapourPressure(temperature, relativeHumidity))
}

// DewPointAtVapourPressure is the temperature (K) at which the saturation
// pressure over ice or water equals a vapour pressure (Pa): Newton's method
// on its logarithm, to 1e-6 K between 200 and 373 K. No pressure, or less
// than none, gives 0 K.
func DewPointAtVapourPressure(pressure float64) float64 {
	if !(pressure > 0) {
		return 0
	}
	// In 1/T the logarithm of the saturation pressure is all but straight
	// (Clausius and Clapeyron), so Newton's method in 1/T needs few steps.
	latent, saturation := 2.501e6, SaturationPressureWater
	if pressure < TriplePointPressure {
		latent, saturation = 2.834e6, SaturationPressureIce
	}
	slope := GasConstantWaterVapour / latent
	inverse := 1/TriplePoint - slope*math.Log(pressure/TriplePointPressure)
	for range 4 {
		t := 1 / inverse
		if pressure >= TriplePointPressure {
			slope = GasConstantWaterVapour / LatentHeatVaporisation(t)
		}
		inverse += slope * math.Log(saturation(t)/pressure)
	}
	return 1 / inverse
}

// MoistAirDensity in kg/m3 at a temperature (K), relative humidity and
// pressure (Pa).
func MoistAirDensity(temperature, relativeHumidity, pressure float64) float64 {
	vapour := VapourPressure(temperature, relativeHumidity)
	return (pressure-vapour)/(GasConstantDryAir*temperature) + VapourDensity(vapour, temperature)
}

// MoistAirEnthalpy in J per kg of dry air, at a temperature (K) and humidity
// ratio; zero for dry air and liquid water at 0 degC (ASHRAE equation 30).
func MoistAirEnthalpy(temperature, humidityRatio float64) float64 {
	t := temperature - IcePoint
	return 1006*t + humidityRatio*(2501e3+1860*t)
}

// WetBulb is the thermodynamic wet-bulb temperature (K) of air at a
// temperature (K), relative humidity and pressure (Pa): ASHRAE equations 33
// and 35 solved by bisection to 1e-6 K. Relative humidity counts within 0 to
// 1.
func WetBulb(temperature, relativeHumidity, pressure float64) float64 {
	relativeHumidity = min(max(relativeHumidity, 0), 1)
	ratio := HumidityRatio(temperature, relativeHumidity, pressure)
	t := temperature - IcePoint
	high := t
	low := t - 100
	for range 27 {
		wet := (low + high) / 2
		saturated := HumidityRatio(wet+IcePoint, 1, pressure)
		var reached float64
		if wet >= TriplePoint-IcePoint {
			reached = ((2501-2.326*wet)*saturated - 1.006*(t-wet)) / (2501 + 1.86*t - 4.186*wet)
		} else {
			reached = ((2830-0.24*wet)*saturated - 1.006*(t-wet)) / (2830 + 1.86*t - 2.1*wet)
		}
		if reached > ratio {
			high = wet
		} else {
			low = wet
		}
	}
	return (low+high)/2 + IcePoint
}
