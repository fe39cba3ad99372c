package logfile

import (
	"errors"
	"strings"

	"github.com/goccy/go-yaml"

	"meltspan/design"
)

// MappingExample is what a mapping file looks like.
const MappingExample = `time: {columns: [Timestamp], form: date and time, zone: "+01:00"}
columns:
  - {name: T1, quantity: bottom plate, unit: degC, uncertainty: 0.3 K}
  - {name: T2, quantity: top plate, unit: degC, place: near the rim}
  - {name: T3, quantity: none}
`

// ParseMapping reads a mapping file. What it leaves out is guessed.
func ParseMapping(name string, text []byte) (Mapping, error) {
	var m Mapping
	if err := yaml.UnmarshalWithOptions(text, &m, yaml.Strict()); err != nil {
		p := design.Problem{File: name, What: err.Error(), Right: "a file such as\n" + MappingExample}
		var known yaml.Error
		if errors.As(err, &known) {
			p.What = "the mapping cannot be read: " + known.GetMessage()
			if at := known.GetToken(); at != nil && at.Position != nil {
				p.Line, p.Column = at.Position.Line, at.Position.Column
				p.Excerpt = design.Excerpt(strings.Split(string(text), "\n"), p.Line, p.Column)
			}
		}
		return m, p
	}
	if err := m.Check(); err != nil {
		var p design.Problem
		if errors.As(err, &p) {
			p.File = name
			return m, p
		}
		return m, err
	}
	return m, nil
}

// YAML writes the mapping as a file that ParseMapping reads, with the columns
// that are left out named as such.
func (m *Mapping) YAML() ([]byte, error) {
	out := *m
	out.Columns = nil
	for _, c := range m.Columns {
		if c.Quantity == "" {
			c = Column{Name: c.Name, Quantity: leftOut}
		}
		out.Columns = append(out.Columns, c)
	}
	return yaml.Marshal(&out)
}

// Merge lets later words, as those of flags, override earlier ones, as those
// of a mapping file.
func (m Mapping) Merge(over Mapping) Mapping {
	set := func(to *string, from string) {
		if from != "" {
			*to = from
		}
	}
	set(&m.Delimiter, over.Delimiter)
	set(&m.Decimal, over.Decimal)
	set(&m.Time.Zone, over.Time.Zone)
	if over.FirstLine > 0 {
		m.FirstLine = over.FirstLine
	}
	if len(over.Time.Columns) > 0 {
		m.Time.Columns = over.Time.Columns
	}
	if over.Time.Form != "" {
		m.Time.Form, m.Time.Every = over.Time.Form, over.Time.Every
	}
	m.Columns = append(append([]Column{}, m.Columns...), over.Columns...)
	return m
}
