package quantity

import (
	"fmt"
	"math"
	"strings"
)

// Display is the units in which a reader wants quantities shown. The zero value shows
// temperatures in degC and lengths in mm, as the rest of this package prints by
// itself; a reader may choose degF, in, or both.
//
// With degF go temperature differences (a kelvin is 1.8 degF, without an
// offset), with in areas, and feet for what is shown in metres. All else stays
// as it is: masses in g and volumes in ml, as kitchen scales and syringes have
// them; speeds of printing in mm/s, as printers do; what is per kelvin or per
// metre, as handbooks do.
type Display struct {
	fahrenheit, inch bool
}

// customary are the units that stand for metric ones where a reader chose so.
// NIST Special Publication 811 (2008), Appendix B (from memory; exact by
// definition): an inch is 25.4 mm; a temperature difference in degF is 1.8 times
// that in K, and a temperature in degF is 1.8 times that in degC, and 32 more.
var customary = []struct {
	kind           Kind
	symbol, chosen string
	with           func(Display) bool
}{
	{Temperature, "degC", "degF", func(u Display) bool { return u.fahrenheit }},
	{TemperatureDifference, "K", "degF", func(u Display) bool { return u.fahrenheit }},
	{Length, "mm", "in", func(u Display) bool { return u.inch }},
	{Length, "cm", "in", func(u Display) bool { return u.inch }},
	{Length, "m", "ft", func(u Display) bool { return u.inch }},
	{Area, "mm2", "in2", func(u Display) bool { return u.inch }},
	{Area, "cm2", "in2", func(u Display) bool { return u.inch }},
	{Area, "m2", "ft2", func(u Display) bool { return u.inch }},
}

// displayExample is how a choice is written.
const displayExample = "degC or degF, and mm or in, such as degF,in"

// ParseDisplay reads a reader's choice: a unit of temperature and one of length,
// with a comma between them, or one of both, such as "degF,in". What is not named
// is degC or mm. Any error is a *ParseError.
func ParseDisplay(text string) (Display, error) {
	var u Display
	seen := map[Kind]bool{}
	at := 0
	for part := range strings.SplitSeq(text, ",") {
		word := strings.TrimFunc(part, isSpace)
		fail := func(reason string) (Display, error) {
			return Display{}, &ParseError{Text: text, Offset: at + len(part) - len(strings.TrimLeftFunc(part, isSpace)), Reason: reason, Hint: "write " + displayExample}
		}
		kind := Temperature
		unit, ok := findUnit(word, kind)
		if !ok {
			kind = Length
			unit, ok = findUnit(word, kind)
		}
		switch {
		case word == "":
			return fail("a unit is missing")
		case !ok || unit.symbol != "degC" && unit.symbol != "degF" && unit.symbol != "mm" && unit.symbol != "in":
			return fail(fmt.Sprintf("%q is no unit to choose", word))
		case seen[kind]:
			return fail("there are two units for a " + string(kind))
		}
		seen[kind] = true
		u.fahrenheit = u.fahrenheit || unit.symbol == "degF"
		u.inch = u.inch || unit.symbol == "in"
		at += len(part) + 1
	}
	return u, nil
}

// String is the choice as ParseDisplay reads it.
func (u Display) String() string { return u.Symbol(Temperature) + "," + u.Symbol(Length) }

// Symbol is the unit in which the reader has a kind: its first one where there is
// no choice, "" for a kind that does not exist.
func (u Display) Symbol(kind Kind) string {
	k, ok := find(kind)
	if !ok {
		return ""
	}
	return u.instead(k.units[0].symbol, kind)
}

// instead is the unit that the reader has in place of another.
func (u Display) instead(symbol string, kind Kind) string {
	for _, c := range customary {
		if c.kind == kind && c.symbol == symbol && c.with(u) {
			return c.chosen
		}
	}
	return symbol
}

// Of is an SI number of a kind in the reader's unit.
func (u Display) Of(si float64, kind Kind) float64 {
	x, ok := In(si, kind, u.Symbol(kind))
	if !ok {
		return si
	}
	return x
}

// SI is the way back from Of.
func (u Display) SI(shown float64, kind Kind) float64 {
	factor, offset, ok := Scale(kind, u.Symbol(kind))
	if !ok {
		return shown
	}
	return shown*factor + offset
}

// Format prints like the function Format, in the reader's units. A number in
// another unit than it would have else is given as many decimals as it takes to
// be no coarser; of an inch, thousandths (0.025 mm) or three digits are enough.
func (u Display) Format(si float64, kind Kind, digits int) string {
	if kind == Time {
		return FormatDuration(si)
	}
	return u.FormatIn(si, kind, displayUnit(si, kind), digits)
}

// FormatShort prints like Format, without zeros at the end of decimals: "1 mm",
// not "1.0 mm".
func (u Display) FormatShort(si float64, kind Kind, digits int) string {
	number, unit, found := strings.Cut(u.Format(si, kind, digits), " ")
	if kind == Time || !found || !strings.Contains(number, ".") {
		return u.Format(si, kind, digits)
	}
	return strings.TrimRight(strings.TrimRight(number, "0"), ".") + " " + unit
}

// FormatIn prints like the function FormatIn, in what the reader has in place of
// the unit named.
func (u Display) FormatIn(si float64, kind Kind, symbol string, digits int) string {
	chosen := u.instead(symbol, kind)
	if chosen == symbol {
		return FormatIn(si, kind, symbol, digits)
	}
	number, _ := In(si, kind, symbol)
	decimals := digits - 2 // as FormatIn has temperatures
	if kind != Temperature {
		decimals = max(decimalsFor(number, max(digits, 1)), 0)
	}
	number, _ = In(si, kind, chosen)
	return formatFixed(number, fineEnough(number, decimals+finer(kind, symbol, chosen), chosen)) + " " + chosen
}

// fineEnough takes decimals that nobody needs from a number of inches.
func fineEnough(number float64, decimals int, symbol string) int {
	if symbol != "in" {
		return decimals
	}
	return min(decimals, max(3, decimalsFor(number, 3)))
}

// finer is how many more decimals a number in another unit needs to be no
// coarser.
func finer(kind Kind, symbol, chosen string) int {
	before, _, _ := Scale(kind, symbol)
	after, _, _ := Scale(kind, chosen)
	return max(int(math.Ceil(math.Log10(after/before))), 0)
}

// FormatValue prints like the function FormatValue, in the reader's units.
func (u Display) FormatValue(v Value, kind Kind) string {
	symbol := displayUnit(v.SI, kind)
	chosen := u.instead(symbol, kind)
	switch {
	case chosen == symbol || !v.Present():
		return FormatValue(v, kind)
	case !(v.Spread > 0):
		return u.Format(v.SI, kind, 4)
	}
	factor, offset, _ := Scale(kind, chosen)
	decimals := decimalsFor(v.Spread/factor, 2)
	return fmt.Sprintf("%s %s ± %s %s", formatFixed((v.SI-offset)/factor, decimals), chosen, formatFixed(v.Spread/factor, decimals), chosen)
}
