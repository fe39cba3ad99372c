package reference

import "math"

// HotLidCylinder returns the steady temperature in a solid cylinder whose upper
// end is at 1 and whose side and lower end are at 0, at radius and height as
// fractions of its own; slenderness is height over radius. Carslaw and Jaeger,
// Conduction of Heat in Solids, 2nd ed., 8.3.
func HotLidCylinder(radius, height, slenderness float64) float64 {
	sum := 0.0
	for n := range 60 {
		z := zeroOfJ0(n)
		rise := math.Exp(z*slenderness*(height-1)) * (1 - math.Exp(-2*z*slenderness*height)) /
			(1 - math.Exp(-2*z*slenderness)) // sinh(z s y)/sinh(z s) without overflow
		sum += 2 / (z * math.J1(z)) * math.J0(z*radius) * rise
	}
	return sum
}
