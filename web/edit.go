package web

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"meltspan/design"
	"meltspan/quantity"
)

// turn writes another value for a quantity or a count into the text of a
// design, and leaves the rest of the text as it is, comments and all. The unit
// stays as written, and so does what follows after +-.
func turn(text string, d *design.Design, path string, si float64) (string, error) {
	knob, err := d.FindKnob(path)
	if err != nil {
		return "", bad("", err.Error())
	}
	if math.IsNaN(si) || math.IsInf(si, 0) {
		return "", bad("a number", "The value is no number.")
	}
	if strings.HasPrefix(path, "materials.") {
		return "", inText(path)
	}
	file, err := parser.ParseBytes([]byte(text), 0)
	if err != nil || len(file.Docs) != 1 {
		return "", inText(path)
	}
	keys := strings.Split(path, ".")
	node, lines := file.Docs[0].Body, strings.Split(text, "\n")
	for i, key := range keys {
		value := find(node, key)
		if value == nil {
			return insert(lines, node, keys[i:], rewritten(si, knob, ""))
		}
		node = value
	}
	return replace(lines, node, func(old string) string { return rewritten(si, knob, old) }, path)
}

func inText(path string) error {
	return bad("change it in the text", path+" stands in the text in a way that a slider cannot change.")
}

// find is the value of a key in a mapping, nil where there is none.
func find(node ast.Node, key string) ast.Node {
	m, ok := node.(*ast.MappingNode)
	if !ok {
		return nil
	}
	for _, v := range m.Values {
		if v.Key.GetToken().Value == key {
			return v.Value
		}
	}
	return nil
}

var leading = regexp.MustCompile(`^[-+]?[0-9.,]+(?:[eE][-+]?[0-9]+)?\s*`)

// rewritten writes a value in the unit that the old text has, with what follows
// there: "80 mm +- 0.2 mm" becomes "82 mm +- 0.2 mm".
func rewritten(si float64, knob design.Knob, old string) string {
	if knob.Count {
		return strconv.Itoa(int(math.Round(si)))
	}
	symbol, rest := quantity.Units(knob.Kind)[0], ""
	if after := leading.ReplaceAllString(old, ""); after != old {
		written := after
		if i := strings.Index(after, "+"); i >= 0 {
			written, rest = after[:i], " "+after[i:]
		} else if i := strings.Index(after, "±"); i >= 0 {
			written, rest = after[:i], " "+after[i:]
		}
		written = strings.TrimSpace(written)
		if _, ok := quantity.In(si, knob.Kind, written); ok {
			symbol = written
		} else {
			rest = "" // a spread in a unit that is not known stays with no other
		}
	}
	x, _ := quantity.In(si, knob.Kind, symbol)
	out := strconv.FormatFloat(round(x), 'f', -1, 64)
	if symbol != "" {
		out += " " + symbol
	}
	return out + rest
}

// round keeps five digits, as fine as any slider.
func round(x float64) float64 {
	if x == 0 {
		return 0
	}
	scale := math.Pow(10, 4-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*scale) / scale
}

// replace puts a new scalar in the place of an old one.
func replace(lines []string, node ast.Node, with func(old string) string, path string) (string, error) {
	t := node.GetToken()
	row, column := t.Position.Line-1, t.Position.Column-1
	if row < 0 || row >= len(lines) || t.Value == "" {
		return "", inText(path)
	}
	line := []rune(lines[row])
	if column < 0 || column > len(line) {
		return "", inText(path)
	}
	before, after := string(line[:column]), string(line[column:])
	old, quote := t.Value, ""
	switch t.Type {
	case token.DoubleQuoteType:
		quote = `"`
	case token.SingleQuoteType:
		quote = `'`
	}
	rest, ok := strings.CutPrefix(after, quote+old+quote)
	if !ok {
		return "", inText(path)
	}
	lines[row] = before + quote + with(old) + quote + rest
	return strings.Join(lines, "\n"), nil
}

// insert puts a key that is not there yet first into the mapping that it
// belongs to.
func insert(lines []string, node ast.Node, keys []string, value string) (string, error) {
	path := strings.Join(keys, ".")
	m, ok := node.(*ast.MappingNode)
	if !ok {
		return "", inText(path)
	}
	at := m.Start
	if !m.IsFlowStyle {
		if len(m.Values) == 0 {
			return "", inText(path)
		}
		at = m.Values[0].Key.GetToken()
	}
	row, column := at.Position.Line-1, at.Position.Column-1
	if row < 0 || row >= len(lines) || column < 0 || column > len([]rune(lines[row])) {
		return "", inText(path)
	}
	line := []rune(lines[row])
	if m.IsFlowStyle {
		if column >= len(line) || line[column] != '{' {
			return "", inText(path)
		}
		entry := value
		for i := len(keys) - 1; i >= 0; i-- {
			entry = keys[i] + ": " + entry
			if i > 0 {
				entry = "{" + entry + "}"
			}
		}
		if len(m.Values) > 0 {
			entry += ", "
		}
		lines[row] = string(line[:column+1]) + entry + string(line[column+1:])
		return strings.Join(lines, "\n"), nil
	}
	if strings.TrimSpace(string(line[:column])) != "" {
		return "", inText(path)
	}
	indent := string(line[:column])
	var fresh []string
	for i, key := range keys {
		fresh = append(fresh, fmt.Sprintf("%s%s%s:", indent, strings.Repeat("  ", i), key))
	}
	fresh[len(fresh)-1] += " " + value
	return strings.Join(append(append(append([]string{}, lines[:row]...), fresh...), lines[row:]...), "\n"), nil
}
