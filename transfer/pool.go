package transfer

import (
	"math"

	"meltspan/matter"
)

// densestWater is the temperature, K, at which water at 1 atm is densest
// (3.98 degC; IAPWS-95 gives 277.13 K).
const densestWater = 277.13

// NusseltPoolHorizontal returns the Nusselt number, against depth, of a water
// layer between a lower and an upper level face (temperatures in K, depth in
// m); f is water at the mean temperature. It is 1 where the water lies stably.
//
// Water is densest at 4 degC, so the layer is judged by its densities, not by
// which face is warmer. When both faces lie on one side of 4 degC, the whole
// depth is stable or not, with Ra = g (drho/rho) d^3/(nu a) from the actual
// densities. When 4 degC lies between them, only the part below the 4 degC
// level can convect (whichever face is warmer) and the part above lies still.
// The two are in series, and the level of 4 degC is where both carry the same
// heat. The convecting part is treated as a layer between rigid faces, which
// delays its onset a little: its upper face is in truth free. (Compare Yen,
// Physics of Fluids 11 (1968) 1263: in melting from below, the onset depends
// on the warm face's temperature and is no single Rayleigh number.)
func NusseltPoolHorizontal(lowerTemperature, upperTemperature, depth float64, f matter.Fluid) float64 {
	below, above := lowerTemperature-densestWater, upperTemperature-densestWater
	if below*above >= 0 {
		return convectingLayer(lowerTemperature, upperTemperature, depth, f)
	}
	below, above = math.Abs(below), math.Abs(above)
	// From full depth the share that convects falls steadily to its value, on
	// the moving branch where two exist (penetrative convection sets in with
	// finite strength: Veronis, Astrophysical Journal 137 (1963) 641). A fixed
	// number of passes keeps the result continuous in the temperatures: just
	// below onset, where they converge slowly, it stands up to 26 % above 1.
	rayleigh := densityRayleigh(matter.WaterDensity(densestWater)-matter.WaterDensity(lowerTemperature), depth, f)
	prandtl := f.Prandtl()
	share, carried := 1.0, 0.0
	for range 6 {
		moving := NusseltHeatedBelowLiquid(rayleigh*share*share*share, prandtl)
		carried = below*moving + above // heat flow, in kelvins of conduction over the depth
		share = below * moving / carried
	}
	return carried / (below + above)
}

// convectingLayer is the Nusselt number of a layer whose density changes
// steadily from face to face: 1 unless the upper face is the denser.
func convectingLayer(lowerTemperature, upperTemperature, depth float64, f matter.Fluid) float64 {
	excess := matter.WaterDensity(upperTemperature) - matter.WaterDensity(lowerTemperature)
	if !(excess > 0) {
		return 1
	}
	return NusseltHeatedBelowLiquid(densityRayleigh(excess, depth, f), f.Prandtl())
}

// densityRayleigh is g (drho/rho) L^3/(nu a).
func densityRayleigh(excess, length float64, f matter.Fluid) float64 {
	return Gravity * excess * length * length * length / (f.Viscosity * f.Diffusivity())
}

// leastBuoyancy is the share of the density span that still drives a flow when
// rising and sinking water cancel on average: both then flow side by side.
// Experiments on ice find a clear minimum there but never a still film
// (Bendell and Gebhart, International Journal of Heat and Mass Transfer 19
// (1976) 1081); its depth is a judgement here: the flow is cut by about half.
const leastBuoyancy = 0.1

// NusseltPoolSide returns the mean Nusselt number, against height, of an
// upright face in a water pool (temperatures in K, height in m; f is water at
// the mean temperature), by the correlation for a vertical plate.
//
// The Rayleigh number takes twice the mean density difference to the pool over
// a linear profile across the boundary layer, which is the plain difference
// wherever density is linear. Near 4 degC, part of the layer rises and part
// sinks; for a wall of ice at 0 degC the two cancel at a pool of 6 degC, where
// experiments see the flow turn over between 5.5 and 6 degC (Bendell and
// Gebhart 1976; from memory, page not verified). There leastBuoyancy holds.
func NusseltPoolSide(wallTemperature, poolTemperature, height float64, f matter.Fluid) float64 {
	return NusseltVerticalPlate(RayleighPoolSide(wallTemperature, poolTemperature, height, f), f.Prandtl())
}

// RayleighPoolSide is the Rayleigh number that NusseltPoolSide uses.
func RayleighPoolSide(wallTemperature, poolTemperature, height float64, f matter.Fluid) float64 {
	wall, pool := matter.WaterDensity(wallTemperature), matter.WaterDensity(poolTemperature)
	middle := matter.WaterDensity((wallTemperature + poolTemperature) / 2)
	mean := (wall + 4*middle + pool) / 6 // Simpson, exact for a cubic density
	span := math.Abs(wall - pool)
	if (wallTemperature-densestWater)*(poolTemperature-densestWater) < 0 {
		span = matter.WaterDensity(densestWater) - math.Min(wall, pool)
	}
	drive := math.Max(2*math.Abs(mean-pool), leastBuoyancy*span)
	return densityRayleigh(drive, height, f)
}
