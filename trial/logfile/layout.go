package logfile

import (
	"fmt"
	"strings"
	"time"
)

// looked is how many lines the guesses look at.
const looked = 400

// sampleLines are the lines from the head of the file that are no comments,
// by their numbers from 0.
func (f *file) sampleLines(from int) []int {
	var out []int
	for i := from; i < len(f.lines) && len(out) < looked; i++ {
		if !comment(f.lines[i]) {
			out = append(out, i)
		}
	}
	return out
}

// guessLayout finds delimiter, decimal mark, width and first line of data.
func (f *file) guessLayout(m *Mapping, by *Mapping) error {
	sample := f.sampleLines(max(by.FirstLine-1, 0))
	if len(sample) == 0 {
		return f.fault(0, 0, 0, "a CSV file with a row for each reading", "there is nothing in the log")
	}
	m.Delimiter, m.Decimal, m.FirstLine = by.Delimiter, by.Decimal, by.FirstLine
	best := -1.0
	for _, d := range delimiters {
		if by.delimiter() != 0 && by.delimiter() != d.mark {
			continue
		}
		score, width := f.score(sample, d.mark)
		if score > best+1e-9 && width > 0 {
			best, m.Delimiter, m.width = score, d.name, width
		}
	}
	if m.width == 0 || best <= 0 {
		return f.fault(sample[0]+1, 0, 0, "rows of numbers, parted by comma, semicolon or tab", "no row of numbers is found in the log")
	}
	if m.FirstLine == 0 {
		m.FirstLine = f.firstData(sample, m) + 1
	}
	if m.Decimal == "" {
		m.Decimal = f.decimal(m)
	}
	return nil
}

// score says how well a delimiter suits: the share of the cells that read as
// numbers, times or nothing, among the rows of the most frequent width, times
// the share of those rows. More columns win a draw.
func (f *file) score(sample []int, delimiter byte) (score float64, width int) {
	counts, good := map[int]int{}, map[int]int{}
	var row []string
	for _, i := range sample {
		row = cells(row[:0], f.lines[i], delimiter)
		counts[len(row)]++
		for _, cell := range row {
			if cell == "" || looksNumeric(cell) || looksTimely(cell) {
				good[len(row)]++
			}
		}
	}
	for n, count := range counts {
		if s := float64(good[n]) / float64(n*len(sample)) * (1 + 0.01*float64(min(n, 20))); count > 0 && good[n] > 0 && s > score {
			score, width = s, n
		}
	}
	return score, width
}

// looksTimely reports whether a cell reads as a time that is no mere number.
func looksTimely(cell string) bool {
	for _, form := range []Form{DateTime, DayFirst, MonthFirst, HourMinutes} {
		if _, ok := (&clock{form: form, zone: time.UTC}).at(cell); ok {
			return true
		}
	}
	return false
}

// firstData finds the first line that is data: of the usual width, with a
// number or time at least, and more of them than of words.
func (f *file) firstData(sample []int, m *Mapping) int {
	var row []string
	for _, i := range sample {
		row = cells(row[:0], f.lines[i], m.delimiter())
		values, words := 0, 0
		for _, cell := range row {
			switch {
			case cell == "" || strings.EqualFold(cell, "nan"):
			case looksNumeric(cell) || looksTimely(cell):
				values++
			default:
				words++
			}
		}
		if len(row) == m.width && values > 0 && values > words {
			return i
		}
	}
	return sample[0]
}

// decimal finds the mark by which the cells part whole from fraction.
func (f *file) decimal(m *Mapping) string {
	points, commas := 0, 0
	var row []string
	for _, i := range f.sampleLines(m.FirstLine - 1) {
		row = cells(row[:0], f.lines[i], m.delimiter())
		for _, cell := range row {
			_, asPoint := number(cell, false)
			_, asComma := number(cell, true)
			switch {
			case asPoint && strings.Contains(cell, "."):
				points++
			case asComma && !asPoint:
				commas++
			}
		}
	}
	if commas > points {
		return comma
	}
	return point
}

// findHeader reads the names of the columns from the lines above the data: the
// last one that has as many cells, be it set off as a remark. A line of units
// below it is added to the names.
func (f *file) findHeader(m *Mapping) {
	var units []string
	for i := m.FirstLine - 2; i >= 0; i-- {
		line := strings.TrimLeft(f.lines[i], "#%/ ")
		row := cells(nil, line, m.delimiter())
		if len(row) != m.width || strings.TrimSpace(line) == "" {
			continue
		}
		if units == nil && allUnits(row) {
			units = row
			continue
		}
		m.header = row
		break
	}
	if m.header == nil {
		m.header = make([]string, m.width)
	}
	seen := map[string]bool{}
	for i := range m.header {
		name := m.header[i]
		if units != nil && units[i] != "" {
			name = strings.TrimSpace(name + " (" + strings.Trim(units[i], "()[]") + ")")
		}
		if name == "" || seen[name] {
			name = strings.TrimSpace(fmt.Sprintf("%s column %d", name, i+1))
		}
		seen[name] = true
		m.header[i] = name
	}
}

// allUnits reports whether a row holds units and nothing else.
func allUnits(row []string) bool {
	known := 0
	for _, cell := range row {
		_, ok := unitNamed(strings.Trim(cell, "()[] "))
		if ok {
			known++
		} else if cell != "" && !strings.ContainsAny(cell, ":-") { // hh:mm:ss, yyyy-mm-dd
			return false
		}
	}
	return known > 0
}
