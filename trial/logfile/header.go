package logfile

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"meltspan/quantity"
	"meltspan/trial"
)

// Column is what one column of a log means.
type Column struct {
	Name        string         `yaml:"name" json:"name"`                                   // in the header; "column 3" without one
	Quantity    trial.Quantity `yaml:"quantity,omitempty" json:"quantity,omitempty"`       // "": left out
	Unit        string         `yaml:"unit,omitempty" json:"unit,omitempty"`               // of package quantity
	Place       string         `yaml:"place,omitempty" json:"place,omitempty"`             // in the user's words
	Uncertainty string         `yaml:"uncertainty,omitempty" json:"uncertainty,omitempty"` // one standard uncertainty, with unit
	Emissivity  float64        `yaml:"emissivity,omitempty" json:"emissivity,omitempty"`   // set on a thermal camera

	First   string `yaml:"-" json:"first"`             // its first cell
	Assumed string `yaml:"-" json:"assumed,omitempty"` // what was assumed about it, in words
	index   int
}

// unitNames are the units that headers and cells write, in small letters,
// beside those of package quantity.
var unitNames = map[string]struct {
	kind   quantity.Kind
	symbol string
}{
	"°c": {quantity.Temperature, "degC"}, "c": {quantity.Temperature, "degC"}, "degc": {quantity.Temperature, "degC"},
	"deg c": {quantity.Temperature, "degC"}, "℃": {quantity.Temperature, "degC"}, "ºc": {quantity.Temperature, "degC"},
	"celsius": {quantity.Temperature, "degC"}, "grad": {quantity.Temperature, "degC"}, "\ufffdc": {quantity.Temperature, "degC"},
	"°f": {quantity.Temperature, "degF"}, "f": {quantity.Temperature, "degF"}, "degf": {quantity.Temperature, "degF"},
	"deg f": {quantity.Temperature, "degF"}, "℉": {quantity.Temperature, "degF"}, "fahrenheit": {quantity.Temperature, "degF"},
	"k": {quantity.Temperature, "K"}, "kelvin": {quantity.Temperature, "K"},
	"%": {quantity.Fraction, "%"}, "%rh": {quantity.Fraction, "%"}, "% rh": {quantity.Fraction, "%"}, "rh%": {quantity.Fraction, "%"},
	"percent": {quantity.Fraction, "%"}, "pct": {quantity.Fraction, "%"}, "%rf": {quantity.Fraction, "%"}, "% r.f.": {quantity.Fraction, "%"},
	"rpm": {quantity.Frequency, "rpm"}, "1/min": {quantity.Frequency, "rpm"}, "/min": {quantity.Frequency, "rpm"}, "u/min": {quantity.Frequency, "rpm"},
	"r/min": {quantity.Frequency, "rpm"}, "rev/min": {quantity.Frequency, "rpm"}, "min-1": {quantity.Frequency, "rpm"}, "min^-1": {quantity.Frequency, "rpm"},
	"hz": {quantity.Frequency, "Hz"}, "1/s": {quantity.Frequency, "Hz"}, "rps": {quantity.Frequency, "Hz"},
	"rev/s": {quantity.Frequency, "Hz"}, "s-1": {quantity.Frequency, "Hz"},
	"g": {quantity.Mass, "g"}, "gram": {quantity.Mass, "g"}, "grams": {quantity.Mass, "g"}, "kg": {quantity.Mass, "kg"},
	"mg": {quantity.Mass, "mg"}, "oz": {quantity.Mass, "oz"}, "lb": {quantity.Mass, "lb"},
	"w": {quantity.Power, "W"}, "watt": {quantity.Power, "W"}, "watts": {quantity.Power, "W"}, "mw": {quantity.Power, "mW"},
	"s": {quantity.Time, "s"}, "sec": {quantity.Time, "s"}, "secs": {quantity.Time, "s"}, "second": {quantity.Time, "s"}, "seconds": {quantity.Time, "s"}, "sek": {quantity.Time, "s"},
	"ms": {quantity.Time, "ms"}, "msec": {quantity.Time, "ms"}, "millis": {quantity.Time, "ms"}, "milliseconds": {quantity.Time, "ms"},
	"min": {quantity.Time, "min"}, "mins": {quantity.Time, "min"}, "minute": {quantity.Time, "min"}, "minutes": {quantity.Time, "min"}, "minuten": {quantity.Time, "min"},
	"h": {quantity.Time, "h"}, "hr": {quantity.Time, "h"}, "hrs": {quantity.Time, "h"}, "hour": {quantity.Time, "h"}, "hours": {quantity.Time, "h"}, "std": {quantity.Time, "h"},
	"d": {quantity.Time, "d"}, "days": {quantity.Time, "d"},
}

type namedUnit struct {
	kind   quantity.Kind
	symbol string
}

func unitNamed(text string) (namedUnit, bool) {
	u, ok := unitNames[strings.ToLower(strings.Trim(strings.TrimSpace(text), "."))]
	return namedUnit(u), ok
}

var bracketed = regexp.MustCompile(`\(([^()]*)\)|\[([^\[\]]*)\]`)

// splitHeader parts a header into its words, in small letters, and its unit.
func splitHeader(name string) (words []string, unit namedUnit, found bool) {
	rest := bracketed.ReplaceAllStringFunc(name, func(match string) string {
		inside := match[1 : len(match)-1]
		if u, ok := unitNamed(inside); ok && !found {
			unit, found = u, true
			return " "
		}
		return " " + inside + " "
	})
	if !found {
		rest, unit, found = trailingUnit(rest)
	}
	return wordsOf(rest), unit, found
}

// trailingUnit takes a unit off the end of a header, behind a slash, comma,
// blank or underline: "T/°C", "room_temperature_degC", "Speed rpm". "Sensor F"
// has no unit: the letter is what the sensor is called.
func trailingUnit(text string) (string, namedUnit, bool) {
	text = strings.TrimSpace(text)
	for _, separators := range []string{"/", ",_", " "} {
		for at := strings.IndexAny(text, separators); at >= 0 && at < len(text)-1; {
			tail := text[at+1:]
			if u, ok := unitNamed(tail); ok && at > 0 && !(len(tail) == 1 && calledByLetter(text[:at])) {
				return strings.TrimRight(text[:at], " ,_/"), u, true
			}
			next := strings.IndexAny(tail, separators)
			if next < 0 {
				break
			}
			at += 1 + next
		}
	}
	if at := strings.IndexAny(text, "°%"); at > 0 {
		if u, ok := unitNamed(text[at:]); ok {
			return text[:at], u, true
		}
	}
	return text, namedUnit{}, false
}

// calledByLetter reports whether a header ends in a word that a letter or
// number follows.
func calledByLetter(text string) bool {
	words := wordsOf(text)
	return len(words) > 0 && slices.Contains([]string{"sensor", "probe", "channel", "ch", "thermocouple", "tc", "column", "port"}, words[len(words)-1])
}

// wordsOf parts text at whatever is no letter or digit, and where a capital
// follows a small letter, or a digit a letter.
func wordsOf(text string) []string {
	var out []string
	var word []rune
	flush := func() {
		if len(word) > 0 {
			out = append(out, strings.ToLower(string(word)))
			word = word[:0]
		}
	}
	var last rune
	for _, r := range text {
		switch {
		case !unicode.IsLetter(r) && !unicode.IsDigit(r):
			flush()
		case unicode.IsUpper(r) && unicode.IsLower(last), unicode.IsDigit(r) && unicode.IsLetter(last), unicode.IsLetter(r) && unicode.IsDigit(last):
			flush()
			word = append(word, r)
		default:
			word = append(word, r)
		}
		last = r
	}
	flush()
	return out
}
