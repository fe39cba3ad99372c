package logfile

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"meltspan/quantity"
)

// timeColumn is what is found out about one column as a keeper of time.
type timeColumn struct {
	index    int
	form     Form
	rank     int  // how well it suits: 0 not at all
	timeless bool // a date alone
	assumed  string
	err      error
}

// The ranks of time columns.
const (
	rankRising = iota + 1 // numbers that rise, in the first column
	rankNamed             // called a time
	rankEpoch
	rankColons
	rankDate
)

// plainly is the share of a column's first cells that must read as times:
// logs begin with broken rows now and then.
const plainly = 0.6

// guessTime finds the columns that hold the time, and how it is written.
func (f *file) guessTime(m *Mapping, by *Time) error {
	m.Time = Time{Zone: by.Zone, Form: by.Form, Every: by.Every}
	if by.Form == EveryRow {
		return nil
	}
	rows := f.sampleRows(m)
	if len(by.Columns) > 0 {
		return f.statedTime(m, by, rows)
	}
	var best, day, colons timeColumn
	for i := range m.width {
		c := f.timeColumn(m, rows, i, by.Form, false)
		if c.rank == 0 && by.Form.Absolute() {
			// The form may be that of a date with the time of day beside it.
			if c = f.timeColumn(m, rows, i, "", false); c.rank != rankColons {
				continue
			}
		}
		switch {
		case c.timeless && day.rank == 0:
			day = c
		case c.rank == rankColons && colons.rank == 0:
			colons = c
		case c.rank > best.rank:
			best = c
		}
	}
	switch {
	case best.rank < rankDate && day.rank > 0 && colons.rank > 0:
		return f.takeTime(m, day, colons)
	case best.rank < rankColons && colons.rank > 0 && best.rank != rankEpoch:
		return f.takeTime(m, colons)
	case best.rank > 0:
		return f.takeTime(m, best)
	case day.rank > 0:
		return f.fault(m.FirstLine, day.index+1, m.delimiter(), `the name of the column with the time of day, such as --time "Date,Clock"`, "the dates in column %q have no time of day", m.header[day.index])
	}
	return f.fault(m.FirstLine, 0, 0, `the name of the column, such as --time "`+m.header[0]+`"; or --every "10 s" for rows at equal intervals`, "no column of this log looks like a time")
}

// statedTime takes the columns that the user names.
func (f *file) statedTime(m *Mapping, by *Time, rows [][]string) error {
	var found []timeColumn
	for _, name := range by.Columns {
		i := called(m.header, strings.TrimSpace(name))
		if i < 0 {
			return f.fault(0, 0, 0, "one of "+strings.Join(m.header, ", "), "the log has no column %q", name)
		}
		form := by.Form
		if len(by.Columns) == 2 && len(found) == 1 {
			form = TimeOfDay
		}
		c := f.timeColumn(m, rows, i, form, true)
		if c.rank == 0 && c.err == nil {
			return f.fault(m.FirstLine, i+1, m.delimiter(), "another column, or --time-form with one of "+joined(Forms()), "column %q does not read as a time", m.header[i])
		}
		found = append(found, c)
	}
	return f.takeTime(m, found...)
}

func (f *file) takeTime(m *Mapping, columns ...timeColumn) error {
	var assumed []string
	for i, c := range columns {
		if c.err != nil && i == 0 { // a time of day beside a date is none to ask about
			return c.err
		}
		m.indices = append(m.indices, c.index)
		m.Time.Columns = append(m.Time.Columns, m.header[c.index])
		if c.assumed != "" && len(columns) == 1 {
			assumed = append(assumed, c.assumed)
		}
	}
	m.Time.Form, m.Time.Assumed = columns[0].form, strings.Join(assumed, "; ")
	if len(columns) == 1 && columns[0].timeless {
		return f.fault(m.FirstLine, columns[0].index+1, m.delimiter(), `date and time of day, such as --time "Date,Clock"`, "the dates in column %q have no time of day", m.header[columns[0].index])
	}
	return nil
}

// sampleRows are the cells of the first rows of data.
func (f *file) sampleRows(m *Mapping) [][]string {
	var rows [][]string
	for _, i := range f.sampleLines(m.FirstLine - 1) {
		rows = append(rows, cells(nil, f.lines[i], m.delimiter()))
	}
	return rows
}

// timeColumn looks at one column. form is what the user says, or "".
func (f *file) timeColumn(m *Mapping, rows [][]string, index int, form Form, named bool) timeColumn {
	c := timeColumn{index: index}
	var filled []string
	for _, row := range rows {
		if index < len(row) && row[index] != "" {
			filled = append(filled, row[index])
		}
	}
	words, unit, hasUnit := splitHeader(m.header[index])
	called := slices.ContainsFunc(words, func(w string) bool { return slices.Contains(timeWords, w) }) ||
		hasUnit && unit.kind == quantity.Time || len(words) == 1 && words[0] == "t"
	reads := func(form Form) bool {
		k, n := &clock{form: form, zone: time.UTC, decimalComma: m.decimalComma()}, 0
		for _, cell := range filled {
			if _, ok := k.at(cell); ok {
				n++
			}
		}
		return n > 0 && float64(n) >= plainly*float64(len(filled))
	}
	if form != "" {
		if reads(form) && (named || called || form.Absolute()) {
			c.form, c.rank, c.timeless = form, rankDate, dateAlone(filled)
			if c.form == TimeOfDay {
				c.rank = rankColons
			}
		}
		return c
	}
	switch {
	case reads(DateTime):
		c.form, c.rank, c.timeless = DateTime, rankDate, dateAlone(filled)
	case reads(DayFirst) || reads(MonthFirst):
		c.rank, c.timeless = rankDate, dateAlone(filled)
		c.form, c.err = f.dayOrMonth(m, index)
	case reads(HourMinutes) && strings.Contains(filled[0], ":"):
		f.colonForm(m, &c, filled, words)
	default:
		numericTime(m, &c, filled, called, named, unit)
	}
	return c
}

func dateAlone(filled []string) bool {
	return len(filled) > 0 && !strings.Contains(filled[0], ":")
}

// dayOrMonth tells 31.01. from 01/31: by the dots, with which the day comes
// first wherever they are in use (common practice), or by a number above 12
// anywhere in the log. Otherwise the user is asked.
func (f *file) dayOrMonth(m *Mapping, index int) (Form, error) {
	var row []string
	line, day, month, alike := 0, false, false, true
	for i := m.FirstLine - 1; i < len(f.lines); i++ {
		if comment(f.lines[i]) {
			continue
		}
		row = cells(row[:0], f.lines[i], m.delimiter())
		if index >= len(row) {
			continue
		}
		parts, _, ok := threeNumbers(row[index])
		if !ok {
			continue
		}
		if at := strings.IndexAny(row[index], "./-"); row[index][at] == '.' {
			return DayFirst, nil
		}
		if line == 0 {
			line = i + 1
		}
		day, month = day || parts[0] > 12, month || parts[1] > 12
		alike = alike && parts[0] == parts[1]
		if day || month {
			break
		}
	}
	switch {
	case day, alike:
		return DayFirst, nil
	case month:
		return MonthFirst, nil
	}
	return DayFirst, f.fault(line, index+1, m.delimiter(), `--time-form "day first" or --time-form "month first"`,
		"the dates in column %q can be read with the day or with the month first", m.header[index])
}

// colonForm tells elapsed times from times of day.
func (f *file) colonForm(m *Mapping, c *timeColumn, filled, words []string) {
	c.rank = rankColons
	first, _ := (&clock{form: HourMinutes}).at(filled[0])
	name := strings.ToLower(m.header[c.index])
	elapsed := slices.Contains(words, "elapsed") || slices.Contains(words, "duration")
	switch {
	case strings.Count(filled[0], ":") == 1 && strings.Contains(name, "mm:ss") && !strings.Contains(name, "h:mm"):
		c.form = MinuteSecond
	case strings.Count(filled[0], ":") == 1 && strings.Contains(name, "h:mm"):
		c.form = HourMinutes
	case strings.Count(filled[0], ":") == 1 && !elapsed && slices.ContainsFunc(words, func(w string) bool { return w == "clock" || w == "uhrzeit" }):
		c.form = TimeOfDay
	case strings.Count(filled[0], ":") == 1:
		c.form = TimeOfDay // beside a date; alone, it is asked about
		c.err = f.fault(m.FirstLine, c.index+1, m.delimiter(), fmt.Sprintf("--time-form with one of %q, %q, %q", TimeOfDay, HourMinutes, MinuteSecond),
			"the times in column %q can be hours and minutes, or minutes and seconds", m.header[c.index])
	case elapsed || first < 60:
		c.form = HourMinutes
		if !elapsed {
			c.assumed = "the times begin at nought: they are taken as elapsed, not as times of day"
		}
	default:
		c.form = TimeOfDay
		c.assumed = "the times are taken as times of day, without a date"
	}
}

// Numbers in these ranges are Unix times from 2001 to 2096.
const (
	leastEpoch = 1e9
	mostEpoch  = 4e9
)

// numericTime looks at a column of numbers.
func numericTime(m *Mapping, c *timeColumn, filled []string, called, named bool, unit namedUnit) {
	var values []float64
	rising := true
	for _, cell := range filled {
		x, ok := number(cell, m.decimalComma())
		if !ok {
			continue
		}
		rising = rising && (len(values) == 0 || x >= values[len(values)-1])
		values = append(values, x)
	}
	if len(values) == 0 || float64(len(values)) < plainly*float64(len(filled)) {
		return
	}
	middle := values[len(values)/2]
	switch {
	case middle >= leastEpoch && middle < mostEpoch && (called || named || rising):
		c.form, c.rank = EpochSeconds, rankEpoch
	case middle >= 1000*leastEpoch && middle < 1000*mostEpoch && (called || named || rising):
		c.form, c.rank = EpochMillis, rankEpoch
	case called || named:
		c.rank = rankNamed
		c.form = map[string]Form{"s": Seconds, "ms": Millis, "min": Minutes, "h": Hours}[unit.symbol]
		if c.form == "" {
			c.form, c.assumed = guessElapsed(m.header[c.index])
		}
	case c.index == 0 && rising && len(values) > 2 && values[len(values)-1] > values[0]:
		c.rank, c.form = rankRising, Seconds
		c.assumed = "the first column rises and is taken as elapsed seconds"
	}
}

// guessElapsed reads the unit of an elapsed time from a name without one.
func guessElapsed(name string) (Form, string) {
	words, _, _ := splitHeader(name)
	for _, w := range words {
		switch w {
		case "millis", "ms", "milliseconds":
			return Millis, ""
		case "minutes", "min":
			return Minutes, ""
		case "hours":
			return Hours, ""
		case "seconds", "sec":
			return Seconds, ""
		}
	}
	return Seconds, "the unit of time is not stated; seconds are assumed"
}
