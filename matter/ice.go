package matter

import "math"

// LatentHeatFusion of ice in J/kg at 0 degC and one atmosphere: enthalpy of
// water (IAPWS-95) less that of ice (IAPWS R10-06(2009)), 333426.5 J/kg;
// standard uncertainty about 0.02 % (R10-06, section 5, from memory).
const LatentHeatFusion = 333426.5

// MeltingPoint of ice in K in air-saturated water at one atmosphere (0 degC
// by convention; air-free it is 2.5 mK higher, TEOS-10).
const MeltingPoint = IcePoint

// IceDensity in kg/m3 of ice Ih (K) at atmospheric pressure: a cubic fitted
// here to IceGibbs, to 4e-7 over 200 to 273.16 K.
func IceDensity(temperature float64) float64 {
	x := temperature/IcePoint - 1
	return 916.72219 + x*(-39.99649+x*(-15.14384+x*11.20157))
}

// IceSpecificHeat in J/(kg K) of ice Ih (K) at atmospheric pressure: a cubic
// fitted here to IceGibbs, to 4e-6 over 200 to 273.16 K.
func IceSpecificHeat(temperature float64) float64 {
	x := temperature/IcePoint - 1
	return 2096.68757 + x*(2013.76678+x*(94.82823+x*-216.16232))
}

// IceConductivity in W/(m K) of pure, dense ice Ih (K), for 160 to 273 K:
//
//	k = 632/T + 0.38 - 0.00197 T
//
// Andersson & Suga, Phys. Rev. B 50 (1994) 6583. Yen (CRREL Report 81-10,
// 1981) gives 4 % less and handbooks 4 % more (2.07 to 2.24 at 0 degC): see
// IceConductivitySpread. Bubbly ice conducts less in proportion to its solid
// fraction.
func IceConductivity(temperature float64) float64 {
	return 632/temperature + 0.38 - 0.00197*temperature
}

// IceConductivitySpread is the relative standard uncertainty of
// IceConductivity: the published span at 0 degC, 2.07 to 2.24 W/(m K), taken
// as a rectangular distribution.
const IceConductivitySpread = 0.023

// MeltingPressureIce in Pa: where ice Ih and water are in equilibrium at a
// temperature (K), from 251.165 to 273.16 K (IAPWS R14-08(2011) equation 1,
// stated uncertainty 2 %). It is also what ice presses on a mould that lets
// it freeze but not expand. Beyond the range it holds the value at the end.
func MeltingPressureIce(temperature float64) float64 {
	theta := min(max(temperature, 251.165), TriplePoint) / TriplePoint
	return TriplePointPressure * (1 +
		0.119539337e7*(1-math.Pow(theta, 3)) +
		0.808183159e5*(1-math.Pow(theta, 25.75)) +
		0.333826860e4*(1-math.Pow(theta, 103.75)))
}
