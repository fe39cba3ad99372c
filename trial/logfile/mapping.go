// Package logfile reads the CSV files of loggers into series of a trial. What
// a file does not say is guessed, and the guess, a Mapping, can be shown and
// corrected before anything is kept. What is doubtful in it is marked, never
// left out.
package logfile

import (
	"fmt"
	"slices"
	"strings"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/trial"
)

// Mapping says how a log is to be read.
type Mapping struct {
	Encoding  string   `yaml:"-" json:"encoding"`
	Delimiter string   `yaml:"delimiter,omitempty" json:"delimiter"` // comma, semicolon, tab
	Decimal   string   `yaml:"decimal,omitempty" json:"decimal"`     // point or comma
	FirstLine int      `yaml:"first_line,omitempty" json:"first_line"`
	Time      Time     `yaml:"time,omitempty" json:"time"`
	Columns   []Column `yaml:"columns,omitempty" json:"columns"` // but for those of time

	header  []string
	width   int
	indices []int // of the time columns
}

// Time says where a log keeps its times, and how.
type Time struct {
	Columns []string `yaml:"columns,omitempty" json:"columns"`           // one; or two: date, then time of day
	Form    Form     `yaml:"form,omitempty" json:"form"`                 //
	Zone    string   `yaml:"zone,omitempty" json:"zone,omitempty"`       // of dates that state none
	Every   float64  `yaml:"every_s,omitempty" json:"every_s,omitempty"` // interval of rows, with EveryRow
	Assumed string   `yaml:"-" json:"assumed,omitempty"`
}

// The names of delimiters and decimal marks.
var delimiters = []struct {
	name string
	mark byte
}{{"semicolon", ';'}, {"tab", '\t'}, {"comma", ','}}

const (
	point = "point"
	comma = "comma"
)

func delimiterNamed(name string) (byte, bool) {
	for _, d := range delimiters {
		if d.name == name || name == string(d.mark) {
			return d.mark, true
		}
	}
	return 0, false
}

func (m *Mapping) delimiter() byte {
	mark, _ := delimiterNamed(m.Delimiter)
	return mark
}

func (m *Mapping) decimalComma() bool { return m.Decimal == comma }

// Used lists the columns that become series.
func (m *Mapping) Used() []Column {
	var out []Column
	for _, c := range m.Columns {
		if c.Quantity != "" {
			out = append(out, c)
		}
	}
	return out
}

// file is a log as text.
type file struct {
	name     string
	lines    []string
	encoding string
}

// fault is a mistake at a cell of a line, both counted from 1; cell 0 is the
// line as a whole.
func (f *file) fault(line, cell int, delimiter byte, right, format string, args ...any) error {
	p := design.Problem{File: f.name, What: fmt.Sprintf(format, args...), Right: right}
	if line > 0 && line <= len(f.lines) {
		p.Line, p.Column = line, 1
		if cell > 0 {
			p.Column = columnOf(f.lines[line-1], cell-1, delimiter)
		}
		p.Excerpt = design.Excerpt(f.lines, line, p.Column)
	}
	return p
}

// apply overrides the guess by what the user says. by is from a mapping file
// or from flags; what it leaves empty stays as guessed.
func (f *file) apply(m *Mapping, by *Mapping) error {
	for _, c := range by.Columns {
		i := called(names(m.Columns), c.Name)
		if i < 0 {
			return f.fault(0, 0, 0, "one of "+strings.Join(names(m.Columns), ", "), "the log has no column %q", c.Name)
		}
		c.Name, c.First, c.index = m.Columns[i].Name, m.Columns[i].First, m.Columns[i].index
		if c.Quantity != "" && c.Unit == "" {
			// The unit that the header states counts, whatever the guess was.
			c.Unit = usualUnit(c.Quantity)
			if _, unit, ok := splitHeader(c.Name); ok && unit.kind == c.Quantity.Measures() {
				c.Unit = unit.symbol
			} else {
				c.Assumed = "the unit is not stated; " + c.Unit + " is assumed"
			}
		}
		m.Columns[i] = c
	}
	return nil
}

// called finds a name as the user writes it: to the letter, else as a terminal
// shows it ("degC" for "°C"), in small letters or large. It is -1 for none.
func called(names []string, typed string) int {
	if i := slices.Index(names, typed); i >= 0 {
		return i
	}
	return slices.IndexFunc(names, func(name string) bool {
		return strings.EqualFold(textpage.Plain(name), textpage.Plain(typed))
	})
}

func names(columns []Column) []string {
	var out []string
	for _, c := range columns {
		out = append(out, c.Name)
	}
	return out
}

// Check looks at what a mapping says by itself.
func (m *Mapping) Check() error {
	switch {
	case m.Delimiter != "" && m.delimiter() == 0:
		return design.Problem{What: fmt.Sprintf("the delimiter cannot be %q", m.Delimiter), Right: "comma, semicolon or tab"}
	case m.Decimal != "" && m.Decimal != point && m.Decimal != comma:
		return design.Problem{What: fmt.Sprintf("the decimal mark cannot be %q", m.Decimal), Right: "point or comma"}
	case m.FirstLine < 0:
		return design.Problem{What: fmt.Sprintf("the first line of data cannot be %d", m.FirstLine), Right: "a line number from 1 on"}
	case m.Time.Form != "" && !slices.Contains(Forms(), m.Time.Form):
		return design.Problem{What: fmt.Sprintf("time cannot be written as %q", m.Time.Form), Right: "one of " + joined(Forms())}
	case len(m.Time.Columns) > 2:
		return design.Problem{What: fmt.Sprintf("time cannot stand in %d columns", len(m.Time.Columns)), Right: "one column, or two: date and time of day"}
	case m.Time.Form == EveryRow && !(m.Time.Every > 0 && m.Time.Every < 1e6):
		return design.Problem{What: "rows at equal intervals need their interval", Right: `such as every_s: 10`}
	}
	if m.Time.Zone != "" {
		if _, err := ParseZone(m.Time.Zone); err != nil {
			return design.Problem{What: err.Error(), Right: "UTC, local, an offset such as +01:00, or a name such as Europe/Berlin"}
		}
	}
	for i := range m.Columns {
		if err := m.Columns[i].check(); err != nil {
			return err
		}
	}
	return nil
}

func joined[T ~string](list []T) string {
	var out []string
	for _, x := range list {
		out = append(out, string(x))
	}
	return strings.Join(out, ", ")
}

func quantities() string { return joined(trial.Quantities()) }
