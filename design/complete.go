package design

import (
	"reflect"
	"strconv"

	"meltspan/quantity"
)

// choice says where a word or a count came from that the file leaves out.
type choice struct {
	origin quantity.Origin
	source string
}

// complete fills in what the file leaves out: defaults first, then what
// the handbook says of substance and materials, then what follows from other values. Values that were stated stay.
func (d *Design) complete() {
	d.chosen = map[string]choice{}
	d.completeSection(reflect.ValueOf(d).Elem(), layout(), "")
	d.completeSubstance()
	if d.Store.Form == "" {
		d.Store.Form = FormLiquid
		if d.frozenAtStart() {
			d.Store.Form = FormBlock
		}
		d.chosen["store.form"] = choice{quantity.Derived, "from the substance and its temperature at the start"}
	}
	d.completeMaterials()
	d.Rederive()
}

// absentCount stands in a count with a default until the file or the default
// fills it: 0 is a count that users state. No count may be negative, so it
// never comes from a file.
const absentCount = -1

// markAbsent prepares a section for reading.
func markAbsent(v reflect.Value, s *section) {
	walk(v, s, "", func(_ string, f *field, v reflect.Value) bool {
		if f.shape == shapeCount && f.preset != "" {
			v.SetInt(absentCount)
		}
		return f.shape != shapeList
	})
}

// completeSection gives every absent key of a section its default.
func (d *Design) completeSection(v reflect.Value, s *section, path string) {
	walk(v, s, path, func(here string, f *field, v reflect.Value) bool {
		p := presetIndex()[f.preset]
		if p == nil {
			return f.shape != shapeList
		}
		switch f.shape {
		case shapeQuantity:
			if here == "stand.contact.starting_gap" && d.Stand.Contact.Mode != ContactNone {
				return true // follows from other values
			}
			if here == "store.freezer.film" && d.Store.Freezer.AirSpeed.Present() {
				return true // follows from it
			}
			if val := v.Addr().Interface().(*quantity.Value); !val.Present() {
				*val = presetValues()[p.key]
			}
		case shapeText:
			if v.String() == "" {
				v.SetString(p.text)
				d.chosen[here] = choice{p.origin, p.source}
			}
		case shapeCount:
			if v.Int() == absentCount {
				n, err := strconv.Atoi(p.text)
				if err != nil { // the table is part of the program; a test reads it all
					panic("design: default " + p.key + ": " + err.Error())
				}
				v.SetInt(int64(n))
				d.chosen[here] = choice{p.origin, p.source}
			}
		}
		return true
	})
}
