package transfer

import "math"

// besselI returns the modified Bessel function of the first kind, order 0 or
// 1, by its power series (Abramowitz and Stegun 9.6.10). All terms are
// positive, so no digits are lost; it overflows to +Inf beyond x = 713.
func besselI(order int, x float64) float64 {
	quarter := x * x / 4
	term := 1.0
	if order == 1 {
		term = x / 2
	}
	sum := term
	for k := 1; term > sum*1e-17; k++ {
		term *= quarter / float64(k*(k+order))
		sum += term
	}
	return sum
}

// besselK returns the modified Bessel function of the second kind, order 0 or
// 1, for x > 0: the integral over t of exp(-x cosh t) cosh(order t), Abramowitz
// and Stegun 9.6.24, by the trapezoidal rule, which converges geometrically
// because the integrand dies double-exponentially. The step follows the
// integrand's width, which is x^(-1/2) for large x.
func besselK(order int, x float64) float64 {
	step := 0.5 / math.Sqrt(x+16)
	sum := math.Exp(-x) / 2
	for t := step; ; t += step {
		c := math.Cosh(t)
		term := math.Exp(-x * c)
		if order == 1 {
			term *= c
		}
		sum += term
		if term < sum*1e-17 {
			return sum * step
		}
	}
}
