package cli

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"meltspan/design"
	"meltspan/quantity"
	"meltspan/report"
)

// knobRange is an input with the ends of its range in SI, the lower first.
type knobRange struct {
	knob   design.Knob
	lo, hi float64
}

func parseRange(d *design.Design, path, from, to string) (knobRange, error) {
	knob, err := d.FindKnob(path)
	if err != nil {
		return knobRange{}, noInput(err)
	}
	a, err := parseEnd(knob, from)
	if err != nil {
		return knobRange{}, err
	}
	b, err := parseEnd(knob, to)
	switch {
	case err != nil:
		return knobRange{}, err
	case a == b:
		return knobRange{}, wrong("two different ends, such as "+varyExample, "the range of %s is empty: %s is both its ends", path, quoted(to))
	}
	return knobRange{knob, min(a, b), max(a, b)}, nil
}

// noInput words why a path is no input: advice of what is near or allowed
// stands apart from what is wrong.
func noInput(err error) error {
	const place = " in a design"
	what, right, _ := strings.Cut(err.Error(), place+": ")
	if strings.HasPrefix(right, "did you mean") || strings.HasPrefix(right, "allowed here") {
		return wrong(right, "%s", what+place)
	}
	return wrong("a quantity or a count of this design, such as stand.wall.skin or stand.wall.cavities", "%v", err)
}

func parseEnd(knob design.Knob, text string) (float64, error) {
	if knob.Count {
		n, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil || n < 0 {
			return 0, wrong("a whole number, such as 3", "%s is a count and cannot be %s", knob.Path, quoted(text))
		}
		return float64(n), nil
	}
	v, err := quantity.Parse(text, knob.Kind)
	var bad *quantity.ParseError
	switch {
	case errors.As(err, &bad):
		return 0, wrong(bad.Hint, "%s cannot be %s: %s", knob.Path, quoted(text), bad.Reason)
	case v.Spread > 0:
		return 0, wrong("the value alone: an input that is varied keeps the spread it has in the design", "%s cannot be %s", knob.Path, quoted(text))
	}
	return v.SI, nil
}

// values are those of the range, with that of the design as it is where it lies
// between. counted says that the user asked for a number of steps.
func (r knobRange) values(steps int, counted bool, now float64) ([]float64, error) {
	if r.knob.Count {
		all := int(r.hi-r.lo) + 1
		switch {
		case !counted && all > mostSteps:
			return nil, wrong(fmt.Sprintf("--steps N to take N of them, or a range of %d at most", mostSteps),
				"%s has %d values from %.0f to %.0f", r.knob.Path, all, r.lo, r.hi)
		case !counted || all < steps:
			steps = all
		}
	}
	var out []float64
	for i := range steps {
		share := float64(i) / float64(steps-1)
		v := r.lo + share*(r.hi-r.lo)
		switch {
		case i == steps-1:
			v = r.hi
		case r.knob.Count:
			v = math.Round(v)
		case report.Logarithmic(r.lo, r.hi, r.knob.Kind):
			// Not as a power of the ratio, which may be beyond all numbers.
			v = min(max(math.Pow(r.lo, 1-share)*math.Pow(r.hi, share), r.lo), r.hi)
		}
		out = append(out, v)
	}
	same := func(v float64) bool { return math.Abs(v-now) <= 1e-9*math.Abs(now) }
	if i := slices.IndexFunc(out, same); i >= 0 {
		out[i] = now
	} else if now > r.lo && now < r.hi {
		out = append(out, now)
		slices.Sort(out)
	}
	return out, nil
}

// joinUnits puts together what was typed without quotes: 0.8 mm.
func joinUnits(args []string) []string {
	var out []string
	for _, arg := range args {
		if last := len(out) - 1; last >= 0 && isNumber(out[last]) && isUnit(arg) {
			out[last] += " " + arg
			continue
		}
		out = append(out, arg)
	}
	return out
}

func isNumber(text string) bool {
	_, err := strconv.ParseFloat(strings.Replace(text, minusSign, "-", 1), 64)
	return err == nil
}

func isUnit(text string) bool {
	return slices.ContainsFunc(quantity.Kinds(), func(k quantity.Kind) bool {
		_, err := quantity.Parse("1 "+text, k)
		return err == nil && !isNumber(text)
	})
}

// minusSign is a minus that no flag begins with.
const minusSign = "\u2212"

// spareNegatives keeps negative values from being taken for flags, none of
// which begins with a digit: -6 degC.
func spareNegatives(root *cobra.Command, args []string) []string {
	out := slices.Clone(args)
	cmd, _, err := root.Find(args)
	if err != nil {
		return out
	}
	for i, arg := range args {
		if arg == "--" {
			break
		}
		if len(arg) > 1 && arg[0] == '-' && strings.ContainsRune(".0123456789", rune(arg[1])) && !(i > 0 && wantsValue(cmd, args[i-1])) {
			out[i] = minusSign + arg[1:]
		}
	}
	return out
}

// wantsValue reports whether an argument is a flag whose value comes next.
func wantsValue(cmd *cobra.Command, arg string) bool {
	name, ok := strings.CutPrefix(arg, "--")
	if !ok {
		return false
	}
	f := cmd.Flags().Lookup(name)
	return f != nil && f.NoOptDefVal == ""
}
