package quantity

import (
	"regexp"
	"strings"
	"sync"
)

// The expressions below use only what RE2 and the regular expressions of
// ECMA-262 share, because Pattern goes into a JSON Schema that editors read.
const (
	// Space, tab, no-break space, thin space, narrow no-break space.
	spaceClass = "[ \t\u00a0\u2009\u202f]"
	spaces     = spaceClass + "*"
	product    = spaces + "[·⋅*.]?" + spaces
	quotient   = spaces + "/" + spaces
	unsigned   = `(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+\-−]?[0-9]+)?`
	signed     = `[+\-−]?` + unsigned
	spreadMark = `(?:±|\+/?-)`
)

// expression returns the regular expression of all accepted spellings of a
// unit. A denominator of two factors may be written "W/(m2 K)", "W/m2K",
// "W/(K·m²)" or "W/m^2/K".
func (u unit) expression() string {
	spelled := []string{compound(u.symbol)}
	for _, s := range u.also {
		spelled = append(spelled, regexp.QuoteMeta(s))
	}
	return "(?:" + strings.Join(spelled, "|") + ")"
}

func compound(symbol string) string {
	numerator, denominator, divided := strings.Cut(symbol, "/")
	if !divided {
		return factorExpression(symbol)
	}
	numerator = factorExpression(numerator) + quotient
	factors := strings.Fields(strings.Trim(denominator, "()"))
	if len(factors) == 1 {
		return numerator + factorExpression(factors[0])
	}
	a, b := factorExpression(factors[0]), factorExpression(factors[1])
	ab, ba := a+product+b, b+product+a
	return numerator + "(?:" + strings.Join([]string{
		`\(` + spaces + "(?:" + ab + "|" + ba + ")" + spaces + `\)`,
		ab, ba, a + quotient + b, b + quotient + a,
	}, "|") + ")"
}

// factorExpression spells one factor: a raised 2 or 3 may be "2", "²" or
// "^2", and a leading u for micro may be either Greek letter.
func factorExpression(factor string) string {
	power := ""
	switch {
	case strings.HasSuffix(factor, "2"):
		power = `(?:2|²|\^2)`
	case strings.HasSuffix(factor, "3"):
		power = `(?:3|³|\^3)`
	}
	if power != "" {
		factor = factor[:len(factor)-1]
	}
	if len(factor) > 1 && factor[0] == 'u' {
		return "[uµμ]" + regexp.QuoteMeta(factor[1:]) + power
	}
	return regexp.QuoteMeta(factor) + power
}

// spelling matches the whole of a unit's text.
type spelling struct {
	unit
	kind Kind
	form *regexp.Regexp
}

// spellings compiles the table once, when the first text is read.
var spellings = sync.OnceValue(func() []spelling {
	var all []spelling
	for _, k := range table {
		for _, u := range k.units {
			all = append(all, spelling{u, k.kind, regexp.MustCompile("^" + u.expression() + "$")})
		}
	}
	return all
})

// findUnit looks a unit's text up among the units of one kind.
func findUnit(text string, kind Kind) (unit, bool) {
	for _, s := range spellings() {
		if s.kind == kind && s.form.MatchString(text) {
			return s.unit, true
		}
	}
	return unit{}, false
}

// findAnyUnit looks a unit's text up among all kinds and says which it is of.
func findAnyUnit(text string) (Kind, bool) {
	for _, s := range spellings() {
		if s.form.MatchString(text) {
			return s.kind, true
		}
	}
	return "", false
}
