package design

import (
	"bytes"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"meltspan/quantity"
)

// YAML writes the design as a file that Parse reads: what was stated,
// measured or fitted, and nothing that was filled in. Numbers are written so
// that they read back exactly.
func (d *Design) YAML() []byte {
	w := &writer{d: d}
	w.section(reflect.ValueOf(d).Elem(), layout(), "", "")
	return w.out.Bytes()
}

type writer struct {
	d   *Design
	out bytes.Buffer
}

func (w *writer) section(v reflect.Value, s *section, path, indent string) {
	for i := range s.fields {
		f := &s.fields[i]
		here, fv := join(path, f.key), v.Field(f.index)
		switch f.shape {
		case shapeSection:
			w.head(f.key, indent, false, func() { w.section(fv, f.section, here, indent+"  ") })
		case shapeOptional:
			if !fv.IsNil() {
				w.head(f.key, indent, true, func() { w.section(fv.Elem(), f.section, here, indent+"  ") })
			}
		case shapeList:
			w.head(f.key, indent, false, func() { w.list(fv, f.section, here, indent+"  ") })
		default:
			if text := w.scalar(f, fv, here); text != "" {
				fmt.Fprintf(&w.out, "%s%s: %s\n", indent, f.key, text)
			}
		}
	}
}

// head writes a section under its key. One with nothing in it is left out,
// or is {} where its presence alone says something.
func (w *writer) head(key, indent string, keep bool, body func()) {
	start := w.out.Len()
	fmt.Fprintf(&w.out, "%s%s:\n", indent, key)
	after := w.out.Len()
	body()
	if w.out.Len() > after {
		return
	}
	w.out.Truncate(start)
	if keep {
		fmt.Fprintf(&w.out, "%s%s: {}\n", indent, key)
	}
}

// list writes the materials that have values of the user's own.
func (w *writer) list(v reflect.Value, s *section, path, indent string) {
	for i := range v.Len() {
		item := v.Index(i)
		inner := &writer{d: w.d}
		inner.section(item, s, join(path, item.Field(0).String()), indent+"  ")
		if lines := inner.out.Bytes(); bytes.Count(lines, []byte("\n")) > 1 {
			lines[len(indent)] = '-'
			w.out.Write(lines)
		}
	}
}

func (w *writer) scalar(f *field, v reflect.Value, path string) string {
	logged := w.d.Room.Log != "" && (path == "room.temperature" || path == "room.humidity")
	if _, filled := w.d.filledIn(path, f, v); filled || logged {
		return ""
	}
	switch f.shape {
	case shapeQuantity:
		return valueText(v.Interface().(quantity.Value), f.kind, path)
	case shapeCount:
		return strconv.FormatInt(v.Int(), 10)
	case shapeTruth:
		if v.Bool() {
			return "true"
		}
		return ""
	}
	if text := v.String(); text == "" || plainWord.MatchString(text) && !slices.Contains(yamlWords, text) {
		return text
	}
	return strconv.Quote(v.String())
}

// plainWord needs no quotes unless it is one of the words that YAML 1.1 or
// 1.2 takes for something else.
var (
	plainWord = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)
	yamlWords = []string{"null", "true", "false", "yes", "no", "on", "off", "y", "n"}
)

// valueText writes a value of the user's own, with its spread unless that was
// assumed and would be again.
func valueText(v quantity.Value, kind quantity.Kind, path string) string {
	switch v.Origin {
	case quantity.Stated, quantity.Measured, quantity.Fitted:
	default:
		return ""
	}
	text := exactText(v.SI, kind)
	if spread, source := statedSpread(path, kind, v.SI); spread != v.Spread || source != v.Source {
		if kind == quantity.Temperature {
			kind = quantity.TemperatureDifference
		}
		text += " +- " + exactText(v.Spread, kind)
	}
	return text
}

// exactText writes a number in the preferred unit of its kind with as few
// digits as read back to the same number, else to the nearest one.
func exactText(si float64, kind quantity.Kind) string {
	unit := quantity.Units(kind)[0]
	text := ""
	for digits := 1; digits <= 19; digits++ {
		text = trimZeros(quantity.FormatIn(si, kind, unit, digits))
		if v, err := quantity.Parse(text, kind); err == nil && v.SI == si {
			break
		}
	}
	return text
}

// trimZeros takes the idle zeros off a number: "80.00 mm" is "80 mm".
func trimZeros(text string) string {
	number, unit, _ := strings.Cut(text, " ")
	if strings.Contains(number, ".") && !strings.ContainsAny(number, "eE") {
		number = strings.TrimRight(strings.TrimRight(number, "0"), ".")
	}
	if unit == "" {
		return number
	}
	return number + " " + unit
}
