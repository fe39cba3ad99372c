package design

import (
	"fmt"
	"reflect"
	"slices"

	"meltspan/quantity"
)

// Assumption is one value that the file leaves out and the program fills in.
type Assumption struct {
	Key    string // path
	Value  string // as people write it
	Spread string // one standard uncertainty; "" when taken as exact
	Origin quantity.Origin
	Source string
	About  string // what the key means
}

// Assumptions lists every default, derived value and handbook value that the
// design makes use of, in the order of the file.
func (d *Design) Assumptions() []Assumption {
	return d.list(true, quantity.Handbook, quantity.Guessed, quantity.Derived)
}

// Statements lists what the file says itself and the design makes use of, in
// the order of the file: values that were stated, measured or fitted, words and
// counts. The source is "" unless the file, or who set the value, names one.
func (d *Design) Statements() []Assumption {
	return d.list(false, quantity.Stated, quantity.Measured, quantity.Fitted)
}

// list are the quantities of some origins, and the words and counts that were
// filled in or those that were not.
func (d *Design) list(filled bool, origins ...quantity.Origin) []Assumption {
	var list []Assumption
	d.eachInUse(func(path string, f *field, v reflect.Value) {
		switch f.shape {
		case shapeQuantity:
			if val := v.Interface().(quantity.Value); slices.Contains(origins, val.Origin) {
				list = append(list, Assumption{path, show(val.SI, f.kind), spreadText(val.Spread, f.kind), val.Origin, val.Source, f.about})
			}
		case shapeText, shapeCount:
			text := fmt.Sprint(v.Interface())
			switch c, ok := d.filledIn(path, f, v); {
			case ok != filled:
			case filled:
				list = append(list, Assumption{path, text, "", c.origin, c.source, f.about})
			case text != "" && f.key != "name" && path != "meltspan" && path != "note":
				list = append(list, Assumption{path, text, "", quantity.Stated, "", f.about})
			}
		}
	})
	return list
}

// filledIn reports whether a word or a count is what the default made it, not
// stated nor changed since.
func (d *Design) filledIn(path string, f *field, v reflect.Value) (choice, bool) {
	c, ok := d.chosen[path]
	if p := presetIndex()[f.preset]; ok && p != nil && p.text != fmt.Sprint(v.Interface()) {
		return choice{}, false
	}
	return c, ok
}

func spreadText(spread float64, kind quantity.Kind) string {
	if spread == 0 {
		return ""
	}
	if kind == quantity.Temperature {
		kind = quantity.TemperatureDifference
	}
	return trimZeros(quantity.Format(spread, kind, 2))
}
