package reference

import "math"

// terms is enough for 12 digits from a Fourier number of 0.01 up.
const terms = 40

// PlaneWall returns the dimensionless temperature of a wall, initially 1, in
// surroundings at 0, at place (0 middle, 1 face). biot is h L/k and fourier
// a t/L^2 with L half the thickness. Incropera et al., Fundamentals of Heat
// and Mass Transfer, 7th ed., eq. 5.42.
func PlaneWall(biot, fourier, place float64) float64 {
	return decaying(PlaneWallTerm, biot, fourier, func(z float64) float64 { return math.Cos(z * place) })
}

// decaying sums the terms of a body that takes the temperature of its
// surroundings; shape is that of a root's term at the place asked for.
func decaying(term func(n int, biot float64) (root, coefficient float64), biot, fourier float64, shape func(root float64) float64) float64 {
	sum := 0.0
	for n := range terms {
		z, c := term(n, biot)
		sum += c * math.Exp(-z*z*fourier) * shape(z)
	}
	return sum
}

// PlaneWallTerm returns root n (from 0) of z tan z = biot and its coefficient.
func PlaneWallTerm(n int, biot float64) (root, coefficient float64) {
	low := float64(n) * math.Pi
	z := bisect(func(z float64) float64 { return z*math.Sin(z) - biot*math.Cos(z) }, low, low+math.Pi/2)
	return z, 4 * math.Sin(z) / (2*z + math.Sin(2*z))
}

// Cylinder is PlaneWall for a long cylinder; lengths are in radii. Incropera
// 7th ed. eq. 5.50.
func Cylinder(biot, fourier, place float64) float64 {
	return decaying(CylinderTerm, biot, fourier, func(z float64) float64 { return math.J0(z * place) })
}

// CylinderTerm returns root n (from 0) of z J1(z) = biot J0(z) and its
// coefficient.
func CylinderTerm(n int, biot float64) (root, coefficient float64) {
	low := 0.0
	if n > 0 {
		low = bisect(math.J1, float64(n)*math.Pi, (float64(n)+0.5)*math.Pi)
	}
	high := zeroOfJ0(n)
	z := bisect(func(z float64) float64 { return z*math.J1(z) - biot*math.J0(z) }, low, high)
	j0, j1 := math.J0(z), math.J1(z)
	return z, 2 / z * j1 / (j0*j0 + j1*j1)
}

func zeroOfJ0(n int) float64 {
	return bisect(math.J0, (float64(n)+0.5)*math.Pi, (float64(n)+1)*math.Pi)
}

// Sphere is PlaneWall for a sphere; lengths are in radii. Incropera 7th ed.
// eq. 5.51.
func Sphere(biot, fourier, place float64) float64 {
	return decaying(SphereTerm, biot, fourier, func(z float64) float64 {
		if place > 0 {
			return math.Sin(z*place) / (z * place)
		}
		return 1
	})
}

// SphereTerm returns root n (from 0) of 1 - z cot z = biot and its coefficient.
func SphereTerm(n int, biot float64) (root, coefficient float64) {
	low := float64(n) * math.Pi
	if n == 0 {
		low = 1e-6
	}
	z := bisect(func(z float64) float64 { return z*math.Cos(z) + (biot-1)*math.Sin(z) }, low, float64(n+1)*math.Pi)
	return z, 4 * (math.Sin(z) - z*math.Cos(z)) / (2*z - math.Sin(2*z))
}

// FiniteCylinder returns the temperature of a cylinder cooled all round at
// fractions of its radius and half height: the product of wall and long
// cylinder. fourier numbers and biot numbers are each on their own length.
// Incropera 7th ed. 5.8 (supplement) and Carslaw and Jaeger 1.15.
func FiniteCylinder(biotRadius, fourierRadius, biotHeight, fourierHeight, radius, height float64) float64 {
	return Cylinder(biotRadius, fourierRadius, radius) * PlaneWall(biotHeight, fourierHeight, height)
}

// Lumped returns the temperature excess, as a share of the first, of a body of
// one temperature after biot*fourier = h A t/(m c). Incropera 7th ed. eq. 5.6.
func Lumped(biotFourier float64) float64 { return math.Exp(-biotFourier) }

// SemiInfiniteStep returns 1 at the face and 0 deep inside a half space whose
// face has suddenly been changed, at depth x/(2 sqrt(a t)). Incropera 7th ed.
// eq. 5.60.
func SemiInfiniteStep(depth float64) float64 { return math.Erfc(depth) }

// SemiInfiniteConvection returns the change, as a share of the step in the
// fluid, at depth x/(2 sqrt(a t)) of a half space with surface coefficient h;
// film is h sqrt(a t)/k. Incropera 7th ed. eq. 5.63.
func SemiInfiniteConvection(depth, film float64) float64 {
	return math.Erfc(depth) - math.Exp(2*depth*film+film*film)*math.Erfc(depth+film)
}
