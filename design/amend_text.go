package design

import (
	"bytes"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"meltspan/internal/plainyaml"
)

var byteOrderMark = []byte(plainyaml.ByteOrderMark)

// layoutText is the text of a design by its lines, which are changed in place.
type layoutText struct {
	mark  []byte // a byte order mark ahead of it, if any
	lines []string
	tree  ast.Node // of the keys, nil when the lines have changed since
}

func newLayoutText(text []byte) *layoutText {
	l := &layoutText{}
	if bytes.HasPrefix(text, byteOrderMark) {
		l.mark, text = byteOrderMark, text[len(byteOrderMark):]
	}
	l.lines = strings.Split(string(text), "\n")
	return l
}

func (l *layoutText) bytes() []byte {
	return append(bytes.Clone(l.mark), strings.Join(l.lines, "\n")...)
}

// root is the tree of the keys as the lines are now; nil where there is none.
func (l *layoutText) root() ast.Node {
	if l.tree == nil {
		if m, _ := written.Parse(plainyaml.Clean([]byte(strings.Join(l.lines, "\n")))); m != nil {
			l.tree, _ = m.(ast.Node)
		}
	}
	return l.tree
}

// scalar is the text of a value as it stands there; "" where there is none.
func (l *layoutText) scalar(path string) string {
	node := l.root()
	for key := range strings.SplitSeq(path, ".") {
		if node, _ = below(node, key); node == nil {
			return ""
		}
	}
	if n, ok := node.(ast.ScalarNode); ok && n.GetToken() != nil {
		return strings.TrimSpace(n.GetToken().Value)
	}
	return ""
}

// put writes a value under a path: in the place of what stands there, else as
// a key of its own. ok is false where the text leaves no way to do that.
func (l *layoutText) put(path, value string) (ok bool) {
	node, keys := l.root(), strings.Split(path, ".")
	l.tree = nil
	var section *token.Token // the key under which node stands
	for i, key := range keys {
		next, at := below(node, key)
		if next == nil {
			return l.insert(node, section, keys[:i], keys[i:], value)
		}
		node, section = next, at
	}
	return l.replace(node, value)
}

// below is what stands under a key, with the key's token. Materials go by
// their names.
func below(node ast.Node, key string) (ast.Node, *token.Token) {
	switch n := node.(type) {
	case ast.MapNode:
		for it := n.MapRange(); it.Next(); {
			if it.Key() != nil && it.Key().GetToken() != nil && it.Key().GetToken().Value == key {
				return it.Value(), it.Key().GetToken()
			}
		}
	case *ast.SequenceNode:
		for _, item := range n.Values {
			if m, ok := item.(ast.MapNode); ok && entryName(m) == key {
				return item, nil
			}
		}
	}
	return nil, nil
}

// find turns a token's place into the number of a line and a byte in it.
func (l *layoutText) find(t *token.Token) (row, column int, ok bool) {
	if t == nil || t.Position == nil {
		return 0, 0, false
	}
	row = t.Position.Line - 1
	if row < 0 || row >= len(l.lines) || t.Position.Column < 1 {
		return 0, 0, false
	}
	column = columnByte(l.lines[row], t.Position.Column)
	return row, column, column <= len(l.lines[row])
}

// columnByte is where a column, counted in characters from 1, begins in a line.
func columnByte(line string, column int) int {
	at := 0
	for range column - 1 {
		_, size := utf8.DecodeRuneInString(line[min(at, len(line)):])
		at += max(size, 1)
	}
	return at
}

// replace puts a value in the place of another, within its quotes if it has any.
func (l *layoutText) replace(node ast.Node, value string) bool {
	if _, ok := node.(ast.ScalarNode); !ok {
		return false
	}
	t := node.GetToken()
	row, start, ok := l.find(t)
	if !ok || t.Value == "" {
		return false
	}
	line := l.lines[row]
	end, quote := start+len(t.Value), ""
	switch t.Type {
	case token.DoubleQuoteType, token.SingleQuoteType:
		if start == len(line) {
			return false
		}
		quote = line[start : start+1]
		closing := strings.Index(line[start+1:], quote)
		if closing < 0 {
			return false
		}
		end = start + closing + 2
	default:
		if !strings.HasPrefix(line[start:], t.Value) {
			return false // it goes on in the next line
		}
	}
	l.lines[row] = line[:start] + quote + value + quote + remarkBeside(line[start:end], quote+value+quote, line[end:])
	return true
}

// remarkBeside keeps a remark behind a value in its column if there is room.
func remarkBeside(old, value, rest string) string {
	remark := strings.TrimLeft(rest, " ")
	if !strings.HasPrefix(remark, "#") {
		return rest
	}
	blanks := len(rest) - len(remark)
	moved := blanks + utf8.RuneCountInString(old) - utf8.RuneCountInString(value)
	return strings.Repeat(" ", max(moved, min(blanks, 2))) + remark
}

// insert writes keys that are not there yet into the mapping, or the list of
// materials, to which they belong.
func (l *layoutText) insert(node ast.Node, section *token.Token, within, keys []string, value string) bool {
	inList := slices.Equal(within, []string{"materials"})
	switch n := node.(type) {
	case *ast.SequenceNode:
		if n.IsFlowStyle {
			return l.insertFlow(n.Start, len(n.Values) == 0, inFlow(keys, value, inList))
		}
		return l.insertBelow(section, n.Start, inBlock(keys, value, inList))
	case *ast.MappingNode:
		switch {
		case n.IsFlowStyle && len(n.Values) == 0:
			return l.insertFlow(n.Start, true, inFlow(keys, value, inList))
		case len(n.Values) == 0:
			return false
		}
		first := n.Values[0].Key.GetToken()
		switch {
		case n.IsFlowStyle:
			return l.insertBefore(first, inFlow(keys, value, inList))
		case len(within) == 0:
			return l.insertAtEnd(first, inBlock(keys, value, inList))
		case section == nil: // an entry of the list of materials
			section = first
		}
		return l.insertBelow(section, first, inBlock(keys, value, inList))
	}
	return false
}

// insertFlow writes an entry behind an opening brace or bracket.
func (l *layoutText) insertFlow(open *token.Token, empty bool, entry string) bool {
	row, column, ok := l.find(open)
	if !ok || column == len(l.lines[row]) {
		return false
	}
	line := l.lines[row]
	if rest := line[column+1:]; empty {
		l.lines[row] = line[:column+1] + entry + strings.TrimLeft(rest, " ")
	} else {
		l.lines[row] = line[:column+1] + entry + ", " + rest
	}
	return true
}

// insertBefore writes an entry before the first one between braces.
func (l *layoutText) insertBefore(first *token.Token, entry string) bool {
	row, column, ok := l.find(first)
	if ok {
		l.lines[row] = l.lines[row][:column] + entry + ", " + l.lines[row][column:]
	}
	return ok
}

// insertBelow writes lines under the line of a section, indented as its first
// entry is.
func (l *layoutText) insertBelow(section, first *token.Token, entry []string) bool {
	row, _, ok := l.find(section)
	_, column, there := l.find(first)
	if !ok || !there {
		return false
	}
	end := ending(l.lines[row])
	l.lines = slices.Insert(l.lines, row+1, indented(entry, column, end)...)
	return true
}

// insertAtEnd writes lines at the end of the text. Where that ends without an
// end of line it goes on to do so.
func (l *layoutText) insertAtEnd(first *token.Token, entry []string) bool {
	row, column, ok := l.find(first)
	if !ok {
		return false
	}
	end := ending(l.lines[row])
	lines, last := indented(entry, column, end), len(l.lines)-1
	if l.lines[last] == "" {
		l.lines = slices.Insert(l.lines, last, lines...)
		return true
	}
	l.lines[last] += end
	lines[len(lines)-1] = strings.TrimSuffix(lines[len(lines)-1], end)
	l.lines = append(l.lines, lines...)
	return true
}

// ending is the "\r" of a line where lines end in CR LF.
func ending(line string) string {
	if strings.HasSuffix(line, "\r") {
		return "\r"
	}
	return ""
}

func indented(entry []string, column int, end string) []string {
	out := make([]string, len(entry))
	for i, line := range entry {
		out[i] = strings.Repeat(" ", column) + line + end
	}
	return out
}

// inBlock writes keys, one within the other, on lines of their own. inList
// says that the first is the name of a material.
func inBlock(keys []string, value string, inList bool) []string {
	switch {
	case inList:
		return append([]string{"- name: " + keys[0]}, deeper(inBlock(keys[1:], value, false))...)
	case len(keys) == 1:
		return []string{keys[0] + ": " + value}
	}
	return append([]string{keys[0] + ":"}, deeper(inBlock(keys[1:], value, keys[0] == "materials"))...)
}

func deeper(lines []string) []string {
	for i := range lines {
		lines[i] = "  " + lines[i]
	}
	return lines
}

// inFlow writes keys, one within the other, between braces.
func inFlow(keys []string, value string, inList bool) string {
	switch {
	case inList:
		return "{name: " + keys[0] + ", " + inFlow(keys[1:], value, false) + "}"
	case len(keys) == 1:
		return keys[0] + ": " + value
	case keys[0] == "materials":
		return keys[0] + ": [" + inFlow(keys[1:], value, true) + "]"
	}
	return keys[0] + ": {" + inFlow(keys[1:], value, false) + "}"
}
