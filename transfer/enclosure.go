package transfer

import "math"

// Band is a strip of the inner face of a closed space round an axis: the cone,
// cylinder or flat ring between two circles of radius R and height Z, m. Seen in
// the half plane with the axis at the left, the space lies to the left of the
// way from the first circle to the second.
type Band struct{ R0, Z0, R1, Z1 float64 }

// Area of a band, m2.
func (b Band) Area() float64 { return math.Pi * (b.R0 + b.R1) * b.length() }

func (b Band) length() float64 { return math.Hypot(b.R1-b.R0, b.Z1-b.Z0) }

// ExchangeAreas returns A_i F_ij, m2, for every pair of bands that together close
// a space round an axis, with an opaque core of the given radius, m, in it (0 for
// none; the bands on it are part of the list). F is the view factor of diffuse
// radiation,
//
//	A_i F_ij = double integral of cos_i cos_j / (pi s^2) dA_i dA_j
//
// (Incropera 7th ed. eq. 13.1 to 13.5), by Gauss's rule round the axis and along
// the bands, finer where bands are near. The result is symmetric, and scaled so
// that each row adds up to its area, as a closed space must: quadrature alone
// misses that by some per cent where bands meet.
func ExchangeAreas(bands []Band, core float64) [][]float64 {
	e := exchangeByQuadrature(bands, core)
	n := len(bands)
	scale := make([]float64, n)
	for i := range scale {
		scale[i] = 1
	}
	for range 200 {
		worst := 0.0
		for i := range n {
			sum := 0.0
			for j := range n {
				sum += e[i][j] * scale[i] * scale[j]
			}
			off := bands[i].Area() / sum
			scale[i] *= math.Sqrt(off)
			worst = math.Max(worst, math.Abs(off-1))
		}
		if worst < 1e-9 {
			break
		}
	}
	for i := range n {
		for j := range n {
			e[i][j] *= scale[i] * scale[j]
		}
	}
	return e
}

// Points and weights of Gauss's rules on 0 to 1 (Abramowitz and Stegun, Table
// 25.4).
var (
	gauss3 = [][2]float64{{0.1127016653792583, 5.0 / 18}, {0.5, 8.0 / 18}, {0.8872983346207417, 5.0 / 18}}
	gauss8 = [][2]float64{
		{0.0198550717512319, 0.0506142681451881}, {0.1016667612931866, 0.1111905172266872},
		{0.2372337950418355, 0.1568533229389436}, {0.4082826787521751, 0.1813418916891810},
		{0.5917173212478249, 0.1813418916891810}, {0.7627662049581645, 0.1568533229389436},
		{0.8983332387068134, 0.1111905172266872}, {0.9801449282487681, 0.0506142681451881},
	}
)

func exchangeByQuadrature(bands []Band, core float64) [][]float64 {
	n := len(bands)
	e := make([][]float64, n)
	for i := range e {
		e[i] = make([]float64, n)
	}
	for i := range n {
		for j := i; j < n; j++ {
			a, b := bands[i], bands[j]
			parts := 1
			reach := math.Max(a.length(), b.length())
			if math.Hypot((a.R0+a.R1-b.R0-b.R1)/2, (a.Z0+a.Z1-b.Z0-b.Z1)/2) < 2*reach {
				parts = 4
			}
			e[i][j] = exchange(a, b, core, parts)
			e[j][i] = e[i][j]
		}
	}
	return e
}

// exchange is A_a F_ab with every band cut into so many parts.
func exchange(a, b Band, core float64, parts int) float64 {
	sum := 0.0
	h := 1 / float64(parts)
	for p := range parts {
		for _, u := range gauss3 {
			for q := range parts {
				for _, v := range gauss3 {
					sum += h * h * u[1] * v[1] * circles(a, (float64(p)+u[0])*h, b, (float64(q)+v[0])*h, core)
				}
			}
		}
	}
	return sum * a.length() * b.length()
}

// circles is what two circles at shares u and v along their bands exchange, per
// length of each, m.
func circles(a Band, u float64, b Band, v, core float64) float64 {
	r1, z1, r2, z2 := a.R0+u*(a.R1-a.R0), a.Z0+u*(a.Z1-a.Z0), b.R0+v*(b.R1-b.R0), b.Z0+v*(b.Z1-b.Z0)
	la, lb := a.length(), b.length()
	nr1, nz1, nr2, nz2 := -(a.Z1-a.Z0)/la, (a.R1-a.R0)/la, -(b.Z1-b.Z0)/lb, (b.R1-b.R0)/lb
	furthest := math.Pi
	if core > 0 { // behind the tangents to the core nothing is seen
		furthest = math.Min(furthest, math.Acos(math.Min(core/r1, 1))+math.Acos(math.Min(core/r2, 1)))
	}
	sum, dz := 0.0, z2-z1
	for _, g := range gauss8 {
		// The cube gathers the points where the circles are nearest.
		angle, weight := furthest*g[0]*g[0]*g[0], furthest*3*g[0]*g[0]*g[1]
		cos := math.Cos(angle)
		out := nr1*(r2*cos-r1) + nz1*dz
		in := -(nr2*(r2-r1*cos) + nz2*dz)
		if out <= 0 || in <= 0 {
			continue
		}
		square := r1*r1 + r2*r2 - 2*r1*r2*cos + dz*dz
		sum += weight * out * in / (math.Pi * square * square)
	}
	return 2 * math.Pi * r1 * 2 * r2 * sum
}
