package transfer

import "math"

// ShellConductance returns the radial conductance of a tube wall, W/K:
// 2 pi k height / ln(outer/inner). Lengths in m, conductivity in W/(m K). +Inf
// for a wall without thickness. Incropera 7th ed. eq. 3.33.
func ShellConductance(conductivity, innerRadius, outerRadius, height float64) float64 {
	return 2 * math.Pi * conductivity * height / math.Log(outerRadius/innerRadius)
}

// HalfSpaceConductance returns the conductance, W/K, of a half space of the
// given conductivity as seen from an isothermal disc of the given radius on
// its face: 4 k a, the spreading or constriction resistance on one side of a
// small contact. Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed.,
// 8.2; Incropera 7th ed. Table 4.1.
func HalfSpaceConductance(conductivity, radius float64) float64 {
	return 4 * conductivity * radius
}

// FinEfficiency returns the efficiency tanh(m L)/(m L) of a straight fin with
// an adiabatic tip; m = sqrt(h P / (k A)), 1/m, L its length, m. Incropera 7th
// ed. eq. 3.94.
func FinEfficiency(m, length float64) float64 {
	x := m * length
	if math.Abs(x) < 1e-4 {
		return 1 - x*x/3 // next term of the series is below rounding
	}
	return math.Tanh(x) / x
}

// AnnularFinEfficiency returns the efficiency of a flat ring of even thickness
// that sticks out of a tube from innerRadius to outerRadius, both faces wetted
// by the heat transfer coefficient h and its edge adiabatic:
//
//	2 r1/(m (r2^2 - r1^2)) (K1(m r1) I1(m r2) - I1(m r1) K1(m r2)) /
//	                       (I0(m r1) K1(m r2) + K0(m r1) I1(m r2))
//
// with m = sqrt(2 h/(k t)). Incropera 7th ed. eq. 3.96. Lengths in m, k in
// W/(m K), h in W/(m2 K). A lip with one wetted face has h/2. 1 when no heat
// is exchanged or there is no ring; 0 when m r2 exceeds 600, where the ring is
// cold but for its root.
func AnnularFinEfficiency(conductivity, thickness, innerRadius, outerRadius, heatTransferCoefficient float64) float64 {
	m := math.Sqrt(2 * heatTransferCoefficient / (conductivity * thickness))
	a, b := m*innerRadius, m*outerRadius
	switch {
	case !(outerRadius > innerRadius) || !(b-a > 1e-6):
		return 1
	case b > 600:
		return 0
	}
	if innerRadius <= 0 {
		return 2 * besselI(1, b) / (b * besselI(0, b)) // a full disc heated at its rim has no root inside
	}
	k1, i1 := besselK(1, b), besselI(1, b)
	flow := besselK(1, a)*i1 - besselI(1, a)*k1
	root := besselI(0, a)*k1 + besselK(0, a)*i1
	return 2 * a / (b*b - a*a) * flow / root
}
