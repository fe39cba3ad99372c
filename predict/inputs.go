package predict

import (
	"fmt"
	"math"
	"strings"

	"meltspan/design"
	"meltspan/quantity"
)

// variable is one uncertain input with its distribution.
type variable struct {
	design.Input
	set func(*design.Design) *quantity.Value
}

// variables lists the uncertain inputs of a design.
func variables(d *design.Design) ([]variable, error) {
	inputs := d.Quantities()
	out := make([]variable, 0, len(inputs))
	for _, input := range inputs {
		set, err := design.Accessor(input.Path)
		if err != nil {
			return nil, fmt.Errorf("predict: %w", err)
		}
		out = append(out, variable{input, set})
	}
	return out, nil
}

// at turns a standard normal deviate into a value of the input.
//
// Temperatures, and values that may be negative, are normal. Shares between 0
// and 1 are normal in the logit, so that they stay shares. Everything else is
// log-normal with the stated value as its median, so that conductances,
// lengths and masses stay positive. The spread is the standard deviation near
// the value in every case.
// Draws beyond the range that a design file may state are held at its ends.
func (v *variable) at(z float64) float64 {
	return math.Min(math.Max(v.free(z), v.Low), v.High)
}

func (v *variable) free(z float64) float64 {
	value, spread := v.Value.SI, v.Value.Spread
	switch {
	case v.symmetric():
		return value + spread*z
	case v.share():
		slope := spread / (value * (1 - value))
		logit := math.Log(value/(1-value)) + slope*z
		return 1 / (1 + math.Exp(-logit))
	}
	relative := spread / value
	return value * math.Exp(math.Sqrt(math.Log1p(relative*relative))*z)
}

// symmetric reports whether an input is taken as normal.
func (v *variable) symmetric() bool {
	return v.Kind == quantity.Temperature || v.Kind == quantity.TemperatureDifference || v.Value.SI <= 0
}

// share reports whether an input is a share between 0 and 1.
func (v *variable) share() bool {
	return v.Kind == quantity.Fraction && v.Value.SI < 1 && !strings.HasPrefix(v.Path, "model.")
}
