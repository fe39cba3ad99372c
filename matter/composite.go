package matter

import "math"

// Conductivity of two-phase mixtures. In each, k1 and k2 are the phases'
// conductivities (any one unit) and fraction2 the volume fraction of the
// second, 0 to 1. Whatever the structure, the answer lies between Series and
// Parallel; if it looks alike from every side, between the two bounds of
// Hashin & Shtrikman, J. Appl. Phys. 33 (1962) 3125.

// Series is the harmonic mean: layers across the heat's way. The lowest
// bound.
func Series(k1, k2, fraction2 float64) float64 {
	return 1 / ((1-fraction2)/k1 + fraction2/k2)
}

// Parallel is the arithmetic mean: layers along the heat's way. The highest
// bound.
func Parallel(k1, k2, fraction2 float64) float64 {
	return (1-fraction2)*k1 + fraction2*k2
}

// Geometric is the weighted geometric mean, an empirical middle between the
// bounds (Lichtenecker's rule) with no structure behind it.
func Geometric(k1, k2, fraction2 float64) float64 {
	return k1 * math.Pow(k2/k1, fraction2)
}

// MaxwellEucken is the conductivity of separate spheres of the dispersed
// phase, filling the given fraction, in the continuous one:
//
//	k = kc + f / (1/(kd - kc) + (1 - f)/(3 kc))
//
// Maxwell, A Treatise on Electricity and Magnetism (1873), art. 314; Eucken
// 1940. It equals a Hashin-Shtrikman bound: the upper one if the continuous
// phase conducts better.
func MaxwellEucken(continuous, dispersed, fraction float64) float64 {
	return inclusions(continuous, dispersed, fraction, 3)
}

// HashinShtrikmanUpper is the upper bound for an isotropic mixture.
func HashinShtrikmanUpper(k1, k2, fraction2 float64) float64 {
	if k1 >= k2 {
		return MaxwellEucken(k1, k2, fraction2)
	}
	return MaxwellEucken(k2, k1, 1-fraction2)
}

// HashinShtrikmanLower is the lower bound for an isotropic mixture.
func HashinShtrikmanLower(k1, k2, fraction2 float64) float64 {
	if k1 >= k2 {
		return MaxwellEucken(k2, k1, 1-fraction2)
	}
	return MaxwellEucken(k1, k2, fraction2)
}

// inclusions is the common form of the Hashin-Shtrikman bounds in two
// dimensions (parallel cylinders, heat across them) and three (spheres). It
// is written so that equal conductivities need no division by zero.
func inclusions(continuous, dispersed, fraction, dimensions float64) float64 {
	difference := dispersed - continuous
	return continuous + fraction*difference/(1+(1-fraction)*difference/(dimensions*continuous))
}

// Direction is how heat passes through a printed body.
type Direction int

// The directions that printing tells apart.
const (
	Along  Direction = iota // in the plane of the layers
	Across                  // from layer to layer, along the build axis
)

// PrintedConductivity is the effective conductivity of the inside of a
// printed wall: infill of a polymer with the rest of the space filled by
// something else, usually air.
//
// solid is the polymer's conductivity along the layers and fill that of what
// is between, both in W/(m K) (for air in large cells it should include
// radiation); infillFraction is the volume fraction of polymer, 0 to 1, and
// layerRatio the polymer's conductivity across layers over that along them.
//
// Usual infill patterns repeat from layer to layer, so their walls stand
// upright. Across the layers these conduct beside the fill: the best estimate
// is Parallel, with the polymer's conductivity across. Along the layers the
// walls form a connected net seen end on: the best estimate is the
// two-dimensional upper bound of Hashin & Shtrikman (1962, see also Hashin,
// J. Mech. Phys. Solids 13 (1965) 119), which a net of thin straight walls
// reaches. Low is the bound with the polymer broken up by the fill, as where
// lines cross and touch only at points; high is Parallel with the polymer's
// better conductivity, as where all lines run with the heat. Fractions and
// ratios outside 0 to 1 count as the nearer end.
func PrintedConductivity(solid, fill, infillFraction float64, direction Direction, layerRatio float64) (best, low, high float64) {
	fraction := min(max(infillFraction, 0), 1)
	across := solid * min(max(layerRatio, 0), 1)
	high = Parallel(fill, solid, fraction)
	if direction == Across {
		return Parallel(fill, across, fraction), HashinShtrikmanLower(fill, across, fraction), high
	}
	best = inclusions(solid, fill, 1-fraction, 2)
	return best, min(best, inclusions(fill, solid, fraction, 2)), high
}
