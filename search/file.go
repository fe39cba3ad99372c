package search

import (
	"errors"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"meltspan/design"
	"meltspan/internal/plainyaml"
	"meltspan/quantity"
)

// File is a search file: what may vary in a design, what must hold, what is
// wanted.
//
//	search: 1
//	vary:
//	  stand.cup.diameter: 70 mm to 91 mm
//	  stand.wall.cavities: 0 to 4
//	  stand.material: [pla, petg]
//	hold:
//	  envelope: 120 mm x 40 mm
//	  dry_at: 60 %
//	aim: [run_time, print_time]
//	quantile: 5 %
type File struct {
	Inputs   []Input
	Limits   Limits
	Aims     []Aim
	Quantile float64 // 0 when the file leaves it out
}

const fileVersion = "1"

// ParseFile reads a search file for a design. name is used in messages only.
// The error, if any, is of type design.Problems and holds every mistake found.
func ParseFile(name string, text []byte, d *design.Design) (*File, error) {
	r := &fileReader{name: name, text: plainyaml.Clean(text), d: d, file: &File{Limits: UsualLimits(d)}}
	r.read()
	if len(r.problems) > 0 {
		return nil, r.problems
	}
	return r.file, nil
}

const fileShape = `lines such as "search: 1", and the sections "vary:" and "hold:" with their keys indented`

// written is how a search file is written.
var written = plainyaml.Kind{
	One: "a search file", Many: "search files", Shape: fileShape, Begin: fileShape,
	Bytes: 64 << 10, Tokens: 5000, Depth: 8,
}

type fileReader struct {
	name     string
	text     []byte
	d        *design.Design
	file     *File
	problems design.Problems
}

func (r *fileReader) report(n ast.Node, key, what, right string) {
	line, column := 1, 1
	if n != nil {
		line, column = plainyaml.Position(n.GetToken())
	}
	r.problems = append(r.problems, design.ProblemAt(r.name, r.text, line, column, key, what, right))
}

func (r *fileReader) reportError(n ast.Node, key string, err error) {
	var m *Mistake
	if errors.As(err, &m) {
		r.report(n, key, m.What, m.Right)
	} else {
		r.report(n, key, err.Error(), "")
	}
}

func (r *fileReader) read() {
	root, faults := written.Parse(r.text)
	r.problems = design.ProblemsIn(r.name, r.text, faults)
	if root == nil {
		return
	}
	stated := map[string]bool{}
	r.each(root, "", stated, func(key string, at, value ast.Node) {
		switch key {
		case "search":
			if words := r.words(at, key, value); len(words) != 1 || words[0] != fileVersion {
				r.report(value, key, "the version of a search file is a number", "search: "+fileVersion)
			}
		case "vary":
			r.vary(at, value)
		case "hold":
			r.hold(at, value)
		case "aim":
			aims, err := ParseAims(r.words(at, key, value))
			if err != nil {
				r.reportError(value, key, err)
			}
			r.file.Aims = aims
		case "quantile":
			r.quantile(at, value)
		default:
			r.report(at, key, fmt.Sprintf("%q is no key of a search file", short(key)), "search, vary, hold, aim or quantile")
		}
	})
	for _, key := range []string{"search", "vary"} {
		if !stated[key] {
			r.report(nil, key, key+" is missing", fileShape)
		}
	}
}

// each visits the keys of a section, each once.
func (r *fileReader) each(m ast.MapNode, in string, stated map[string]bool, visit func(key string, at, value ast.Node)) {
	for it := m.MapRange(); it.Next(); {
		at := it.Key()
		key := ""
		if at != nil && at.GetToken() != nil {
			key = strings.TrimSpace(at.GetToken().Value)
		}
		if stated[key] {
			r.report(at, join(in, key), fmt.Sprintf("%s stands here twice", short(key)), "keep one of them")
			continue
		}
		stated[key] = true
		visit(key, at, it.Value())
	}
}

func join(section, key string) string {
	if section == "" {
		return key
	}
	return section + "." + key
}

func short(text string) string {
	if r := []rune(text); len(r) > 60 {
		return string(r[:60]) + "..."
	}
	return text
}

func (r *fileReader) section(at, value ast.Node, key, example string) (ast.MapNode, bool) {
	m, ok := value.(ast.MapNode)
	if !ok {
		r.report(at, key, key+" is a section of its own", "keys on lines of their own, indented, such as "+example)
	}
	return m, ok
}

func (r *fileReader) vary(at, value ast.Node) {
	m, ok := r.section(at, value, "vary", `"stand.cup.diameter: 70 mm to 91 mm"`)
	if !ok {
		return
	}
	r.each(m, "vary", map[string]bool{}, func(path string, at, value ast.Node) {
		words := r.words(at, path, value)
		if len(words) == 0 {
			return
		}
		in, err := ParseInput(r.d, path, words)
		if err != nil {
			r.reportError(at, "vary."+path, err)
			return
		}
		r.file.Inputs = append(r.file.Inputs, in)
	})
}

func (r *fileReader) hold(at, value ast.Node) {
	m, ok := r.section(at, value, "hold", `"print_time: 6 h"`)
	if !ok {
		return
	}
	r.each(m, "hold", map[string]bool{}, func(name string, at, value ast.Node) {
		if words := r.words(at, name, value); len(words) == 1 {
			if err := r.file.Limits.Set(name, words[0]); err != nil {
				r.reportError(at, "hold."+name, err)
			}
		} else if len(words) > 1 {
			r.report(value, "hold."+name, name+" takes one value", "such as "+name+": 6 h")
		}
	})
}

func (r *fileReader) quantile(at, value ast.Node) {
	words := r.words(at, "quantile", value)
	if len(words) != 1 {
		return
	}
	q, err := ParseQuantile(words[0])
	if err != nil {
		r.reportError(value, "quantile", err)
	}
	r.file.Quantile = q
}

// ParseQuantile reads a quantile such as "5 %".
func ParseQuantile(text string) (float64, error) {
	v, err := quantity.Parse(text, quantity.Fraction)
	if err != nil || !(v.SI > 0 && v.SI < 1) || v.Spread > 0 {
		return 0, mistake("more than 0 % and less than 100 %, such as 5 %, which 95 % of the trials outlast", "the quantile cannot be %q", text)
	}
	return v.SI, nil
}

// words are one value, or the entries of a list.
func (r *fileReader) words(at ast.Node, key string, value ast.Node) []string {
	var out []string
	switch n := value.(type) {
	case *ast.SequenceNode:
		for _, item := range n.Values {
			s, ok := item.(ast.ScalarNode)
			if !ok || s.GetToken() == nil {
				r.report(at, key, short(key)+" holds something that is no word", "words such as [pla, petg]")
				return nil
			}
			out = append(out, strings.TrimSpace(s.GetToken().Value))
		}
	case ast.MapNode, *ast.NullNode, nil, *ast.LiteralNode:
	case ast.ScalarNode:
		if n.GetToken() != nil {
			out = append(out, strings.TrimSpace(n.GetToken().Value))
		}
	}
	if len(out) == 0 {
		r.report(at, key, short(key)+" has no value", "a value such as 70 mm to 91 mm, or a list of words")
	}
	return out
}
