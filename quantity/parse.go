package quantity

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// largest bounds what Parse accepts, in SI units: far beyond any bench, and
// far enough below overflow that sums and products of a few stay finite.
const largest = 1e30

var (
	signedNumber   = regexp.MustCompile("^" + signed)
	unsignedNumber = regexp.MustCompile("^" + unsigned)
	anySpreadMark  = regexp.MustCompile(spreadMark)
	groupsOfThree  = regexp.MustCompile("^[+\\-−]?[0-9]{1,3}(?:" + spaceClass + `[0-9]{3})+(?:\.[0-9]*)?$`)
)

// Parse reads a quantity of the given kind, such as "118 mm", "-18 degC",
// "0.10 W/K +- 20 %" or "6 h 40 min", into SI.
//
// What follows ± (also written +- or +/-) is one standard uncertainty, either
// in a unit of the kind or in per cent of the value. A temperature's is a
// difference ("24 degC ± 1 K"). For a fraction, "50 % ± 5 %" means 0.45 to
// 0.55. A fraction may be a bare number; every other kind needs a unit.
//
// The origin of the result is Stated. Any error is a *ParseError.
func Parse(text string, kind Kind) (Value, error) {
	k, ok := find(kind)
	if !ok {
		return Value{}, &ParseError{Text: text, Reason: fmt.Sprintf("%q is not a kind of quantity", string(kind))}
	}
	r := reader{text: text, kind: k}
	si, err := r.main()
	if err != nil {
		return Value{}, err
	}
	spread, err := r.spread(si)
	if err != nil {
		return Value{}, err
	}
	return Value{SI: si, Spread: spread, Origin: Stated}, nil
}

// reader walks along one text from left to right.
type reader struct {
	text string
	at   int // byte offset of what is still unread
	kind kindUnits
}

func (r *reader) fail(at int, reason, hint string) error {
	return &ParseError{Text: r.text, Offset: at, Reason: reason, Hint: hint}
}

func isSpace(c rune) bool { return strings.ContainsRune(spaceClass[1:len(spaceClass)-1], c) }

func (r *reader) skipSpaces() {
	rest := r.text[r.at:]
	r.at += len(rest) - len(strings.TrimLeftFunc(rest, isSpace))
}

// main reads the value before any spread: one term, or for a time several.
func (r *reader) main() (float64, error) {
	if strings.TrimFunc(r.text, isSpace) == "" {
		return 0, r.fail(0, "nothing is written here", needed(r.kind.kind))
	}
	start := r.at
	number, written, err := r.number(signedNumber)
	if err != nil {
		return 0, err
	}
	si, u, err := r.quantity(number, written)
	if err != nil {
		return 0, err
	}
	if r.kind.kind == Time {
		if si, err = r.furtherTimes(si, u, math.Signbit(number)); err != nil {
			return 0, err
		}
	}
	return si, r.checkRange(si, start)
}

func (r *reader) checkRange(si float64, start int) error {
	written := strings.TrimFunc(r.text[start:r.at], isSpace)
	switch {
	case !(math.Abs(si) <= largest):
		return r.fail(start, written+" is too large", needed(r.kind.kind))
	case r.kind.kind == Temperature && si < 0:
		return r.fail(start, written+" is below absolute zero", "the lowest temperature is -273.15 degC")
	}
	return nil
}

// furtherTimes adds the terms after the first, as in "6 h 40 min".
func (r *reader) furtherTimes(si float64, last unit, negative bool) (float64, error) {
	for {
		r.skipSpaces()
		if r.at == len(r.text) || r.spreadIsNext() {
			return si, nil
		}
		start := r.at
		number, written, err := r.number(unsignedNumber)
		if err != nil {
			return 0, err
		}
		term, u, err := r.quantity(number, written)
		if err != nil {
			return 0, err
		}
		if u.factor >= last.factor {
			return 0, r.fail(start, fmt.Sprintf("%s %s follows a term in %s", written, u.symbol, last.symbol),
				"write the larger unit first and each once, such as 6 h 40 min")
		}
		if negative {
			term = -term
		}
		si, last = si+term, u
	}
}

func (r *reader) spreadIsNext() bool {
	mark := anySpreadMark.FindStringIndex(r.text[r.at:])
	return mark != nil && mark[0] == 0
}

// number reads a number and reports how it was written.
func (r *reader) number(form *regexp.Regexp) (float64, string, error) {
	r.skipSpaces()
	rest := r.text[r.at:]
	written := form.FindString(rest)
	after := rest[len(written):]
	switch {
	case written == "":
		return 0, "", r.notANumber(rest)
	case strings.HasPrefix(after, ",") && startsWithDigit(after[1:]):
		return 0, "", r.decimalComma(written, after)
	case startsWithDigit(strings.TrimLeftFunc(after, isSpace)) || strings.HasPrefix(after, "."):
		return 0, "", r.notOneNumber(rest)
	}
	value, err := strconv.ParseFloat(strings.ReplaceAll(written, "−", "-"), 64)
	if err != nil {
		return 0, "", r.fail(r.at, written+" is too large", needed(r.kind.kind))
	}
	r.at += len(written)
	return value, written, nil
}

// notOneNumber explains digits that go on after a gap or a second point.
func (r *reader) notOneNumber(rest string) error {
	end := strings.IndexFunc(rest, func(c rune) bool { return !isSpace(c) && !strings.ContainsRune("+-−.0123456789", c) })
	if end < 0 {
		end = len(rest)
	}
	run := strings.TrimFunc(rest[:end], isSpace)
	what := "digits"
	if groupsOfThree.MatchString(run) {
		what = strings.Join(strings.FieldsFunc(run, isSpace), "") + ","
	}
	return r.fail(r.at, run+" is not one number", "write "+what+" without gaps and with one decimal point at most")
}

func (r *reader) notANumber(rest string) error {
	word := firstWord(rest)
	switch strings.ToLower(strings.TrimLeft(word, "+-")) {
	case "inf", "infinity", ".inf", "nan", ".nan", "∞":
		return r.fail(r.at, word+" is not a finite number", needed(r.kind.kind))
	case "":
		return r.fail(r.at, "a number is missing", needed(r.kind.kind))
	}
	return r.fail(r.at, fmt.Sprintf("%q is not a number", word), needed(r.kind.kind))
}

func (r *reader) decimalComma(written, after string) error {
	digits := len(after) - 1 - len(strings.TrimLeft(after[1:], "0123456789"))
	fraction := after[1 : 1+digits]
	hint := fmt.Sprintf("write %s.%s, not %s,%s", written, fraction, written, fraction)
	if digits == 3 {
		hint = fmt.Sprintf("write %s.%s or %s%s, not %s,%s", written, fraction, written, fraction, written, fraction)
	}
	return r.fail(r.at+len(written), "a comma stands in the number", hint)
}

// quantity reads the unit after a number and returns the term in SI.
func (r *reader) quantity(number float64, written string) (float64, unit, error) {
	text, at := r.unitText()
	kind := r.kind.kind
	if text == "" {
		if kind == Fraction {
			return number, unit{factor: 1}, nil
		}
		return 0, unit{}, r.fail(at, written+" has no unit", fmt.Sprintf("write %s %s", written, r.kind.units[0].symbol))
	}
	u, ok := findUnit(text, kind)
	if !ok {
		return 0, unit{}, r.badUnit(written, text, at, kind)
	}
	return number*u.factor + u.offset, u, nil
}

// unitText takes what stands between a number and the next number of a time,
// the spread or the end, and reports where it began.
func (r *reader) unitText() (text string, at int) {
	r.skipSpaces()
	at = r.at
	end := len(r.text)
	if mark := anySpreadMark.FindStringIndex(r.text[at:]); mark != nil {
		end = at + mark[0]
	}
	if r.kind.kind == Time {
		if i := strings.IndexAny(r.text[at:end], "0123456789."); i >= 0 {
			end = at + i
		}
	}
	r.at = end
	return strings.TrimFunc(r.text[at:end], isSpace), at
}

// badUnit explains a unit that the kind does not have.
func (r *reader) badUnit(written, text string, at int, kind Kind) error {
	if other, ok := findAnyUnit(text); ok {
		return r.fail(at, fmt.Sprintf("%s %s is %s", written, text, named(other)), needed(kind))
	}
	// A unit followed by words: name the words, not the unit.
	for cut := strings.LastIndexFunc(text, isSpace); cut > 0; cut = strings.LastIndexFunc(text[:cut], isSpace) {
		head := strings.TrimFunc(text[:cut], isSpace)
		if _, ok := findUnit(head, kind); ok {
			return r.fail(at+cut+1, fmt.Sprintf("%q after %s %s is not understood", strings.TrimFunc(text[cut:], isSpace), written, head),
				fmt.Sprintf("write %s %s alone", written, head))
		}
	}
	hint := needed(kind)
	if near, ok := nearest(text, kind); ok {
		hint = fmt.Sprintf("did you mean %s %s?", written, near)
	}
	return r.fail(at, fmt.Sprintf("%q is not a known unit", text), hint)
}

// spread reads the standard uncertainty, if one is written.
func (r *reader) spread(si float64) (float64, error) {
	r.skipSpaces()
	if r.at == len(r.text) {
		return 0, nil
	}
	// unitText stops only at a mark, at the end, or inside a time, whose
	// terms have all been read: so a mark stands here.
	r.at += len(anySpreadMark.FindString(r.text[r.at:]))
	r.skipSpaces()
	start := r.at
	if negative := signedNumber.FindString(r.text[start:]); strings.HasPrefix(negative, "-") || strings.HasPrefix(negative, "−") {
		return 0, r.fail(start, negative+" is negative", "a spread is a standard uncertainty, so write it without a sign")
	}
	number, written, err := r.number(unsignedNumber)
	if err != nil {
		return 0, err
	}
	text, at := r.unitText()
	kind := spreadKind(r.kind.kind)
	if r.at != len(r.text) {
		return 0, r.fail(r.at, "more follows the spread", fmt.Sprintf("write it once, such as %s ± 5 %%", Example(kind)))
	}
	spread := 0.0
	u, known := findUnit(text, kind)
	switch {
	case text == "" && r.kind.kind == Fraction:
		spread = number
	case text == "":
		k, _ := find(kind)
		return 0, r.fail(at, written+" after ± has no unit", fmt.Sprintf("write ± %s %s", written, k.units[0].symbol))
	case known:
		spread = number * u.factor
	case text == "%" && r.kind.kind == Temperature:
		return 0, r.fail(at, "a temperature has no spread in per cent", "write it in kelvins, such as ± 1 K")
	case text == "%" && si == 0:
		return 0, r.fail(at, "per cent of nothing is no spread", "write it with a unit, such as ± "+Example(kind))
	case text == "%":
		spread = number / 100 * math.Abs(si)
	default:
		return 0, r.badUnit(written, text, at, kind)
	}
	if !(spread <= largest) {
		return 0, r.fail(start, written+" "+text+" is too large", needed(kind))
	}
	return spread, nil
}

func startsWithDigit(s string) bool { return s != "" && '0' <= s[0] && s[0] <= '9' }

// firstWord returns the text up to the first space.
func firstWord(s string) string {
	if i := strings.IndexFunc(s, isSpace); i >= 0 {
		return s[:i]
	}
	return s
}

// timeUnits returns the units of time, the largest first.
func timeUnits(k kindUnits) []unit {
	units := slices.Clone(k.units)
	slices.SortFunc(units, func(a, b unit) int { return int(math.Copysign(1, b.factor-a.factor)) })
	return units
}
