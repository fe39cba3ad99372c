package design

import (
	"reflect"
	"strings"
	"sync"

	"meltspan/quantity"
)

// shape is what a key of the file holds.
type shape int

const (
	shapeText     shape = iota // a word or free text
	shapeCount                 // a whole number
	shapeTruth                 // true or false
	shapeQuantity              // a number with its unit
	shapeSection               // keys of its own; left out, it takes every default
	shapeOptional              // keys of its own; left out, there is none
	shapeList                  // a list of sections
)

// field is one key of the design file, as its struct tags define it.
type field struct {
	key     string
	index   int // of the struct field
	shape   shape
	kind    quantity.Kind
	limits  interval
	preset  string // key of the table of defaults
	need    bool
	unless  string
	own     bool
	about   string
	choices []string
	names   string
	section *section // of shapeSection, shapeOptional and shapeList
}

// section is a set of keys that stand side by side.
type section struct {
	typ    reflect.Type
	fields []field
}

func (s *section) find(key string) *field {
	for i := range s.fields {
		if s.fields[i].key == key {
			return &s.fields[i]
		}
	}
	return nil
}

func (s *section) keys() []string {
	keys := make([]string, len(s.fields))
	for i := range s.fields {
		keys[i] = s.fields[i].key
	}
	return keys
}

// layout is the whole design file, worked out once from the tags of Design.
var layout = sync.OnceValue(func() *section { return newSection(reflect.TypeFor[Design]()) })

var valueType = reflect.TypeFor[quantity.Value]()

func newSection(t reflect.Type) *section {
	s := &section{typ: t}
	for i := range t.NumField() {
		tag := t.Field(i).Tag
		key := tag.Get("yaml")
		if key == "" || key == "-" {
			continue
		}
		f := field{
			key:    key,
			index:  i,
			kind:   quantity.Kind(tag.Get("kind")),
			preset: tag.Get("default"),
			need:   tag.Get("need") == "yes",
			unless: tag.Get("unless"),
			own:    tag.Get("own") == "yes",
			about:  tag.Get("about"),
			names:  tag.Get("names"),
		}
		if c := tag.Get("choice"); c != "" {
			f.choices = strings.Split(c, ",")
		}
		f.setShape(t.Field(i).Type)
		if r := tag.Get("range"); r != "" {
			f.limits = parseInterval(r, f.kind)
		}
		s.fields = append(s.fields, f)
	}
	return s
}

func (f *field) setShape(t reflect.Type) {
	switch {
	case t == valueType:
		f.shape = shapeQuantity
	case t.Kind() == reflect.Struct:
		f.shape, f.section = shapeSection, newSection(t)
	case t.Kind() == reflect.Pointer:
		f.shape, f.section = shapeOptional, newSection(t.Elem())
	case t.Kind() == reflect.Slice:
		f.shape, f.section = shapeList, newSection(t.Elem())
	case t.Kind() == reflect.Int:
		f.shape = shapeCount
	case t.Kind() == reflect.Bool:
		f.shape = shapeTruth
	default:
		f.shape = shapeText
	}
}

// walk visits every key below v, parents first, in the order of the file.
// Keys of the list of materials are reached by the material's name:
// "materials.pla.density". visit may stop the descent into a section by
// answering false.
func walk(v reflect.Value, s *section, path string, visit func(path string, f *field, v reflect.Value) bool) {
	for i := range s.fields {
		f := &s.fields[i]
		here, fv := join(path, f.key), v.Field(f.index)
		if !visit(here, f, fv) {
			continue
		}
		switch f.shape {
		case shapeSection:
			walk(fv, f.section, here, visit)
		case shapeOptional:
			if !fv.IsNil() {
				walk(fv.Elem(), f.section, here, visit)
			}
		case shapeList:
			for j := range fv.Len() {
				item := fv.Index(j)
				walk(item, f.section, join(here, item.Field(f.section.fields[0].index).String()), visit)
			}
		}
	}
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}
