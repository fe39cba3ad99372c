package transfer

import "math"

// secondRadiation is the second radiation constant hc/k, m K (2018 CODATA,
// exact to the digits given).
const secondRadiation = 1.438776877e-2

// BlackBodyShare returns the share of a black body's emission at wavelengths
// from 0 to that given, from the product of wavelength and temperature, m K:
//
//	F = 15/pi^4 sum over n of e^(-n x) (x^3/n + 3 x^2/n^2 + 6 x/n^3 + 6/n^4),
//	x = c2/(wavelength temperature)
//
// Chang and Rhee, International Communications in Heat and Mass Transfer 11
// (1984) 451-455.
func BlackBodyShare(wavelengthTemperature float64) float64 {
	if !(wavelengthTemperature > 0) {
		return 0
	}
	x, sum := secondRadiation/wavelengthTemperature, 0.0
	for n := 1.0; n < 500; n++ {
		term := math.Exp(-n*x) * (x*x*x/n + 3*x*x/(n*n) + 6*x/(n*n*n) + 6/(n*n*n*n))
		sum += term
		if term < 1e-15*sum {
			break
		}
	}
	return math.Min(sum*15/math.Pow(math.Pi, 4), 1)
}

// BandEmission returns what a black body emits between two wavelengths, m, at
// a temperature, K, in W/m2.
func BandEmission(temperature, from, to float64) float64 {
	if !(temperature > 0) {
		return 0
	}
	share := BlackBodyShare(to*temperature) - BlackBodyShare(from*temperature)
	return share * StefanBoltzmann * math.Pow(temperature, 4)
}
