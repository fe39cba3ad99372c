package quantity

import (
	"fmt"
	"strings"
)

// ParseError says what is wrong with a text that should be a quantity, where,
// and what would be right.
type ParseError struct {
	Text   string // the whole text that was read
	Offset int    // byte offset in Text of what is wrong
	Reason string // what is wrong, such as "120 has no unit"
	Hint   string // what would be right, such as "write 120 mm"; may be empty
}

// Error joins reason and hint.
func (e *ParseError) Error() string {
	if e.Hint == "" {
		return e.Reason
	}
	return e.Reason + "; " + e.Hint
}

// named returns the kind with its article: "a length", "an area".
func named(kind Kind) string {
	k, ok := find(kind)
	if !ok {
		return "a quantity"
	}
	return k.article + " " + string(kind)
}

// needed says what should stand there, with an example.
func needed(kind Kind) string {
	return fmt.Sprintf("%s such as %s is needed", named(kind), Example(kind))
}

// nearest returns the symbol of the kind that looks most like the text, if
// any does: the same letters in another case, or up to two letters changed.
func nearest(text string, kind Kind) (string, bool) {
	best, bestDistance := "", 3
	lower := strings.ToLower(text)
	for _, symbol := range Units(kind) {
		d := editDistance(lower, strings.ToLower(symbol))
		if d < bestDistance && d < len(symbol) {
			best, bestDistance = symbol, d
		}
	}
	return best, best != ""
}

// editDistance is the number of single-character insertions, deletions and
// replacements between two strings (Levenshtein, Soviet Physics Doklady 10,
// 1966). Texts longer than any unit are given up on.
func editDistance(a, b string) int {
	ra, rb := []rune(a), []rune(b)
	if len(ra) > len(rb)+2 {
		return len(ra)
	}
	row := make([]int, len(rb)+1)
	for j := range row {
		row[j] = j
	}
	for i, ca := range ra {
		diagonal := row[0]
		row[0] = i + 1
		for j, cb := range rb {
			replace := diagonal
			if ca != cb {
				replace++
			}
			diagonal = row[j+1]
			row[j+1] = min(replace, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(rb)]
}
