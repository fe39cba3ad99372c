package design

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"meltspan/internal/plainyaml"
)

// Problem is one mistake in a design file, or in the room log beside it.
type Problem struct {
	File    string
	Line    int    // from 1; 0 when the design came from no file
	Column  int    // from 1, in characters
	Key     string // path of the key at fault, such as "stand.wall.skin"; may be empty
	Excerpt string // the line at fault with a caret below it
	What    string // what is wrong
	Right   string // what would be right
}

// Error prints the problem over several lines: place and what is wrong, the
// excerpt, and what would be right.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", p.Line, p.Column)
	}
	if b.Len() > 0 {
		b.WriteString(": ")
	}
	b.WriteString(p.What)
	if p.Excerpt != "" {
		b.WriteString("\n" + p.Excerpt)
	}
	if p.Right != "" {
		b.WriteString("\n  right: " + p.Right)
	}
	return b.String()
}

// Problems are all the mistakes found in one reading, in the order of their
// places. It is never empty when returned as an error.
type Problems []Problem

// shownProblems is how many problems are printed in full: what fits a
// terminal, and more than anyone mends before reading the file anew.
const shownProblems = 20

// Error prints the first problems in full and says how many more there are.
func (ps Problems) Error() string {
	parts := make([]string, 0, min(len(ps), shownProblems)+1)
	for i, p := range ps {
		if i == shownProblems {
			parts = append(parts, fmt.Sprintf("... and %d more", len(ps)-i))
			break
		}
		parts = append(parts, p.Error())
	}
	return strings.Join(parts, "\n")
}

func (ps Problems) sort() {
	slices.SortStableFunc(ps, func(a, b Problem) int {
		if a.Line != b.Line {
			return a.Line - b.Line
		}
		return a.Column - b.Column
	})
}

// pageWidth is how many columns of a terminal an excerpt may take.
const pageWidth = 80

// Excerpt shows one line of the text with a caret under the column. Tabs and
// other control characters become blanks so that the caret stays in place.
func Excerpt(lines []string, line, column int) string {
	if line < 1 || line > len(lines) {
		return ""
	}
	text := []rune(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, lines[line-1]))
	gutter := fmt.Sprintf("%5d | ", line)
	width := pageWidth - len(gutter)
	column = min(max(column, 1), len(text)+1)
	from := 0
	if column > width-16 {
		from = column - width/2
	}
	to := min(len(text), from+width)
	blank := strings.Repeat(" ", len(gutter)-2) + "| "
	return gutter + strings.TrimRight(string(text[from:to]), " ") + "\n" + blank + strings.Repeat(" ", column-1-from) + "^"
}

// quote shows a piece of the user's text, cut when long.
func quote(text string) string { return fmt.Sprintf("%q", shorten(text, 48)) }

func shorten(text string, most int) string {
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "..."
	}
	return text
}

// ProblemsIn are the faults of the text of another file that is written as designs
// are, in order and with excerpts.
func ProblemsIn(file string, text []byte, faults []plainyaml.Fault) Problems {
	r, _ := newReader(file, text)
	r.take(faults)
	r.finish()
	return r.problems
}

// ProblemAt is a mistake at a place of another file that is written as designs
// are, with its excerpt.
func ProblemAt(file string, text []byte, line, column int, key, what, right string) Problem {
	lines := strings.Split(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n")
	return Problem{File: file, Line: line, Column: column, Key: key, What: what, Right: right, Excerpt: Excerpt(lines, line, column)}
}
