package predict

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

func (m *Mistake) Error() string {
	if m.Right == "" {
		return m.What
	}
	return m.What + "; right: " + m.Right
}

func mistake(right, format string, args ...any) *Mistake {
	return &Mistake{fmt.Sprintf(format, args...), right}
}

// How many values an input takes that is varied. A map has fewer to each side,
// for they multiply.
const (
	DefaultSteps    = 9
	DefaultMapSteps = 7
	LeastSteps      = 2
	MostSteps       = 40
)

// Range is an input of a design with the ends between which it is varied, SI,
// the lower first.
type Range struct {
	Knob      design.Knob
	Low, High float64
}

// ParseRange reads an input and both ends of its range, written as in a design.
// The error is a *Mistake.
func ParseRange(d *design.Design, path, from, to string) (Range, error) {
	knob, err := d.FindKnob(path)
	if err != nil {
		return Range{}, noInput(err)
	}
	a, err := parseEnd(knob, from)
	if err != nil {
		return Range{}, err
	}
	b, err := parseEnd(knob, to)
	switch {
	case err != nil:
		return Range{}, err
	case a == b:
		return Range{}, mistake("two different ends", "the range of %s is empty: %q is both its ends", path, to)
	}
	return Range{knob, min(a, b), max(a, b)}, nil
}

// noInput words why a path is no input: advice of what is near or allowed
// stands apart from what is wrong.
func noInput(err error) error {
	const place = " in a design"
	what, right, _ := strings.Cut(err.Error(), place+": ")
	if strings.HasPrefix(right, "did you mean") || strings.HasPrefix(right, "allowed here") {
		return mistake(right, "%s", what+place)
	}
	return mistake("a quantity or a count of this design, such as stand.wall.skin or stand.wall.cavities", "%v", err)
}

func parseEnd(knob design.Knob, text string) (float64, error) {
	if knob.Count {
		n, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil || n < 0 {
			return 0, mistake("a whole number, such as 3", "%s is a count and cannot be %q", knob.Path, text)
		}
		return float64(n), nil
	}
	v, err := quantity.Parse(text, knob.Kind)
	var bad *quantity.ParseError
	switch {
	case errors.As(err, &bad):
		return 0, mistake(bad.Hint, "%s cannot be %q: %s", knob.Path, text, bad.Reason)
	case err != nil:
		return 0, mistake("a quantity with its unit", "%s cannot be %q: %v", knob.Path, text, err)
	case v.Spread > 0:
		return 0, mistake("the value alone: an input that is varied keeps the spread it has in the design", "%s cannot be %q", knob.Path, text)
	}
	return v.SI, nil
}

// Values are steps of the range, evenly spaced or in equal ratios (see
// Logarithmic), with the value now, which the design has, where it lies between.
// A count takes every whole number, unless counted says that the user asked for
// so many steps. The error is a *Mistake: too many values.
func (r Range) Values(steps int, counted bool, now float64) ([]float64, error) {
	if r.Knob.Count {
		all := int(r.High-r.Low) + 1
		switch {
		case !counted && all > MostSteps:
			return nil, mistake(fmt.Sprintf("--steps N to take N of them, or a range of %d at most", MostSteps),
				"%s has %d values from %.0f to %.0f", r.Knob.Path, all, r.Low, r.High)
		case !counted || all < steps:
			steps = all
		}
	}
	var out []float64
	for i := range steps {
		share := float64(i) / float64(steps-1)
		v := r.Low + share*(r.High-r.Low)
		switch {
		case i == steps-1:
			v = r.High
		case r.Knob.Count:
			v = math.Round(v)
		case Logarithmic(r.Low, r.High, r.Knob.Kind):
			// Not as a power of the ratio, which may be beyond all numbers.
			v = min(max(math.Pow(r.Low, 1-share)*math.Pow(r.High, share), r.Low), r.High)
		}
		out = append(out, v)
	}
	same := func(v float64) bool { return math.Abs(v-now) <= 1e-9*math.Abs(now) }
	if i := slices.IndexFunc(out, same); i >= 0 {
		out[i] = now
	} else if now > r.Low && now < r.High {
		out = append(out, now)
		slices.Sort(out)
	}
	return out, nil
}

// Logarithmic reports whether an input of this kind that runs from lo to hi,
// SI, is shown by its logarithm and so best varied in equal ratios: both ends
// above zero and far apart. Temperatures have no zero to take ratios from, and
// counts (kind "") are whole.
func Logarithmic(lo, hi float64, kind quantity.Kind) bool {
	const farApart = 20
	return kind != "" && kind != quantity.Temperature && lo > 0 && hi/lo >= farApart*(1-1e-9)
}

// Along reads one or two ranges of a design, each path with the texts of its
// ends, and returns what Vary takes. steps 0 stands for as many as are usual.
// The error is a *Mistake.
func Along(d *design.Design, ranges [][3]string, steps int) (knobs []design.Knob, values [][]float64, err error) {
	counted := steps != 0
	if !counted {
		steps = DefaultSteps
		if len(ranges) > 1 {
			steps = DefaultMapSteps
		}
	}
	for _, words := range ranges {
		r, err := ParseRange(d, words[0], words[1], words[2])
		if err != nil {
			return nil, nil, err
		}
		if len(knobs) > 0 && knobs[0].Path == r.Knob.Path {
			return nil, nil, mistake("two different inputs", "%s is varied twice", r.Knob.Path)
		}
		along, err := r.Values(steps, counted, r.Knob.Value(d))
		if err != nil {
			return nil, nil, err
		}
		knobs, values = append(knobs, r.Knob), append(values, along)
	}
	return knobs, values, nil
}
