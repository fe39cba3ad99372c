package logfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"meltspan/design"
	"meltspan/trial"
)

// MostBytes bounds a log: several million rows.
const MostBytes = 1 << 30

// Log is a log as read.
type Log struct {
	Mapping  Mapping        `json:"mapping"`
	Absolute bool           `json:"absolute"` // times are Unix times; else they count from Series' own zero
	Rows     int            `json:"rows"`     // read
	First    float64        `json:"first_s"`  // earliest time of a good row
	Last     float64        `json:"last_s"`
	Series   []trial.Series `json:"-"` // times as in the log
	Unread   int            `json:"rows_without_time"`
	Examples []Unread       `json:"examples_without_time,omitempty"` // the first of them
}

// Unread is a row whose time cannot be read, so that it has no place.
type Unread struct {
	Line int    `json:"line"`
	Text string `json:"text"`
}

const mostExamples = 5

// Read reads a log. name is used in messages and as the source of the series;
// by is what the user says of the log, the zero value when nothing. Mistakes
// come back as a design.Problem with line, column and text.
func Read(name string, data []byte, by Mapping) (*Log, error) {
	if len(data) > MostBytes {
		return nil, design.Problem{File: name, What: fmt.Sprintf("the log is larger than %d MB", MostBytes>>20), Right: "several logs, or fewer rows"}
	}
	if err := by.Check(); err != nil {
		return nil, err
	}
	text, encoding, err := decoded(data)
	if err != nil {
		return nil, err
	}
	f := &file{name: name, lines: lines(text), encoding: encoding}
	m := Mapping{Encoding: encoding}
	if err := f.guessLayout(&m, &by); err != nil {
		return nil, err
	}
	f.findHeader(&m)
	if err := f.guessTime(&m, &by.Time); err != nil {
		return nil, err
	}
	f.guessColumns(&m)
	if err := f.apply(&m, &by); err != nil {
		return nil, err
	}
	return f.read(m)
}

// read goes through all rows.
func (f *file) read(m Mapping) (*Log, error) {
	l := &Log{Mapping: m, Absolute: m.Time.Form.Absolute()}
	used := m.Used()
	if len(used) == 0 {
		list := names(m.Columns)
		if len(list) == 0 {
			return nil, f.fault(m.FirstLine, 0, 0, "a column with readings beside that of the time", "there is nothing but times in this log")
		}
		return nil, f.fault(m.FirstLine, 0, 0, fmt.Sprintf("say what they are, such as --column %q; a trial measures %s", list[len(list)-1]+"=bottom plate", quantities()),
			"none of the columns of this log is understood: %s", strings.Join(list, ", "))
	}
	k, err := newClock(&m)
	if err != nil {
		return nil, err
	}
	rows := len(f.lines) - m.FirstLine + 1
	times := make([]float64, 0, rows)
	values := make([][]float64, len(used))
	for i := range values {
		values[i] = make([]float64, 0, rows)
	}
	var row []string
	delimiter, decimalComma := m.delimiter(), m.decimalComma()
	for i := m.FirstLine - 1; i < len(f.lines); i++ {
		if comment(f.lines[i]) {
			continue
		}
		row = cells(row[:0], f.lines[i], delimiter)
		if slices.Equal(row, m.header) {
			continue // the logger was started anew
		}
		l.Rows++
		at, ok := k.row(row)
		if !ok {
			l.unread(i+1, f.lines[i])
			continue
		}
		times = append(times, at)
		for j := range used {
			x := math.NaN()
			if c := used[j].index; c < len(row) {
				x, _ = number(row[c], decimalComma)
			}
			values[j] = append(values[j], x)
		}
	}
	if len(times) == 0 || 2*l.Unread > l.Rows {
		line := m.FirstLine
		if len(l.Examples) > 0 {
			line = l.Examples[0].Line
		}
		cell := 0
		if len(m.indices) > 0 {
			cell = m.indices[0] + 1
		}
		return nil, f.fault(line, cell, delimiter, "another --time column, or --time-form with one of "+joined(Forms()),
			"%d of %d rows hold no time that reads as %s", l.Unread, l.Rows, m.Time.Form)
	}
	l.assemble(f.name, used, times, values)
	return l, nil
}

func (l *Log) unread(line int, text string) {
	l.Unread++
	if len(l.Examples) < mostExamples {
		l.Examples = append(l.Examples, Unread{line, text})
	}
}

// assemble makes series of the columns, with their marks.
func (l *Log) assemble(name string, used []Column, times []float64, values [][]float64) {
	order := orderMarks(times)
	l.First, l.Last = math.Inf(1), math.Inf(-1)
	for i, t := range times {
		if order[i] == trial.Good {
			l.First, l.Last = min(l.First, t), max(l.Last, t)
		}
	}
	for j, c := range used {
		factor, offset, _ := c.scale()
		uncertainty, _ := c.uncertainty() // checked with the mapping
		s := trial.Series{Quantity: c.Quantity, Place: c.Place, Source: name + ": " + c.Name, Uncertainty: uncertainty, Emissivity: c.Emissivity}
		s.Samples = make([]trial.Sample, len(times))
		for i, t := range times {
			s.Samples[i] = trial.Sample{Time: t, Value: values[j][i]*factor + offset, Mark: order[i]}
		}
		MarkValues(&s)
		l.Series = append(l.Series, s)
	}
}

// Since returns the series with their times counted from start, in the terms
// of the log.
func (l *Log) Since(start float64) []trial.Series {
	out := slices.Clone(l.Series)
	for i := range out {
		out[i].Samples = slices.Clone(out[i].Samples)
		for j := range out[i].Samples {
			out[i].Samples[j].Time -= start
		}
	}
	return out
}

// rowClock reads the time of a row.
type rowClock struct {
	date, day clock
	indices   []int
	every     float64
	count     int
	carry     float64 // days gone by, for times of day without a date, s
	last      float64
}

func newClock(m *Mapping) (*rowClock, error) {
	zone, err := ParseZone(m.Time.Zone)
	if err != nil {
		return nil, err
	}
	return &rowClock{
		date:    clock{form: m.Time.Form, zone: zone, decimalComma: m.decimalComma()},
		day:     clock{form: TimeOfDay},
		indices: m.indices, every: m.Time.Every,
	}, nil
}

func (k *rowClock) row(row []string) (float64, bool) {
	if len(k.indices) == 0 {
		k.count++
		return float64(k.count-1) * k.every, true
	}
	for _, i := range k.indices {
		if i >= len(row) {
			return 0, false
		}
	}
	if len(k.indices) == 2 {
		// One cell after the other is as one cell with both.
		return k.date.at(row[k.indices[0]] + " " + row[k.indices[1]])
	}
	t, ok := k.date.at(row[k.indices[0]])
	if ok && k.date.form == TimeOfDay {
		if t += k.carry; t < k.last-43200 { // midnight has gone by
			k.carry, t = k.carry+86400, t+86400
		}
		k.last = t
	}
	return t, ok && !math.IsNaN(t) && !math.IsInf(t, 0)
}
