package design

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"meltspan/quantity"
)

// numberAhead is a number at the head of a quantity, with the blanks behind it.
var numberAhead = regexp.MustCompile(`^[-+−]?[0-9.]+(?:[eE][-+]?[0-9]+)?\s*`)

// renumbered writes an SI number in the unit that the text of a quantity has,
// with the spread that follows there: 82 mm for "80 mm +- 0.2 mm" becomes
// "82 mm +- 0.2 mm". A time of several terms keeps the first of its units.
func renumbered(old string, si float64, kind quantity.Kind) string {
	symbol, spread := quantity.Units(kind)[0], ""
	if head := numberAhead.FindString(old); head != "" {
		unit := old[len(head):]
		if mark := spreadMark.FindStringIndex(unit); mark != nil {
			unit, spread = unit[:mark[0]], " "+unit[mark[0]:]
		}
		unit = strings.TrimSpace(unit)
		if kind == quantity.Time {
			unit, _, _ = strings.Cut(unit, " ")
		}
		if _, known := quantity.In(si, kind, unit); known || unit == "" {
			symbol = unit
		}
	}
	x := si // a fraction as a bare number
	if symbol != "" {
		x, _ = quantity.In(si, kind, symbol)
	}
	text := strconv.FormatFloat(fiveDigits(x), 'f', -1, 64)
	if symbol != "" {
		text += " " + symbol
	}
	return text + spread
}

// fiveDigits rounds to five digits, as fine as any slider.
func fiveDigits(x float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 4, 64), 64)
	if err != nil || math.IsInf(rounded, 0) {
		return x
	}
	return rounded
}
