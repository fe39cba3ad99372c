package logfile

import (
	"errors"
	"fmt"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"

	"meltspan/design"
	"meltspan/internal/plainyaml"
)

// MappingExample is what a mapping file looks like.
const MappingExample = `time: {columns: [Timestamp], form: date and time, zone: "+01:00"}
columns:
  - {name: T1, quantity: bottom plate, unit: degC, uncertainty: 0.3 K}
  - {name: T2, quantity: top plate, unit: degC, place: near the rim}
  - {name: T3, quantity: none}
`

// written is how a mapping file is written.
var written = plainyaml.Kind{
	One: "a mapping file", Many: "mapping files",
	Shape: mappingShape, Begin: mappingShape,
	Bytes: 1 << 20, Tokens: 100_000, Depth: 8, // a log may have thousands of columns
}

const mappingShape = "a file such as\n" + MappingExample

// ParseMapping reads a mapping file. What it leaves out is guessed. The error,
// if any, is of type design.Problems or design.Problem.
func ParseMapping(name string, text []byte) (Mapping, error) {
	text = plainyaml.Clean(text)
	root, faults := written.Parse(text)
	if root == nil {
		return Mapping{}, design.ProblemsIn(name, text, faults)
	}
	m, err := decode(root)
	if err != nil {
		p := design.Problem{File: name, What: err.Error(), Right: mappingShape}
		var known yaml.Error
		if errors.As(err, &known) {
			line, column := plainyaml.Position(known.GetToken())
			p = design.ProblemAt(name, text, line, column, "", "the mapping cannot be read: "+known.GetMessage(), mappingShape)
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

// decode fills a mapping from the keys and values of its file.
func decode(root ast.MapNode) (m Mapping, err error) {
	// The library meets whatever users feed it; should it panic, the user is
	// told instead of losing the program.
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("the mapping cannot be read: %v", fault)
		}
	}()
	node, ok := root.(ast.Node)
	if !ok {
		return m, errors.New("the mapping holds no keys")
	}
	err = yaml.NodeToValue(node, &m, yaml.Strict())
	return m, err
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
