package transfer

import "math"

// NusseltVerticalLayer returns the mean Nusselt number, against thickness, of
// an upright fluid layer between a warm and a cold wall; aspect is its height
// over its thickness. From aspect 5 up it is the largest of
//
//	0.0605 Ra^(1/3)
//	(1 + (0.104 Ra^0.293 / (1 + (6310/Ra)^1.36))^3)^(1/3)
//	0.242 (Ra/aspect)^0.272
//
// ElSherbiny, Raithby and Hollands, Journal of Heat Transfer 104 (1982) 96
// (air, aspect 5 to 110, Ra 1e2 to 2e7). Up to 2.5 it is that of Catton (6th
// International Heat Transfer Conference, 1978; Incropera 7th ed. eq. 9.50 and
// 9.51), and between 2.5 and 5, where the two differ by some 5 %, a blend.
// Never below 1. For water use aspects below 5 or accept that the tall-layer
// data are for air. Below aspect 1 the value for 1 is returned, an upper
// bound.
func NusseltVerticalLayer(rayleigh, aspect, prandtl float64) float64 {
	const low, high = 2.5, 5.0
	rayleigh = positive(rayleigh)
	if rayleigh < 1 {
		return 1
	}
	ln := math.Log(rayleigh)
	if aspect >= high {
		return tallLayer(ln, aspect)
	}
	shallow := shallowLayer(ln, aspect, prandtl)
	if !(aspect > low) {
		return shallow
	}
	w := (aspect - low) / (high - low)
	return (1-w)*shallow + w*tallLayer(ln, aspect)
}

// tallLayer is ElSherbiny's correlation from the logarithm of the Rayleigh
// number, so that its three powers cost one exponential each.
func tallLayer(ln, aspect float64) float64 {
	turbulent := 0.0605 * math.Exp(ln/3)
	transition := 0.104 * math.Exp(0.293*ln) / (1 + math.Exp(1.36*(math.Log(6310)-ln)))
	conduction := math.Cbrt(1 + transition*transition*transition)
	boundary := 0.242 * math.Exp(0.272*(ln-math.Log(aspect)))
	return math.Max(turbulent, math.Max(conduction, boundary))
}

// shallowLayer is Catton's pair of correlations,
//
//	0.18 (Ra Pr/(0.2+Pr))^0.29                 for aspects 1 to 2
//	0.22 (Ra Pr/(0.2+Pr))^0.28 aspect^(-1/4)   for aspects 2 to 10
//
// with the step of some 6 % at aspect 2 spread from 1.5 to 2.5, and at least 1.
func shallowLayer(ln, aspect, prandtl float64) float64 {
	const low, high = 1.5, 2.5
	ln += math.Log(prandtl / (0.2 + prandtl))
	w := math.Min(math.Max((aspect-low)/(high-low), 0), 1)
	nusselt := 0.0
	if w < 1 {
		nusselt += (1 - w) * 0.18 * math.Exp(0.29*ln)
	}
	if w > 0 {
		nusselt += w * 0.22 * math.Exp(0.28*ln) / math.Sqrt(math.Sqrt(aspect))
	}
	return math.Max(1, nusselt)
}

// NusseltVerticalLayerISO15099 is the form that glazing standards use for the
// same layer, the larger of 0.242 (Ra/aspect)^0.272 and
//
//	0.0673838 Ra^(1/3)                    for Ra > 5e4
//	0.028154 Ra^0.4134                    for 1e4 < Ra <= 5e4
//	1 + 1.7596678e-10 Ra^2.2984755        up to 1e4
//
// ISO 15099:2003 eq. 49 to 52 (after Wright 1996), for Ra below 1e6. It has no
// Prandtl number: it is for air and glazing gases.
func NusseltVerticalLayerISO15099(rayleigh, aspect float64) float64 {
	rayleigh = positive(rayleigh)
	var nusselt float64
	switch {
	case rayleigh > 5e4:
		nusselt = 0.0673838 * math.Cbrt(rayleigh)
	case rayleigh > 1e4:
		nusselt = 0.028154 * math.Pow(rayleigh, 0.4134)
	default:
		nusselt = 1 + 1.7596678e-10*math.Pow(rayleigh, 2.2984755)
	}
	return math.Max(nusselt, 0.242*math.Pow(rayleigh/aspect, 0.272))
}

// NusseltAnnulus returns the effective over the true conductivity of
// the fluid between two long concentric horizontal cylinders, so that the heat
// flow per length is 2 pi k ratio dT / ln(outer/inner):
//
//	ratio = 0.386 (Pr/(0.861+Pr))^(1/4) Ra^(1/4), at least 1
//
// The Rayleigh number is formed with AnnulusLength. Raithby and Hollands,
// Advances in Heat Transfer 11 (1975) 265; Incropera 7th ed. eq. 9.58 and
// 9.59. Rayleigh numbers of 1e2 to 1e7.
func NusseltAnnulus(rayleigh, prandtl float64) float64 {
	return math.Max(1, 0.386*math.Sqrt(math.Sqrt(prandtl/(0.861+prandtl)*positive(rayleigh))))
}

// AnnulusLength returns the length, m, on which the Rayleigh number of
// concentric horizontal cylinders of the given radii, m, is formed:
// 2 ln(ro/ri)^(4/3) / (ri^(-3/5) + ro^(-3/5))^(5/3). Incropera 7th ed. eq. 9.60.
func AnnulusLength(innerRadius, outerRadius float64) float64 {
	sum := math.Pow(innerRadius, -0.6) + math.Pow(outerRadius, -0.6)
	return 2 * math.Pow(math.Log(outerRadius/innerRadius), 4.0/3) / math.Pow(sum, 5.0/3)
}
