// Package textpage lays out text for terminals: plain characters, in 80
// columns.
package textpage

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Width is how many columns of a terminal text may take.
const Width = 80

var ascii = strings.NewReplacer("±", "+-", "°", "deg", "–", "-", "—", "-", "−", "-", "…", "...", "²", "2", "³", "3")

// Plain spells the signs that terminals may lack in ASCII, and turns control
// characters, with which a design's name could upset a terminal, into blanks.
func Plain(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, ascii.Replace(text))
}

// Columns is how many columns a text takes.
func Columns(text string) int { return utf8.RuneCountInString(text) }

// Cut shortens a text to a number of columns, with dots where it was cut.
func Cut(text string, columns int) string {
	runes := []rune(text)
	switch {
	case len(runes) <= columns:
		return text
	case columns <= 3:
		return string(runes[:columns])
	}
	return string(runes[:columns-3]) + "..."
}

// words splits text where a line may break: at blanks, but never between a
// number and its per cent sign.
func words(text string) []string {
	var out []string
	for _, w := range strings.Fields(Plain(text)) {
		if strings.HasPrefix(w, "%") && len(out) > 0 {
			out[len(out)-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}
