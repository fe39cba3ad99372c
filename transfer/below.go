package transfer

import "math"

// criticalRayleigh is where a layer between two rigid conducting plates of
// infinite extent begins to convect (Pellew and Southwell 1940: 1707.762).
const criticalRayleigh = 1708

// NusseltHeatedBelow returns the Nusselt number, against thickness, of a wide
// horizontal layer of air or a like gas heated from below:
//
//	Nu = 1 + 1.44 [1 - 1708/Ra] + [(Ra/5830)^(1/3) - 1]
//
// where a bracket that is negative counts as zero. Hollands, Unny, Raithby and
// Konicek, Journal of Heat Transfer 98 (1976) 189; Rayleigh numbers up to 1e8.
func NusseltHeatedBelow(rayleigh float64) float64 {
	if !(rayleigh > criticalRayleigh) {
		return 1
	}
	return 1 + 1.44*(1-criticalRayleigh/rayleigh) + math.Max(0, math.Cbrt(rayleigh/5830)-1)
}

// NusseltHeatedBelowLiquid is the same for any Prandtl number: the factor 1.44
// becomes k1 + 2 (Ra^(1/3)/k2)^(1 - ln(Ra^(1/3)/k2)), with
//
//	k1 = 1.44 / (1 + 0.018/Pr + 0.00136/Pr^2)
//	k2 = 75 exp(1.5 Pr^(-1/2))
//
// Hollands, International Journal of Heat and Mass Transfer 27 (1984) 466. The
// constant 5830 of the 1976 paper is kept, which the later one prints as 5803
// (0.2 %).
func NusseltHeatedBelowLiquid(rayleigh, prandtl float64) float64 {
	if !(rayleigh > criticalRayleigh) {
		return 1
	}
	third := math.Cbrt(rayleigh)
	k1 := 1.44 / (1 + 0.018/prandtl + 0.00136/(prandtl*prandtl))
	ln := math.Log(third/75) - 1.5/math.Sqrt(prandtl)
	k1 += 2 * math.Exp(ln*(1-ln))
	return 1 + (1-criticalRayleigh/rayleigh)*k1 + math.Max(0, math.Cbrt(rayleigh/5830)-1)
}

// Critical Rayleigh numbers of an upright cylinder heated from below, by
// diameter over height. Buell and Catton, Journal of Heat Transfer 105 (1983)
// 255, as tabulated in the Handbook of Heat Transfer (1998), chapter 4.
var (
	cylinderShape      = [...]float64{0.4, 0.5, 0.7, 1, 1.4, 2, 3, 4, 6}
	cylinderAdiabatic  = [...]float64{51800, 23800, 8420, 3770, 2650, 2260, 1900, 1830, criticalRayleigh}
	cylinderConducting = [...]float64{151200, 66600, 21300, 8010, 4350, 2540, 2010, 1880, criticalRayleigh}
)

// CriticalRayleighCylinder returns the Rayleigh number, against height, at
// which the fluid in an upright cylinder heated from below begins to move.
// conductingWall is true for a side wall that holds a linear temperature
// profile, false for an adiabatic one. The table is interpolated on double
// logarithmic scale; above a ratio of 6 the wide layer's 1708 stands, below
// 0.4 the value rises as the inverse fourth power of the ratio, the limit of a
// slender tube.
func CriticalRayleighCylinder(diameterOverHeight float64, conductingWall bool) float64 {
	table := &cylinderAdiabatic
	if conductingWall {
		table = &cylinderConducting
	}
	last := len(cylinderShape) - 1
	if diameterOverHeight <= cylinderShape[0] {
		s := cylinderShape[0] / positive(diameterOverHeight)
		return table[0] * s * s * s * s
	}
	for i := range last {
		if diameterOverHeight <= cylinderShape[i+1] {
			w := math.Log(diameterOverHeight/cylinderShape[i]) / math.Log(cylinderShape[i+1]/cylinderShape[i])
			return table[i] * math.Pow(table[i+1]/table[i], w)
		}
	}
	return table[last]
}

// NusseltHeatedBelowCylinder returns the Nusselt number, against height, of
// air in an upright cylinder heated from below. It is the wide layer's
// correlation with the critical number of that cylinder in the first bracket
// and the second bracket faded in by
//
//	1 - exp(-0.95 ((Ra/Rac)^(1/3) - 1))
//
// the form Hollands (International Journal of Heat and Mass Transfer 27 (1984)
// 466) gives for enclosures of finite width. Nu is 1 below the critical number.
func NusseltHeatedBelowCylinder(rayleigh, diameterOverHeight float64, conductingWall bool) float64 {
	if !(rayleigh > criticalRayleigh) {
		return 1 // no finite cylinder convects before the wide layer does
	}
	critical := CriticalRayleighCylinder(diameterOverHeight, conductingWall)
	if rayleigh <= critical {
		return 1
	}
	nusselt := 1 + 1.44*(1-critical/rayleigh)
	turbulent := math.Cbrt(rayleigh/5830) - 1
	if turbulent <= 0 {
		return nusselt
	}
	if critical > criticalRayleigh {
		turbulent *= 1 - math.Exp(-0.95*(math.Cbrt(rayleigh/critical)-1))
	}
	return nusselt + turbulent
}
