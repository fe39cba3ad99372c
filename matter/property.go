package matter

import "math"

// Property is one number about a material, with what is known about it. A
// property whose Source is empty is not stated.
type Property struct {
	Value  float64
	Spread float64 // standard uncertainty, in the unit of Value
	Low    float64 // published span, in the same unit; both 0 if none was seen
	High   float64
	Source string
}

// Stated reports whether the property is known at all.
func (p Property) Stated() bool { return p.Source != "" }

// known is a value with a standard uncertainty.
func known(value, spread float64, source string) Property {
	return Property{Value: value, Spread: spread, Source: source}
}

// spanned is a property of which only the published span is known: its
// middle, with the standard uncertainty of a rectangular distribution over
// the span, (high - low)/sqrt(12) (JCGM 100:2008, 4.3.7).
func spanned(low, high float64, source string) Property {
	return Property{
		Value:  (low + high) / 2,
		Spread: (high - low) / math.Sqrt(12),
		Low:    low, High: high,
		Source: source,
	}
}

// within is a best value off the middle of a published span; the standard
// uncertainty is again that of a rectangular distribution over the span.
func within(value, low, high float64, source string) Property {
	p := spanned(low, high, source)
	p.Value = value
	return p
}

// degC turns the span of a temperature from Celsius to kelvin.
func degC(p Property) Property {
	p.Value += IcePoint
	if p.High > 0 {
		p.Low += IcePoint
		p.High += IcePoint
	}
	return p
}
