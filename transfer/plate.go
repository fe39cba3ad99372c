package transfer

import "math"

// oneSidedDiscConduction is the Nusselt number, against area over perimeter,
// of one face of an isothermal disc that conducts into a still half space:
// heat flow 2 D k dT over the area pi D^2/4 with length D/4 gives 2/pi
// (half of the shape factor 4 D of a disc in an infinite medium; Incropera et
// al., Fundamentals of Heat and Mass Transfer, 7th ed., Table 4.1). It is the
// floor that the horizontal correlations run into when the air stands still.
const oneSidedDiscConduction = 2 / math.Pi

// NusseltVerticalPlate returns the mean Nusselt number, against height, of an
// isothermal vertical plate in free convection:
//
//	Nu = (0.825 + 0.387 Ra^(1/6) / (1 + (0.492/Pr)^(9/16))^(8/27))^2
//
// Churchill and Chu, International Journal of Heat and Mass Transfer 18
// (1975) 1323; Incropera 7th ed. eq. 9.26. All Rayleigh numbers up to 1e12
// and all Prandtl numbers; scatter of the data about 10 %.
func NusseltVerticalPlate(rayleigh, prandtl float64) float64 {
	return NewVerticalPlate(prandtl).Nusselt(rayleigh)
}

// VerticalPlate is NusseltVerticalPlate for one fluid: it keeps the part that
// the Prandtl number fixes, for callers that ask many times.
type VerticalPlate struct{ slope float64 }

// NewVerticalPlate prepares the correlation for a Prandtl number.
func NewVerticalPlate(prandtl float64) VerticalPlate {
	return VerticalPlate{0.387 * prandtlFactor(0.492, prandtl)}
}

// Nusselt returns the mean Nusselt number at a Rayleigh number.
func (p VerticalPlate) Nusselt(rayleigh float64) float64 {
	root := 0.825 + p.slope*math.Sqrt(math.Cbrt(positive(rayleigh)))
	return root * root
}

// NusseltHorizontalCylinder returns the mean Nusselt number, against
// diameter, of a long isothermal horizontal cylinder in free convection:
//
//	Nu = (0.60 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))^2
//
// Churchill and Chu, International Journal of Heat and Mass Transfer 18
// (1975) 1049; Incropera 7th ed. eq. 9.34. Rayleigh numbers up to 1e12.
func NusseltHorizontalCylinder(rayleigh, prandtl float64) float64 {
	root := 0.60 + 0.387*math.Sqrt(math.Cbrt(positive(rayleigh)))*prandtlFactor(0.559, prandtl)
	return root * root
}

// prandtlFactor is (1 + (c/Pr)^(9/16))^(-8/27), shared by both correlations
// of Churchill and Chu.
func prandtlFactor(c, prandtl float64) float64 {
	s := math.Sqrt(math.Sqrt(c / prandtl)) // (c/Pr)^(1/4)
	n := s * s * math.Sqrt(math.Sqrt(s))   // (c/Pr)^(1/2 + 1/16)
	third := math.Cbrt(1 + n)
	return math.Cbrt(math.Cbrt(third)) / third // x^(1/27 - 9/27)
}

// NusseltVerticalCylinder returns the mean Nusselt number, against height, of
// the side of a vertical cylinder. It is the flat plate's number times
//
//	1 + B (sqrt(32) Gr^(-1/4) height/diameter)^C
//
// with B = 0.0571322 + 0.20305 Pr^-0.43 and
// C = 0.9165 - 0.0043 sqrt(Pr) + 0.01333 ln Pr + 0.0004809/Pr: the fit by
// Popiel, Wojtkowiak and Bober, Experimental Thermal and Fluid Science 32
// (2007) 607, to the solutions of Cebeci (1974). Made for Prandtl numbers of
// 0.01 to 100 and thick to slender cylinders in laminar flow. Below a Grashof
// number of 1e4, where boundary-layer theory ends, the correction keeps its
// value there.
func NusseltVerticalCylinder(rayleigh, prandtl, height, diameter float64) float64 {
	flat := NusseltVerticalPlate(rayleigh, prandtl)
	if !(diameter > 0) {
		return flat
	}
	grashof := math.Max(rayleigh/prandtl, 1e4)
	ln := math.Log(prandtl)
	b := 0.0571322 + 0.20305*math.Exp(-0.43*ln)
	c := 0.9165 - 0.0043*math.Sqrt(prandtl) + 0.01333*ln + 0.0004809/prandtl
	slender := math.Sqrt(32) / math.Sqrt(math.Sqrt(grashof)) * height / diameter
	return flat * (1 + b*math.Pow(slender, c))
}

// NusseltHorizontalUnstable returns the mean Nusselt number, against area over
// perimeter (a quarter of a disc's diameter), of a plate whose fluid rises
// freely off it: hot face up or cold face down.
//
//	Nu = 0.54 Ra^(1/4)  for 1e4 <= Ra <= 1e7
//	Nu = 0.15 Ra^(1/3)  for 3e7 <= Ra <= 1e11
//
// McAdams, Heat Transmission, 3rd ed. (1954), with the length of Goldstein,
// Sparrow and Jones (1973); Incropera 7th ed. eq. 9.30 and 9.31. The two do
// not meet at 1e7 (30.4 against 32.3): the step is spread to 3e7. Below 1e4
// the number falls along Ra^(1/4) to the conduction of a disc; that line stays
// within 16 % of the naphthalene data of Goldstein, Sparrow and Jones,
// International Journal of Heat and Mass Transfer 16 (1973) 1025, which give
// 0.96 Ra^(1/6) for 1..200 and 0.59 Ra^(1/4) for 200..1e4 (from memory, page
// not verified).
func NusseltHorizontalUnstable(rayleigh float64) float64 {
	const low, join, high = 1e4, 1e7, 3e7
	rayleigh = positive(rayleigh)
	fourth := math.Sqrt(math.Sqrt(rayleigh))
	switch {
	case rayleigh < low:
		return oneSidedDiscConduction + (0.54-oneSidedDiscConduction/10)*fourth // 10 = low^(1/4)
	case rayleigh <= join:
		return 0.54 * fourth
	case rayleigh < high:
		w := (rayleigh - join) / (high - join)
		return (1-w)*0.54*fourth + w*0.15*math.Cbrt(rayleigh)
	}
	return 0.15 * math.Cbrt(rayleigh)
}

// NusseltHorizontalStable returns the mean Nusselt number, against area over
// perimeter, of a plate whose fluid can only creep off its rim: hot face down
// or cold face up.
//
//	Nu = 0.52 Ra^(1/5)  for 1e4 <= Ra <= 1e9
//
// Radziemska and Lewandowski, Applied Energy 68 (2001) 347; Incropera 7th ed.
// eq. 9.32 (page from memory). The fit covers every Prandtl number from 0.7 up
// and does not contain it; the second argument, the Prandtl number, is there
// so that the caller states his fluid. Below 1e4 the number falls along
// Ra^(1/5) to the conduction of a disc; above 1e9 the fit is continued.
func NusseltHorizontalStable(rayleigh, _ float64) float64 {
	const low, lowFifth = 1e4, 6.30957344480193 // 1e4^(1/5)
	rayleigh = positive(rayleigh)
	fifth := math.Pow(rayleigh, 0.2)
	if rayleigh < low {
		return oneSidedDiscConduction + (0.52-oneSidedDiscConduction/lowFifth)*fifth
	}
	return 0.52 * fifth
}

// NusseltHorizontalStableMcAdams is the older correlation for the same faces,
// Nu = 0.27 Ra^(1/4) for 1e5 <= Ra <= 1e10 (McAdams 1954; Incropera 7th ed.,
// note to eq. 9.32), carried so that the spread between the two can be shown.
// Below 1e5 it falls along Ra^(1/4) to the conduction of a disc.
func NusseltHorizontalStableMcAdams(rayleigh float64) float64 {
	const low, lowFourth = 1e5, 17.7827941003892 // 1e5^(1/4)
	rayleigh = positive(rayleigh)
	fourth := math.Sqrt(math.Sqrt(rayleigh))
	if rayleigh < low {
		return oneSidedDiscConduction + (0.27-oneSidedDiscConduction/lowFourth)*fourth
	}
	return 0.27 * fourth
}

// NusseltForcedPlate returns the mean Nusselt number, against the length along
// the wind, of a flat plate in a parallel stream:
//
//	Nu = 0.664 Re^(1/2) Pr^(1/3)           for Re <= 5e5
//	Nu = (0.037 Re^(4/5) - 871) Pr^(1/3)   above
//
// Incropera 7th ed. eq. 7.30 and 7.38 (Prandtl 0.6 to 60; critical Reynolds
// number 5e5). The two branches meet at 5e5 within 0.1 %.
func NusseltForcedPlate(reynolds, prandtl float64) float64 {
	reynolds = positive(reynolds)
	if reynolds <= 5e5 {
		return 0.664 * math.Sqrt(reynolds) * math.Cbrt(prandtl)
	}
	return (0.037*math.Pow(reynolds, 0.8) - 871) * math.Cbrt(prandtl)
}

// NusseltCrossflow returns the mean Nusselt number, against diameter, of a
// cylinder in cross flow:
//
//	Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3) / (1 + (0.4/Pr)^(2/3))^(1/4) (1 + (Re/282000)^(5/8))^(4/5)
//
// Churchill and Bernstein, Journal of Heat Transfer 99 (1977) 300; Incropera
// 7th ed. eq. 7.54. Re Pr above 0.2; scatter of the data up to 20 %.
func NusseltCrossflow(reynolds, prandtl float64) float64 {
	reynolds = positive(reynolds)
	third := math.Cbrt(prandtl)
	laminar := 0.62 * math.Sqrt(reynolds) * third / math.Sqrt(math.Sqrt(1+math.Pow(0.4/prandtl, 2.0/3)))
	return 0.3 + laminar*math.Pow(1+math.Pow(reynolds/282000, 5.0/8), 4.0/5)
}

// Mixed joins a free and a forced Nusselt number (or two heat transfer
// coefficients) that act together, by the cube rule (free^3 + forced^3)^(1/3).
// Incropera 7th ed. eq. 9.64 with n = 3, for assisting and transverse flow.
func Mixed(free, forced float64) float64 {
	return math.Cbrt(free*free*free + forced*forced*forced)
}
