// Package plainyaml reads the part of YAML in which our files are written: keys,
// sections indented under their key, lists and words. What a small file never
// needs, and what can make a small text stand for a large one, is refused with
// its place and with what would be right, so that no text can cost time or the
// program.
package plainyaml

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// Kind is a kind of file: how messages speak of it, and how large it may be.
type Kind struct {
	One, Many string // such as "a design" and "designs"
	Shape     string // what its lines look like
	Begin     string // how to come by a first one
	Bytes     int    // limits: an honest file is far below each of them
	Tokens    int
	Depth     int // of sections within sections
}

// Fault is a mistake in a text, at a line and a column from 1; at line 0 it is
// of the text as a whole.
type Fault struct {
	Line, Column int
	What         string // what is wrong
	Right        string // what would be right
}

// ByteOrderMark begins some texts, and says nothing in UTF-8.
const ByteOrderMark = "\ufeff"

// Clean gives the text without byte order mark and with ends of lines as we
// write them.
func Clean(text []byte) []byte {
	return bytes.ReplaceAll(bytes.TrimPrefix(text, []byte(ByteOrderMark)), []byte("\r\n"), []byte("\n"))
}

// Parse turns a text, as Clean gives it, into the map at its top; or says what
// is wrong with it, and then the map is nil.
func (k Kind) Parse(text []byte) (ast.MapNode, []Fault) {
	r := &reader{kind: k}
	if !r.screen(text) {
		return nil, r.faults
	}
	return r.parse(string(text)), r.faults
}

// reader holds what one reading has found so far.
type reader struct {
	kind   Kind
	faults []Fault
}

func (r *reader) report(line, column int, what, right string) {
	r.faults = append(r.faults, Fault{line, column, what, right})
}

func (r *reader) reportAt(tk *token.Token, what, right string) {
	line, column := Position(tk)
	r.report(line, column, what, right)
}

// screen refuses text that is no readable text at all.
func (r *reader) screen(text []byte) bool {
	if len(text) > r.kind.Bytes {
		most := fmt.Sprintf("%d kB", r.kind.Bytes>>10)
		if r.kind.Bytes >= 1<<20 {
			most = fmt.Sprintf("%d MB", r.kind.Bytes>>20)
		}
		r.report(0, 0, "the file is larger than "+most, r.kind.One+" is a text of a few kilobytes; check that this is the right file")
		return false
	}
	if !utf8.Valid(text) {
		offset := 0
		for offset < len(text) {
			c, size := utf8.DecodeRune(text[offset:])
			if c == utf8.RuneError && size == 1 {
				break
			}
			offset += size
		}
		line, column := placeOf(text, offset)
		r.report(line, column, "this is not text in UTF-8", "save the file as plain text in UTF-8")
		return false
	}
	for i, c := range string(text) {
		if unicode.IsControl(c) && c != '\n' && c != '\t' {
			line, column := placeOf(text, i)
			r.report(line, column, fmt.Sprintf("there is a control character (%U) in the text", c), "delete it; "+r.kind.One+" is plain text")
			return false
		}
	}
	n := 0
	for line := range strings.SplitSeq(string(text), "\n") {
		n++
		indent := line[:len(line)-len(strings.TrimLeft(line, " \t"))]
		if at := strings.IndexByte(indent, '\t'); at >= 0 && len(indent) < len(line) && line[len(indent)] != '#' {
			r.report(n, at+1, "the line is indented with a tab", "indent with blanks, two for each level")
		}
	}
	return len(r.faults) == 0
}

func placeOf(text []byte, offset int) (line, column int) {
	before := string(text[:offset])
	return strings.Count(before, "\n") + 1, utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:]) + 1
}

// parse turns the text into the map at its top, or reports why it cannot.
func (r *reader) parse(text string) (root ast.MapNode) {
	// The YAML library meets whatever users feed it; should it panic, the
	// user is told instead of losing the program.
	defer func() {
		if recover() != nil {
			r.report(1, 1, "the file cannot be read as YAML", r.kind.Shape)
			root = nil
		}
	}()
	tokens := lexer.Tokenize(text)
	if !r.screenTokens(tokens) {
		return nil
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		r.reportSyntax(err)
		return nil
	}
	if len(file.Docs) == 0 || file.Docs[0].Body == nil {
		r.report(1, 1, "the file is empty", r.kind.Begin)
		return nil
	}
	body := file.Docs[0].Body
	switch body := body.(type) {
	case ast.MapNode:
		return body
	case *ast.SequenceNode:
		r.reportAt(body.GetToken(), "the file holds a list where keys are expected", r.kind.Shape)
	default:
		r.reportAt(body.GetToken(), "the file holds no keys", r.kind.Shape)
	}
	return nil
}

// screenTokens refuses the parts of YAML that our files never need and that can
// make a small text stand for a large one.
func (r *reader) screenTokens(tokens token.Tokens) bool {
	many := "are not used in " + r.kind.Many
	var indents []int // columns of the block levels that are open
	flow := 0         // brackets and braces that are open
	for i, tk := range tokens {
		if i == r.kind.Tokens {
			r.reportAt(tk, fmt.Sprintf("the file has more than %d words and signs", r.kind.Tokens), r.kind.One+" needs a few hundred; check that this is the right file")
			return false
		}
		switch tk.Type {
		case token.AnchorType, token.AliasType:
			r.reportAt(tk, "anchors (&name) and aliases (*name) "+many, "write the values out; put text that begins with & or * in quotes")
		case token.MergeKeyType:
			r.reportAt(tk, "merge keys (<<) "+many, "write the keys out")
		case token.TagType:
			r.reportAt(tk, "tags (!name) "+many, "delete the tag; put text that begins with ! in quotes")
		case token.DirectiveType:
			r.reportAt(tk, "directives (%) "+many, "delete the line")
			return false
		case token.MappingKeyType:
			r.reportAt(tk, `the sign "?" for a long key is not used in `+r.kind.Many, `write "key: value"`)
		case token.DocumentHeaderType:
			if i > 0 {
				r.reportAt(tk, `a second document begins here ("---")`, r.kind.One+" for each file")
				return false
			}
		case token.MappingStartType, token.SequenceStartType:
			flow++
		case token.MappingEndType, token.SequenceEndType:
			flow = max(flow-1, 0) // one too many is the parser's to report
		case token.MappingValueType, token.SequenceEntryType:
			if flow > 0 { // within brackets the columns say nothing
				continue
			}
			column := tk.Position.Column
			if tk.Type == token.MappingValueType && tk.Prev != nil {
				column = tk.Prev.Position.Column
			}
			for len(indents) > 0 && indents[len(indents)-1] >= column {
				indents = indents[:len(indents)-1]
			}
			indents = append(indents, column)
		}
		if flow+len(indents) > r.kind.Depth {
			r.reportAt(tk, fmt.Sprintf("sections are nested more than %d deep", r.kind.Depth), r.kind.One+" has fewer levels; check that this is the right file")
			return false
		}
	}
	return len(r.faults) == 0
}

// reportSyntax words a mistake of YAML itself.
func (r *reader) reportSyntax(err error) {
	var known yaml.Error
	if !errors.As(err, &known) || known.GetToken() == nil {
		r.report(1, 1, "the file cannot be read as YAML", r.kind.Shape)
		return
	}
	message, right := known.GetMessage(), r.kind.Shape
	what := "the text cannot be read as YAML here (" + shortened(message) + ")"
	for _, w := range syntaxWords {
		if strings.Contains(message, w.sign) {
			what = w.what
			if w.right != "" {
				right = w.right
			}
			break
		}
	}
	r.reportAt(known.GetToken(), what, right)
}

// syntaxWords rewords what the YAML library says, by a sign in its message.
var syntaxWords = []struct{ sign, what, right string }{
	{"could not find end character of", "a quoted text is not closed", "close the quotes on the same line"},
	{"mapping value is not allowed", `there is a second ":" on the line, or a key is indented too far`, `one "key: value" on each line; put text that holds ": " in quotes`},
	{"',' or ']'", "a list opened with [ is not closed before this", "close it with ]"},
	{"',' or '}'", "a map opened with { is not closed before this", "close it with }"},
	{"sequence end token", "a list opened with [ is not closed", "close it with ]"},
	{"flow map", "a map opened with { is not closed", "close it with }"},
	{"cannot start any token", "a line begins with a sign that YAML reserves", "put the text in quotes"},
	{"reserved character", "a text begins with a sign that YAML reserves", "put the text in quotes"},
	{"non-map value", "a key is missing its colon, or the line is indented unlike its neighbours", `"key: value", in line with the keys beside it`},
	{"unexpected key name", "a key is missing its colon, or the line is indented unlike its neighbours", `"key: value", in line with the keys beside it`},
	{"not allowed in this context", "a value stands where a key is expected", `"key: value", in line with the keys beside it`},
	{"escape", "a backslash stands before a letter that it has no meaning for", `a single backslash within double quotes is written \\`},
	{"header option", `"|" or ">" is followed by more text`, `the text below "|", indented; or in quotes if it begins with | or >`},
	{"unexpected", "the text is not in the shape of keys and values here", ""},
}

// shortened keeps a message of the library to one short line.
func shortened(message string) string {
	message, _, _ = strings.Cut(message, "\n")
	if r := []rune(message); len(r) > 80 {
		return string(r[:80]) + "..."
	}
	return message
}

// Position is the place of a token, from 1. Some tokens that the library makes
// up have none.
func Position(tk *token.Token) (line, column int) {
	if tk == nil || tk.Position == nil {
		return 1, 1
	}
	return max(tk.Position.Line, 1), max(tk.Position.Column, 1)
}
