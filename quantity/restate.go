package quantity

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// restated are the units that sentences of this program have, with what they
// measure there: a number with K is a difference.
var restated = map[string]Kind{
	"degC": Temperature, "°C": Temperature, "K": TemperatureDifference, "mm": Length, "cm": Length, "m": Length, "cm2": Area, "m2": Area, "mm2": Area,
}

// inSentence finds a number, or several that share their unit as in "5 to 8 mm"
// and "6.0 ± 0.5 K", and the unit after it.
var inSentence = regexp.MustCompile(`((?:[-−]?[0-9]+(?:\.[0-9]+)?(?: to | ± | \+- ))*[-−]?[0-9]+(?:\.[0-9]+)?) ?(degC|°C|K|[cm]?m2?)`)

var numberInSentence = regexp.MustCompile(`[-−]?[0-9]+(?:\.[0-9]+)?`)

// Restate puts the quantities in a finished sentence, such as a caution, into the
// reader's units. They are worked out from the numbers as printed, so the last
// digit may be off against a number that was never rounded, by one in degF and by
// two in inches; where the number itself is at hand, Format or Sentence is the
// better way. Whole numbers of degrees
// and kelvins count as exact to a tenth ("48 degC" is 118.4 degF).
func (u Display) Restate(sentence string) string {
	if u == (Display{}) {
		return sentence
	}
	var out strings.Builder
	from := 0
	for _, at := range inSentence.FindAllStringSubmatchIndex(sentence, -1) {
		if standsAlone(sentence[:at[0]], sentence[at[1]:]) {
			out.WriteString(sentence[from:at[0]] + u.restate(sentence[at[2]:at[3]], sentence[at[4]:at[5]]))
			from = at[1]
		}
	}
	return out.String() + sentence[from:]
}

// standsAlone reports whether what lies between two texts is a whole quantity,
// and not a piece of a name or of a compound unit such as mm/s.
func standsAlone(before, after string) bool {
	joins := func(r rune, signs string) bool {
		return unicode.IsLetter(r) && r != 'Ø' || unicode.IsDigit(r) || strings.ContainsRune(signs, r)
	}
	if next, size := utf8.DecodeRuneInString(after); size > 0 && joins(next, "/_²³") {
		return false
	}
	last, size := utf8.DecodeLastRuneInString(before)
	return size == 0 || !joins(last, "./_-−,")
}

// restate restates numbers that share a unit, and the unit.
func (u Display) restate(numbers, sign string) string {
	kind, symbol := restated[sign], sign
	if sign == "°C" {
		symbol = "degC"
	}
	chosen := u.instead(symbol, kind)
	if chosen == symbol {
		return numbers + " " + sign
	}
	var out strings.Builder
	from := 0
	for _, at := range numberInSentence.FindAllStringIndex(numbers, -1) {
		between := numbers[from:at[0]]
		of, in := kind, symbol
		if kind == Temperature && strings.ContainsAny(between, "±+") { // what follows is a difference
			of, in = TemperatureDifference, "K"
		}
		out.WriteString(between + restatedNumber(numbers[at[0]:at[1]], of, in, chosen))
		from = at[1]
	}
	if sign == "°C" {
		chosen = "°F"
	}
	return out.String() + " " + chosen
}

func restatedNumber(written string, kind Kind, symbol, chosen string) string {
	x, err := strconv.ParseFloat(strings.ReplaceAll(written, "−", "-"), 64)
	if err != nil {
		return written // the pattern lets no such number through
	}
	factor, offset, _ := Scale(kind, symbol)
	y, _ := In(x*factor+offset, kind, chosen)
	_, fraction, _ := strings.Cut(written, ".")
	decimals := len(fraction) + finer(kind, symbol, chosen)
	switch {
	case kind == Temperature || kind == TemperatureDifference:
		if fraction == "" && math.Abs(y-math.Round(y)) > 0.05 {
			decimals = 1
		}
	case y != 0:
		decimals = max(decimals, decimalsFor(y, 2)) // two digits at least
	}
	return formatFixed(y, fineEnough(y, decimals, chosen))
}
