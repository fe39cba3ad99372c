package design

import (
	"slices"
	"strings"
)

// nearest returns the word among those allowed that is most likely meant by
// the one written, or "" when none is near: no more than a third of the
// letters, and at least one, may differ.
func nearest(written string, allowed []string) string {
	const longest = 64 // no key is as long; spares the work on noise
	if len(written) > longest {
		return ""
	}
	plain := strings.ToLower(strings.NewReplacer("-", "_", " ", "_").Replace(written))
	best, least := "", max(1, len(plain)/3)+1
	for _, word := range allowed {
		if n := editDistance(plain, word); n < least {
			best, least = word, n
		}
	}
	return best
}

// editDistance counts the letters to insert, delete, replace or swap with
// their neighbour to turn a into b (optimal string alignment distance;
// Damerau, Communications of the ACM 7 (1964) 171, from memory, page not
// verified).
func editDistance(a, b string) int {
	x, y := []rune(a), []rune(b)
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row[0] = i
		for j := 1; j <= len(y); j++ {
			same := 1
			if x[i-1] == y[j-1] {
				same = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+same)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(y)]
}

// oneOf lists what is allowed, the near one first: "did you mean ...?".
func oneOf(written string, allowed []string) string {
	list := strings.Join(allowed, ", ")
	if word := nearest(written, allowed); word != "" && !slices.Contains(allowed, written) {
		return "did you mean " + word + "? Allowed here: " + list
	}
	return "allowed here: " + list
}
