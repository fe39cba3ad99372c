// Package reference holds problems of heat conduction whose exact solutions
// are known. Tests use them to judge the formulas and solvers of Meltspan;
// nothing that ships imports it. Arguments are SI or dimensionless.
package reference

// bisect returns a root of f between low and high. f must change sign once
// there; 200 halvings exhaust a float64.
func bisect(f func(float64) float64, low, high float64) float64 {
	rising := f(high) > 0
	for range 200 {
		middle := (low + high) / 2
		if (f(middle) > 0) == rising {
			high = middle
		} else {
			low = middle
		}
	}
	return (low + high) / 2
}
