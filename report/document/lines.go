package document

import (
	"strings"
	"unicode"
)

// breakLines breaks text at blanks into lines no wider than width, as measure
// has it. A word that is wider is broken after a sign, or anywhere: nothing is
// cut. A number keeps its sign of per cent or degrees.
func breakLines(text string, width float64, measure func(string) float64) []string {
	var lines []string
	line := ""
	for _, word := range joined(strings.Fields(text)) {
		if line != "" && measure(line+" "+word) <= width {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = word
		for measure(line) > width {
			head, rest := splitWord(line, width, measure)
			if rest == "" {
				break // a single character wider than the line
			}
			lines, line = append(lines, head), rest
		}
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// joined keeps a sign with the number before it.
func joined(words []string) []string {
	var out []string
	for _, w := range words {
		if n := len(out); n > 0 && (strings.HasPrefix(w, "%") || strings.HasPrefix(w, "°")) {
			out[n-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

// splitWord takes the longest beginning of a word that fits, up to a sign
// where the beginning has one.
func splitWord(word string, width float64, measure func(string) float64) (head, rest string) {
	runes := []rune(word)
	fits := 1
	for fits < len(runes) && measure(string(runes[:fits+1])) <= width {
		fits++
	}
	if fits == len(runes) {
		return word, ""
	}
	for i := fits; i > fits/2; i-- {
		if r := runes[i-1]; !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			return string(runes[:i]), strings.TrimLeft(string(runes[i:]), " ")
		}
	}
	return string(runes[:fits]), string(runes[fits:])
}

// columnWidths shares the width of the page among columns of which wide is how
// much each would take on one line: those that ask for no more than their equal
// part get it, the others share what is left as they ask. No table is wider
// than it needs.
func columnWidths(wide []float64, width float64) []float64 {
	out := make([]float64, len(wide))
	settled := make([]bool, len(wide))
	left, open := width, len(wide)
	for again := true; again && open > 0; {
		again = false
		part := left / float64(open)
		for i, w := range wide {
			if !settled[i] && w <= part {
				out[i], settled[i], again = w, true, true
				left -= w
				open--
			}
		}
	}
	asked := 0.0
	for i, w := range wide {
		if !settled[i] {
			asked += w
		}
	}
	// Of those left, none gets less than half of an equal part.
	if open > 0 {
		part := left / float64(open)
		for i, w := range wide {
			if !settled[i] {
				out[i] = part/2 + left/2*w/asked
			}
		}
	}
	return out
}
