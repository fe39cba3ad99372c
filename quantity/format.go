package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Format prints an SI number in the unit that people use for its kind and
// size, to the given number of significant digits (at least 1; the whole part
// is never rounded away). Temperatures are printed in degC with digits-2
// decimals, so that 3 digits always mean a tenth of a degree. Times are
// printed by FormatDuration and take no notice of digits.
func Format(si float64, kind Kind, digits int) string {
	if kind == Time {
		return FormatDuration(si)
	}
	return FormatIn(si, kind, displayUnit(si, kind), digits)
}

// FormatIn prints like Format but in the unit named. A unit that the kind
// does not have is passed over in favour of the kind's first unit.
func FormatIn(si float64, kind Kind, symbol string, digits int) string {
	k, ok := find(kind)
	if !ok {
		return formatNumber(si, digits)
	}
	u, ok := findUnit(symbol, kind)
	if !ok {
		u = k.units[0]
	}
	number := (si - u.offset) / u.factor
	if kind == Temperature {
		return formatFixed(number, digits-2) + " " + u.symbol
	}
	return formatNumber(number, digits) + " " + u.symbol
}

// In converts an SI number to the unit named and reports whether the kind has
// that unit.
func In(si float64, kind Kind, symbol string) (float64, bool) {
	u, ok := findUnit(symbol, kind)
	if !ok {
		return 0, false
	}
	return (si - u.offset) / u.factor, true
}

// Scale says how a number in the unit named becomes one in SI: times factor,
// plus offset. ok is false when the kind does not have that unit.
func Scale(kind Kind, symbol string) (factor, offset float64, ok bool) {
	u, ok := findUnit(symbol, kind)
	return u.factor, u.offset, ok
}

// FormatValue prints a value with its standard uncertainty, in a form that
// Parse reads: the uncertainty to two significant digits and the value to the
// same place, as the Guide to the Expression of Uncertainty in Measurement
// (JCGM 100:2008, 7.2.6) advises. A value taken as exact is printed to four
// digits; one that is absent is printed as "not given".
func FormatValue(v Value, kind Kind) string {
	if !v.Present() {
		return "not given"
	}
	if !(v.Spread > 0) {
		return Format(v.SI, kind, 4)
	}
	symbol := displayUnit(v.SI, kind)
	u, ok := findUnit(symbol, kind)
	if !ok {
		return formatNumber(v.SI, 4)
	}
	value, spread := (v.SI-u.offset)/u.factor, v.Spread/u.factor
	decimals := decimalsFor(spread, 2)
	spreadSymbol := u.symbol
	if kind == Temperature {
		spreadSymbol = "K"
	}
	return fmt.Sprintf("%s %s ± %s %s", formatFixed(value, decimals), u.symbol, formatFixed(spread, decimals), spreadSymbol)
}

// displayUnit chooses the unit for a number of this size.
func displayUnit(si float64, kind Kind) string {
	size := math.Abs(si)
	switch kind {
	case Length:
		if size >= 1 {
			return "m"
		}
	case Area:
		if size >= 1 {
			return "m2"
		}
	case Volume:
		if size >= 1e-3 {
			return "l"
		}
	case Mass:
		if size >= 10 {
			return "kg"
		}
	case Time:
		switch {
		case size >= 2*hour:
			return "h"
		case size < 2*minute:
			return "s"
		}
	case Power:
		if size < 0.1 && size > 0 {
			return "mW"
		}
	case Energy:
		if size < 360 {
			return "J"
		}
	}
	k, ok := find(kind)
	if !ok {
		return ""
	}
	return k.units[0].symbol
}

// formatNumber prints significant digits in plain notation while that stays
// short, and in scientific notation beyond.
func formatNumber(x float64, digits int) string {
	size := math.Abs(x)
	if size != 0 && (size < 1e-4 || size >= 1e7) || math.IsNaN(x) || math.IsInf(x, 0) {
		return strconv.FormatFloat(x, 'g', max(digits, 1), 64)
	}
	return formatFixed(x, decimalsFor(x, max(digits, 1)))
}

// decimalsFor is the number of decimals that show so many significant digits
// of x, negative if they end before the decimal point. It looks at the
// rounded number, so that 9.996 to three digits is 10.0.
func decimalsFor(x float64, digits int) int {
	_, exponent, _ := strings.Cut(strconv.FormatFloat(x, 'e', digits-1, 64), "e")
	power, err := strconv.Atoi(exponent)
	if err != nil { // infinite or not a number
		return 0
	}
	return digits - 1 - power
}

// formatFixed prints with a number of decimals kept within 0 to 17, and never
// prints a minus sign before nothing but zeros.
func formatFixed(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', min(max(decimals, 0), 17), 64)
	if len(s) > 1 && s[0] == '-' && !hasNonZeroDigit(s) {
		return s[1:]
	}
	return s
}

func hasNonZeroDigit(s string) bool {
	for _, c := range s {
		if '1' <= c && c <= '9' {
			return true
		}
	}
	return false
}
