package logfile

import (
	"math"
	"strconv"
	"strings"
)

// number reads a cell. ok is false when it is none: empty, a word, NaN. An
// infinite number is none either.
func number(cell string, decimalComma bool) (float64, bool) {
	if cell == "" {
		return math.NaN(), false
	}
	if decimalComma && strings.IndexByte(cell, ',') >= 0 {
		cell = strings.Replace(cell, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		bare, _ := withoutUnit(cell)
		if bare == cell {
			return math.NaN(), false
		}
		if x, err = strconv.ParseFloat(bare, 64); err != nil {
			return math.NaN(), false
		}
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return math.NaN(), false
	}
	return x, true
}

// withoutUnit takes a unit off a cell such as "21.5 °C", and says which.
func withoutUnit(cell string) (bare, unit string) {
	cell = strings.Replace(cell, "\u2212", "-", 1) // a typographic minus
	end := strings.LastIndexAny(cell, "0123456789.,") + 1
	unit = strings.TrimSpace(cell[end:])
	if end == 0 || unit == "" {
		return cell, ""
	}
	if _, known := unitNamed(unit); !known {
		return cell, ""
	}
	return strings.TrimSpace(cell[:end]), unit
}

// looksNumeric reports whether a cell reads as a number in either notation.
func looksNumeric(cell string) bool {
	_, point := number(cell, false)
	_, comma := number(cell, true)
	return point || comma
}
