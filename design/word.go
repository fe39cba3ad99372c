package design

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// Word is a key of the design that holds one of several words: a material, a
// way of contact, or true and false.
type Word struct {
	Path    string
	About   string
	Allowed []string
	field   *field
	index   []int
}

// FindWord finds the word of a path in a design. The substance of the store is
// none that can be exchanged: too much else in a design is stated for it.
func (d *Design) FindWord(path string) (Word, error) {
	s, index := layout(), []int(nil)
	keys := strings.Split(path, ".")
	for i, key := range keys {
		f := s.find(key)
		if f == nil {
			return Word{}, noWord(path, oneOf(key, s.keys()))
		}
		index = append(index, f.index)
		if i < len(keys)-1 {
			if f.section == nil || f.shape == shapeList {
				break
			}
			s = f.section
			continue
		}
		w := Word{Path: path, About: f.about, field: f, index: index}
		switch {
		case f.shape == shapeTruth:
			w.Allowed = []string{"false", "true"}
		case f.shape == shapeText && len(f.choices) > 0:
			w.Allowed = f.choices
		case f.names == "solid" || f.names == "filling":
			w.Allowed = solidNames(f.names)
			for _, m := range d.Materials {
				if !slices.Contains(w.Allowed, m.Name) {
					w.Allowed = append(w.Allowed, m.Name)
				}
			}
		default:
			return Word{}, noWord(path, "it is no choice among words")
		}
		if _, err := w.at(d); err != nil {
			return Word{}, noWord(path, "this design has no such part")
		}
		return w, nil
	}
	return Word{}, noWord(path, "it is no choice among words")
}

func noWord(path, why string) error {
	return fmt.Errorf("there is no choice %q in a design: %s", path, why)
}

func (w Word) at(d *Design) (reflect.Value, error) {
	return reflect.ValueOf(d).Elem().FieldByIndexErr(w.index)
}

// Value is the word that the design has.
func (w Word) Value(d *Design) string {
	v, err := w.at(d)
	if err != nil {
		return ""
	}
	return fmt.Sprint(v.Interface())
}

// Choose puts another word in its place and works out anew what follows: a
// material brings its handbook values with it. The design is then to be
// checked. On an error it stays as it was.
func (w Word) Choose(d *Design, word string) error {
	v, err := w.at(d)
	if err != nil {
		return noWord(w.Path, "this design has no such part")
	}
	if w.field.names != "" {
		var own []string
		for _, m := range d.Materials {
			own = append(own, m.Name)
		}
		name, known, allowed := resolveName(w.field.names, word, own)
		if !known {
			return fmt.Errorf("%s cannot be %s: %s", w.Path, quote(word), oneOf(word, allowed))
		}
		word = name
	} else if !slices.Contains(w.Allowed, word) {
		return fmt.Errorf("%s cannot be %s: %s", w.Path, quote(word), oneOf(word, w.Allowed))
	}
	if w.field.shape == shapeTruth {
		truth, err := strconv.ParseBool(word)
		if err != nil {
			return fmt.Errorf("%s cannot be %s: true or false", w.Path, quote(word))
		}
		v.SetBool(truth)
	} else {
		v.SetString(word)
		d.chosen = maps.Clone(d.chosen) // clones share it
		delete(d.chosen, w.Path)
		d.completeMaterials()
	}
	d.Rederive()
	return nil
}
