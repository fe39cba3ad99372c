package design

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"meltspan/quantity"
)

// State gives the quantity or count of a path the value that text states, in
// the notation of the design file: "119.4 g +- 0.2 g". Its spread is the one
// written, else that of the same text in a file. origin says how the value
// came to be known. The error is a Problem, and the design then stays as it
// was. The design is to be checked when all is stated.
func (d *Design) State(path, text string, origin quantity.Origin) error {
	knob, err := d.FindKnob(path)
	if err != nil {
		return Problem{Key: path, What: err.Error()}
	}
	f := fieldAt(path)
	if knob.Count {
		n, err := strconv.Atoi(text)
		if err != nil || !f.limits.holds(float64(n)) {
			return Problem{Key: path, What: fmt.Sprintf("%s cannot be %s", path, quote(text)), Right: "a whole number " + f.limitsInWords()}
		}
		*knob.count(d) = n
		d.Rederive()
		return nil
	}
	v, err := quantity.Parse(text, f.kind)
	if err != nil {
		return notStated(path, text, err, f.kind)
	}
	if !f.limits.holds(v.SI) || math.IsNaN(v.SI) || math.IsNaN(v.Spread) {
		return Problem{Key: path, What: fmt.Sprintf("%s is %s", path, text), Right: f.limits.String()}
	}
	if !spreadMark.MatchString(text) {
		v.Spread, v.Source = statedSpread(path, f.kind, v.SI)
	}
	v.Origin = origin
	*knob.get(d) = v
	d.Rederive()
	return nil
}

func notStated(path, text string, err error, kind quantity.Kind) error {
	p := Problem{Key: path, What: fmt.Sprintf("%s cannot be %s: %v", path, quote(text), err), Right: "such as " + quantity.Example(kind)}
	var known *quantity.ParseError
	if errors.As(err, &known) {
		p.What = fmt.Sprintf("%s cannot be %s: %s", path, quote(text), known.Reason)
		if known.Hint != "" {
			p.Right = known.Hint
		}
	}
	return p
}
