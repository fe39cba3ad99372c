package search

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"meltspan/design"
	"meltspan/quantity"
)

// Mistake is something that a user wrote and that cannot be: what is wrong, and
// what would be right.
type Mistake struct{ What, Right string }

func (m *Mistake) Error() string { return m.What + "; right: " + m.Right }

func mistake(right, format string, args ...any) *Mistake {
	return &Mistake{fmt.Sprintf(format, args...), right}
}

// ParseInput reads what may vary about one input of a design: "70 mm to 91 mm",
// "0 to 4", or several words to choose from.
func ParseInput(d *design.Design, path string, words []string) (Input, error) {
	if len(words) == 1 {
		from, to, found := strings.Cut(words[0], " to ")
		if !found {
			return Input{}, mistake(`two ends such as "70 mm to 91 mm", or a list of words such as [pla, petg]`, "%s cannot vary as %q", path, words[0])
		}
		return ParseRange(d, path, from, to)
	}
	in, err := NewChoice(d, path, words)
	if err != nil {
		return Input{}, asMistake(err, "words that the key may hold in a design, such as stand.material: [pla, petg]")
	}
	return in, nil
}

// ParseRange reads both ends of an input, written as in a design.
func ParseRange(d *design.Design, path, from, to string) (Input, error) {
	kind, count := quantity.Length, false
	if !slices.Contains([]string{WallThickness, CavityWidth, BaseThickness}, path) {
		k, err := d.FindKnob(path)
		if err != nil {
			return Input{}, noInput(d, path, err)
		}
		kind, count = k.Kind, k.Count
	}
	var ends [2]float64
	for i, text := range []string{from, to} {
		text = strings.TrimSpace(text)
		if count {
			n, err := strconv.Atoi(text)
			if err != nil || n < 0 {
				return Input{}, mistake("a whole number, such as 3", "%s is a count and cannot be %q", path, text)
			}
			ends[i] = float64(n)
			continue
		}
		v, err := quantity.Parse(text, kind)
		var bad *quantity.ParseError
		switch {
		case errors.As(err, &bad):
			return Input{}, mistake(bad.Hint, "%s cannot be %q: %s", path, text, bad.Reason)
		case err != nil:
			return Input{}, mistake("a quantity with its unit", "%s cannot be %q: %v", path, text, err)
		case v.Spread > 0:
			return Input{}, mistake("the value alone: an input that is varied keeps the spread it has in the design", "%s cannot be %q", path, text)
		}
		ends[i] = v.SI
	}
	if ends[0] == ends[1] {
		return Input{}, mistake("two different ends", "the range of %s is empty: %q is both its ends", path, from)
	}
	in, err := NewRange(d, path, ends[0], ends[1])
	if err != nil {
		return Input{}, asMistake(err, "two different ends")
	}
	for _, end := range []float64{in.Low, in.High} { // such as a temperature beyond the key's range
		if err := in.within(d, end); err != nil {
			return Input{}, err
		}
	}
	return in, nil
}

// within asks whether the key takes such a value at all.
func (in *Input) within(d *design.Design, v float64) error {
	if in.late > 0 {
		return nil
	}
	if err := in.turn(d.Clone(), v); err != nil {
		return asMistake(err, "ends within what the key may be")
	}
	return nil
}

// noInput words why a path is no quantity: it may be a word, which has no ends.
func noInput(d *design.Design, path string, err error) error {
	if w, e := d.FindWord(path); e == nil || path == Top {
		allowed := w.Allowed
		if path == Top {
			allowed = []string{TopClosed, TopOpen}
		}
		if len(allowed) > 4 {
			allowed = append(slices.Clone(allowed[:3]), "...")
		}
		return mistake("words to choose from, among "+strings.Join(allowed, ", "), "%s has no two ends: it is a word", path)
	}
	return asMistake(err, "a key of this design, or one of "+strings.Join(InputPaths(), ", "))
}

func asMistake(err error, right string) error {
	var m *Mistake
	if errors.As(err, &m) {
		return m
	}
	const place = " in a design: "
	if what, why, found := strings.Cut(err.Error(), place); found && (strings.HasPrefix(why, "did you mean") || strings.HasPrefix(why, "allowed here")) {
		return &Mistake{what + " in a design", why}
	}
	return &Mistake{err.Error(), right}
}

// limitNames are the names of the limits, in the order of the help.
var limitNames = []string{"envelope", "printable", "ice_comes_out", "plate_bears", "tray_holds", "dry_at", "print_time", "freeze_time", "material", "run_time"}

// LimitNames lists what may be asked to hold.
func LimitNames() []string { return slices.Clone(limitNames) }

// Set reads one limit as people write it: envelope "120 mm x 40 mm", dry_at
// "60 %", print_time "6 h", printable yes or no.
func (l *Limits) Set(name, text string) error {
	text = strings.TrimSpace(text)
	switch name {
	case "envelope":
		wide, high, found := strings.Cut(text, " x ")
		w, err := l.quantity(name, wide, quantity.Length)
		if err == nil && found {
			var h float64
			if h, err = l.quantity(name, high, quantity.Length); err == nil {
				l.EnvelopeDiameter, l.EnvelopeHeight = w, h
				return nil
			}
		}
		return mistake(`diameter and height, such as "120 mm x 40 mm"`, "envelope cannot be %q", text)
	case "printable":
		return yesOrNo(name, text, &l.Printable)
	case "ice_comes_out":
		return yesOrNo(name, text, &l.ComesOut)
	case "tray_holds":
		return yesOrNo(name, text, &l.Tray)
	case "dry_at":
		v, err := l.quantity(name, text, quantity.Fraction)
		if err == nil && v > 1 {
			return mistake("a relative humidity up to 100 %", "dry_at cannot be %q", text)
		}
		l.DryAt = v
		return err
	}
	for known, to := range map[string]struct {
		kind  quantity.Kind
		value *float64
	}{
		"print_time": {quantity.Time, &l.PrintTime}, "freeze_time": {quantity.Time, &l.FreezeTime},
		"material": {quantity.Mass, &l.Material}, "plate_bears": {quantity.Length, &l.PlateBears}, "run_time": {quantity.Time, &l.RunTime},
	} {
		if known == name {
			v, err := l.quantity(name, text, to.kind)
			if err == nil {
				*to.value = v
			}
			return err
		}
	}
	return mistake("one of "+strings.Join(limitNames, ", "), "nothing called %q can be asked to hold", name)
}

func (l *Limits) quantity(name, text string, kind quantity.Kind) (float64, error) {
	v, err := quantity.Parse(strings.TrimSpace(text), kind)
	var bad *quantity.ParseError
	switch {
	case errors.As(err, &bad):
		return 0, mistake(bad.Hint, "%s cannot be %q: %s", name, text, bad.Reason)
	case err != nil:
		return 0, mistake("a quantity with its unit", "%s cannot be %q: %v", name, text, err)
	case !(v.SI > 0) || math.IsInf(v.SI, 0) || v.Spread > 0:
		return 0, mistake("a value above zero, without a spread", "%s cannot be %q", name, text)
	}
	return v.SI, nil
}

func yesOrNo(name, text string, to *bool) error {
	switch text {
	case "yes", "true":
		*to = true
	case "no", "false":
		*to = false
	default:
		return mistake("yes or no", "%s cannot be %q", name, text)
	}
	return nil
}

// UsualLimits are what holds unless the user says otherwise: the stand prints,
// the ice comes out, the plate has a millimetre to lie on (common practice) and,
// where the design states a tray, that holds what drips.
func UsualLimits(d *design.Design) Limits {
	return Limits{Printable: true, ComesOut: true, PlateBears: 1e-3, Tray: d.Stand.Tray.Capacity.SI > 0}
}

// ParseAims reads what is wanted, such as run_time and print_time.
func ParseAims(words []string) ([]Aim, error) {
	var out []Aim
	for _, w := range words {
		a := Aim(strings.TrimSpace(w))
		if !slices.Contains(Aims(), a) {
			names := make([]string, len(Aims()))
			for i, known := range Aims() {
				names[i] = string(known)
			}
			return nil, mistake("one of "+strings.Join(names, ", "), "%q cannot be aimed at", w)
		}
		if slices.Contains(out, a) {
			return nil, mistake("each once", "%s is aimed at twice", a)
		}
		out = append(out, a)
	}
	return out, nil
}
