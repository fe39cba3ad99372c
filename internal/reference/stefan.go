package reference

import "math"

// StefanRoot returns the root l of sqrt(pi) l exp(l^2) erf(l) = stefan: the
// front of a one-phase problem whose other phase is at the melting point
// stands at 2 l sqrt(a t). stefan is c dT / L, above 0. Carslaw and Jaeger,
// Conduction of Heat in Solids, 2nd ed., 11.2.
func StefanRoot(stefan float64) float64 {
	return bisect(func(l float64) float64 {
		return math.Sqrt(math.Pi)*l*math.Exp(l*l)*math.Erf(l) - stefan
	}, 0, 20)
}

// Phase is a phase of a substance in a freezing problem.
type Phase struct {
	Conductivity, SpecificHeat, Density float64
}

// Diffusivity returns k/(rho c), m2/s.
func (p Phase) Diffusivity() float64 { return p.Conductivity / (p.Density * p.SpecificHeat) }

// NeumannRoot returns the root l of Neumann's two-phase freezing problem: a
// half space of liquid, superheat kelvins above its freezing point, whose face
// is suddenly held subcooling kelvins below it. The front stands at
// 2 l sqrt(a t) with a of the frozen phase. Both densities are taken equal.
// Carslaw and Jaeger, 2nd ed., 11.2 III.
func NeumannRoot(frozen, liquid Phase, latentHeat, subcooling, superheat float64) float64 {
	ratio := math.Sqrt(frozen.Diffusivity() / liquid.Diffusivity())
	stefan := frozen.SpecificHeat * subcooling / latentHeat
	return bisect(func(l float64) float64 {
		into := math.Exp(-l*l) / math.Erf(l)
		from := liquid.Conductivity / frozen.Conductivity * ratio * superheat / subcooling *
			math.Exp(-l*l*ratio*ratio) / math.Erfc(l*ratio)
		return l*math.Sqrt(math.Pi)/stefan - into + from
	}, 1e-9, 3)
}

// Front returns the depth of a front with the given root after a time, m.
func Front(root, diffusivity, time float64) float64 {
	return 2 * root * math.Sqrt(diffusivity*time)
}
