package design

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"meltspan/quantity"
)

// Amendment is a new value for a quantity, a count or a word of a design, in
// the notation of a design file.
type Amendment struct{ Path, Value string }

func (a Amendment) String() string { return a.Path + " = " + a.Value }

// Amend puts values into the text of a design and leaves all else as it was
// written: comments, layout, order, units and quotes. What is stated is
// replaced where it stands, and left to the letter where it means the same
// already; what is not gets a line at the head of its section, a section that
// is missing one at the end of the text. Of several amendments of one path the
// last counts.
//
// It returns the new text and the design that it reads as. The error is
// Problems where the text is mistaken, before or after, and a Problem where a
// value cannot be or where the text cannot be changed in place; both name
// places of the text as it was given.
func Amend(file string, text []byte, amendments []Amendment, open func(path string) ([]byte, error)) ([]byte, *Design, error) {
	a, err := newAmender(file, text, open)
	if err != nil {
		return nil, nil, err
	}
	return a.amend(amendments)
}

// Number is a new value in SI, as a slider or a search has it.
type Number struct {
	Path string
	SI   float64
}

// AmendNumbers is Amend for numbers: a quantity keeps the unit and the spread
// that the text has for it, and is written to five digits; a count is rounded.
// Where the design has a value already, the text stays as it is.
func AmendNumbers(file string, text []byte, numbers []Number, open func(path string) ([]byte, error)) ([]byte, *Design, error) {
	a, err := newAmender(file, text, open)
	if err != nil {
		return nil, nil, err
	}
	list, err := a.worded(numbers)
	if err != nil {
		return nil, nil, err
	}
	return a.amend(list)
}

// Amendments are what AmendNumbers puts into a text, so that a user can put it
// there as well. What the design has already is left out.
func Amendments(file string, text []byte, numbers []Number, open func(path string) ([]byte, error)) ([]Amendment, error) {
	a, err := newAmender(file, text, open)
	if err != nil {
		return nil, err
	}
	return a.worded(numbers)
}

// worded puts numbers in the notation of the text.
func (a *amender) worded(numbers []Number) ([]Amendment, error) {
	var list []Amendment
	for _, n := range numbers {
		knob, err := a.before.FindKnob(n.Path)
		if err != nil {
			return nil, Problem{File: a.reader.file, Key: n.Path, What: err.Error()}
		}
		if math.IsNaN(n.SI) || math.IsInf(n.SI, 0) {
			return nil, a.placed(Problem{Key: n.Path, What: n.Path + " cannot be " + fmt.Sprint(n.SI), Right: "a number"})
		}
		if now := knob.Value(a.before); sameNumber(now, n.SI) || knob.Count && now == math.Round(n.SI) {
			continue
		}
		value := strconv.FormatFloat(math.Round(n.SI), 'f', 0, 64)
		if !knob.Count {
			value = renumbered(a.layout.scalar(n.Path), n.SI, knob.Kind)
		}
		list = append(list, Amendment{n.Path, value})
	}
	return list, nil
}

// amender is the work on one text.
type amender struct {
	reader *reader
	text   []byte
	layout *layoutText
	open   func(path string) ([]byte, error)
	before *Design
}

func newAmender(file string, text []byte, open func(path string) ([]byte, error)) (*amender, error) {
	r, plain := newReader(file, text)
	d := r.read(plain, open)
	if len(r.problems) > 0 {
		r.finish()
		return nil, r.problems
	}
	return &amender{r, text, newLayoutText(text), open, d}, nil
}

func (a *amender) amend(amendments []Amendment) ([]byte, *Design, error) {
	want := a.before.Clone()
	var news []Amendment
	for i, x := range amendments {
		if slices.ContainsFunc(amendments[i+1:], func(later Amendment) bool { return later.Path == x.Path }) {
			continue
		}
		x.Value = strings.TrimSpace(x.Value)
		changes, err := a.state(want, &x)
		if err != nil {
			return nil, nil, err
		}
		if changes {
			news = append(news, x)
		}
	}
	if len(news) == 0 {
		return a.text, a.before, nil
	}
	for _, x := range slices.Backward(news) { // new lines come at the head of a section, the first of them last
		if !a.layout.put(x.Path, x.Value) {
			return nil, nil, a.byHand(x)
		}
	}
	changed := a.layout.bytes()
	got, err := Parse(a.reader.file, changed, a.open)
	if err == nil && maps.Equal(statements(got), statements(want)) {
		return changed, got, nil
	}
	// Either such a design cannot be, or the text holds more than the tree of
	// its keys shows.
	var wrong Problems
	if _, err := Parse(a.reader.file, want.YAML(), a.open); errors.As(err, &wrong) {
		for i := range wrong {
			wrong[i] = a.placed(wrong[i])
		}
		wrong.sort()
		return nil, nil, wrong
	}
	return nil, nil, a.byHand(news...)
}

// state puts one value into the design, and reports whether that changes what
// the text says.
func (a *amender) state(d *Design, x *Amendment) (changes bool, err error) {
	_, written := a.reader.places[x.Path]
	if w, err := d.FindWord(x.Path); err == nil {
		before := w.Value(d)
		if err := w.Choose(d, x.Value); err != nil {
			return false, a.placed(Problem{Key: x.Path, What: x.Path + " cannot be " + quote(x.Value), Right: oneOf(x.Value, w.Allowed)})
		}
		x.Value = w.Value(d)
		a.nowStated(d, x.Path)
		return !written || w.Value(d) != before, nil
	}
	knob, err := d.FindKnob(x.Path)
	if err != nil {
		return false, Problem{File: a.reader.file, Key: x.Path, What: err.Error()}
	}
	if log := a.before.Room.Log; log != "" && (x.Path == "room.temperature" || x.Path == "room.humidity") {
		return false, a.placed(Problem{Key: x.Path, What: x.Path + " comes from the log " + quote(log), Right: "another log, or none"})
	}
	var before quantity.Value
	count := knob.Value(d)
	if !knob.Count {
		before = *knob.get(d)
	}
	if err := d.State(x.Path, x.Value, quantity.Stated); err != nil {
		var p Problem
		if errors.As(err, &p) {
			return false, a.placed(p)
		}
		return false, err
	}
	if knob.Count {
		x.Value = strconv.Itoa(int(knob.Value(d)))
		a.nowStated(d, x.Path)
		return !written || knob.Value(d) != count, nil
	}
	if v := knob.get(d); written && sameNumber(v.SI, before.SI) && sameNumber(v.Spread, before.Spread) {
		*v = before
		d.Rederive()
		return false, nil
	}
	return true, nil
}

// nowStated takes a word or a count out of those that were filled in.
func (a *amender) nowStated(d *Design, path string) {
	d.chosen = maps.Clone(d.chosen) // clones share it
	delete(d.chosen, path)
}

// sameNumber allows for the rounding of one unit into another.
func sameNumber(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-12*max(math.Abs(a), math.Abs(b))
}

// statements is what the text of a design says, by path.
func statements(d *Design) map[string]string {
	said := map[string]string{}
	walk(reflect.ValueOf(d).Elem(), layout(), "", func(path string, f *field, v reflect.Value) bool {
		switch f.shape {
		case shapeQuantity:
			if val := v.Addr().Interface().(*quantity.Value); val.Origin == quantity.Stated {
				said[path] = strconv.FormatFloat(val.SI, 'g', -1, 64) + " ± " + strconv.FormatFloat(val.Spread, 'g', -1, 64)
			}
		case shapeText, shapeCount, shapeTruth:
			ofList := strings.HasPrefix(path, "materials.") // its name alone says nothing
			if _, filled := d.filledIn(path, f, v); !filled && !ofList {
				said[path] = fmt.Sprint(v.Interface())
			}
		case shapeOptional:
			said[path] = strconv.FormatBool(!v.IsNil())
		}
		return true
	})
	return said
}

// placed gives a problem the place of its key in the text, or of the section
// that the key would stand in.
func (a *amender) placed(p Problem) Problem {
	at := a.reader.nearestPlace(p.Key)
	p.File, p.Line, p.Column = a.reader.file, at.line, at.column
	p.Excerpt = Excerpt(a.reader.lines, at.line, at.column)
	return p
}

// byHand is the problem of a text that cannot be changed in place.
func (a *amender) byHand(list ...Amendment) Problem {
	var words []string
	for _, x := range list {
		words = append(words, x.String())
	}
	return a.placed(Problem{Key: list[0].Path, What: "the text is written in a way that cannot be changed here without changing something else", Right: "put it in by hand: " + strings.Join(words, ", ")})
}
