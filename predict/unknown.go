package predict

import (
	"math"
	"strings"

	"meltspan/design"
	"meltspan/quantity"
)

// Unknown is one uncertain input of a design, drawn as every sweep draws it:
// from one standard normal deviate.
type Unknown struct{ v variable }

// Unknowns lists the uncertain inputs of a design.
func Unknowns(d *design.Design) ([]Unknown, error) {
	vs, err := variables(d)
	if err != nil {
		return nil, err
	}
	out := make([]Unknown, len(vs))
	for i, v := range vs {
		out[i] = Unknown{v}
	}
	return out, nil
}

// Input is the input's path, kind and stated value.
func (u *Unknown) Input() design.Input { return u.v.Input }

// At is the input's value, SI, for a deviate.
func (u *Unknown) At(deviate float64) float64 { return u.v.at(deviate) }

// Set gives the input of a design the value for a deviate. Call the design's
// Rederive when all inputs are set.
func (u *Unknown) Set(d *design.Design, deviate float64) {
	u.v.set(d).SI = u.v.at(deviate)
}

// Deviate is the standard normal deviate that stands for a value, SI: the
// inverse of At where that is not held at an end of the range.
func (u *Unknown) Deviate(si float64) float64 {
	value, spread := u.v.Value.SI, u.v.Value.Spread
	switch {
	case u.v.Kind == quantity.Temperature || u.v.Kind == quantity.TemperatureDifference || value <= 0:
		return (si - value) / spread
	case u.v.Kind == quantity.Fraction && value < 1 && !strings.HasPrefix(u.v.Path, "model."):
		logit := func(p float64) float64 { return math.Log(p / (1 - p)) }
		return (logit(si) - logit(value)) * value * (1 - value) / spread
	}
	relative := spread / value
	return math.Log(si/value) / math.Sqrt(math.Log1p(relative*relative))
}

// Shared reports whether another design that has this input has the same
// unknown with it, as in Compare: the material and the correlations are shared;
// what is weighed or set up anew is not, nor are the properties of different
// stores.
func (u *Unknown) Shared(sameStore bool) bool {
	return !u.v.Own && common(u.v, u.v, sameStore)
}
