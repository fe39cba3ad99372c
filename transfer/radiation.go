package transfer

import "math"

// StefanBoltzmann is the Stefan-Boltzmann constant, W/(m2 K4) (2018 CODATA,
// exact to the digits given).
const StefanBoltzmann = 5.670374419e-8

// RadiationCoefficient returns the black-body exchange between two faces over
// their temperature difference, W/(m2 K): sigma (T1^2 + T2^2)(T1 + T2), which
// is exact and symmetric, and 4 sigma T^3 when both are alike. Multiply by an
// exchange factor.
func RadiationCoefficient(hot, cold float64) float64 {
	return StefanBoltzmann * (hot*hot + cold*cold) * (hot + cold)
}

// ExchangeParallel returns the grey exchange factor of two wide parallel
// faces, 1/(1/e1 + 1/e2 - 1). Zero when either emissivity is not positive.
// Incropera 7th ed. eq. 13.19.
func ExchangeParallel(e1, e2 float64) float64 {
	return ExchangeConcentric(e1, e2, 1)
}

// ExchangeConcentric returns the grey exchange factor, per area of the inner
// face, of long concentric cylinders, 1/(1/e1 + (r1/r2)(1/e2 - 1)); face 1 is
// the inner one. A ratio of 0 gives the emissivity of a small body in a large
// room. Incropera 7th ed. eq. 13.20.
func ExchangeConcentric(e1, e2, innerOverOuterRadius float64) float64 {
	if !(e1 > 0 && e2 > 0) {
		return 0
	}
	return 1 / (1/e1 + innerOverOuterRadius*(1/e2-1))
}

// ViewFactorCoaxialDiscs returns the share of what leaves disc 1 (radius r1)
// that meets the parallel coaxial disc 2 (radius r2) at a distance, all in m.
// Incropera 7th ed. Table 13.2. At distance 0 the larger covers the smaller.
func ViewFactorCoaxialDiscs(r1, r2, distance float64) float64 {
	if !(r1 > 0 && r2 > 0) {
		return 0
	}
	// The root of Table 13.2 in its other form, 2 c / (b + sqrt(b^2 - 4 c)),
	// which loses no digits when the discs are small or far apart.
	b := r1*r1 + r2*r2 + distance*distance
	c := r2 * r2
	root := math.Sqrt(math.Max(0, b*b-4*r1*r1*c))
	return 2 * c / (b + root)
}
