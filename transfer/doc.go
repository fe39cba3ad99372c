// Package transfer holds the laws by which heat and moisture pass from one
// body to another: free convection on outer faces and in enclosures,
// radiation, conduction through simple shapes, condensation and evaporation,
// pools of water near their density maximum, and freezing.
//
// Everything is a pure function of SI numbers (temperatures in kelvin). The
// functions that a solver calls at every step do not allocate. Correlations are
// continuous over all positive arguments: where a published range ends, the
// comment says what takes over and why. Only NusseltVerticalLayerISO15099 and
// NusseltForcedPlate keep the small steps of their sources.
//
// A Nusselt number is returned against the length that the comment names; the
// heat transfer coefficient follows as Nu k / length.
package transfer

import (
	"math"

	"meltspan/matter"
)

// Gravity is the standard acceleration of free fall, m/s2 (exact by
// convention, ISO 80000-3).
const Gravity = 9.80665

// Rayleigh returns the Rayleigh number g beta |difference| length^3 / (nu a)
// of a fluid whose density falls linearly with temperature: gases, and water
// well away from 4 degC. Use the pool functions for cold water.
func Rayleigh(f matter.Fluid, difference, length float64) float64 {
	return Gravity * math.Abs(f.Expansion*difference) * length * length * length * f.Density /
		(f.Viscosity * f.Diffusivity())
}

// positive clears negative arguments and NaN, so that a correlation always
// meets a number that it was made for.
func positive(x float64) float64 {
	if x > 0 {
		return x
	}
	return 0
}
