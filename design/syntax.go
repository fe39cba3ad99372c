package design

import (
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

// Limits on the text. A full design has some 200 lines and 4 levels; these
// leave ample room and keep hostile text from costing time.
const (
	maxBytes  = 1 << 20
	maxTokens = 20000
	maxDepth  = 16
)

// screen refuses text that is no readable text at all.
func (r *reader) screen(text []byte) bool {
	if len(text) > maxBytes {
		r.report(place{}, "", fmt.Sprintf("the file is larger than %d MB", maxBytes>>20), "a design is a text of a few kilobytes; check that this is the right file")
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
		r.report(placeOf(text, offset), "", "this is not text in UTF-8", "save the file as plain text in UTF-8")
		return false
	}
	for i, c := range string(text) {
		if unicode.IsControl(c) && c != '\n' && c != '\t' {
			r.report(placeOf(text, i), "", fmt.Sprintf("there is a control character (%U) in the text", c), "delete it; a design is plain text")
			return false
		}
	}
	ok := true
	for i, line := range r.lines {
		indent := line[:len(line)-len(strings.TrimLeft(line, " \t"))]
		if at := strings.IndexByte(indent, '\t'); at >= 0 && len(indent) < len(line) && line[len(indent)] != '#' {
			r.report(place{i + 1, at + 1}, "", "the line is indented with a tab", "indent with blanks, two for each level")
			ok = false
		}
	}
	return ok
}

func placeOf(text []byte, offset int) place {
	before := string(text[:offset])
	line := strings.Count(before, "\n")
	return place{line + 1, utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:]) + 1}
}

// parse turns the text into the map at its top, or reports why it cannot.
func (r *reader) parse(text string) (root ast.MapNode, ok bool) {
	// The YAML library meets whatever users feed it; should it panic, the
	// user is told instead of losing the program.
	defer func() {
		if recover() != nil {
			r.report(place{1, 1}, "", "the file cannot be read as YAML", yamlShape)
			root, ok = nil, false
		}
	}()
	tokens := lexer.Tokenize(text)
	if !r.screenTokens(tokens) {
		return nil, false
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		r.reportSyntax(err)
		return nil, false
	}
	if len(file.Docs) == 0 || file.Docs[0].Body == nil {
		r.report(place{1, 1}, "", "the file is empty", "a design; \"meltspan starter\" writes one to begin with")
		return nil, false
	}
	body := file.Docs[0].Body
	root, ok = body.(ast.MapNode)
	switch body.(type) {
	case *ast.SequenceNode:
		r.report(at(body.GetToken()), "", "the file holds a list where keys are expected", yamlShape)
	case ast.MapNode:
	default:
		r.report(at(body.GetToken()), "", "the file holds no keys", yamlShape)
	}
	return root, ok
}

const yamlShape = `lines such as "name: bench engine", and sections indented under their key`

// screenTokens refuses the parts of YAML that a design never needs and that
// can make a small text stand for a large one.
func (r *reader) screenTokens(tokens token.Tokens) bool {
	found := len(r.problems)
	var indents []int // columns of the block levels that are open
	flow := 0         // brackets and braces that are open
	for i, tk := range tokens {
		if i == maxTokens {
			r.report(at(tk), "", fmt.Sprintf("the file has more than %d words and signs", maxTokens), "a design needs a few hundred; check that this is the right file")
			return false
		}
		switch tk.Type {
		case token.AnchorType, token.AliasType:
			r.report(at(tk), "", "anchors (&name) and aliases (*name) are not used in designs", "write the values out; put text that begins with & or * in quotes")
		case token.MergeKeyType:
			r.report(at(tk), "", "merge keys (<<) are not used in designs", "write the keys out")
		case token.TagType:
			r.report(at(tk), "", "tags (!name) are not used in designs", "delete the tag; put text that begins with ! in quotes")
		case token.DirectiveType:
			r.report(at(tk), "", "directives (%) are not used in designs", "delete the line")
			return false
		case token.MappingKeyType:
			r.report(at(tk), "", `the sign "?" for a long key is not used in designs`, `write "key: value"`)
		case token.DocumentHeaderType:
			if i > 0 {
				r.report(at(tk), "", `a second document begins here ("---")`, "one design for each file")
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
		if flow+len(indents) > maxDepth {
			r.report(at(tk), "", fmt.Sprintf("sections are nested more than %d deep", maxDepth), "a design has at most four levels")
			return false
		}
	}
	return len(r.problems) == found
}

// reportSyntax words a mistake of YAML itself.
func (r *reader) reportSyntax(err error) {
	var known yaml.Error
	if !errors.As(err, &known) || known.GetToken() == nil {
		r.report(place{1, 1}, "", "the file cannot be read as YAML", yamlShape)
		return
	}
	message, right := known.GetMessage(), yamlShape
	what := "the text cannot be read as YAML here (" + shorten(message, 80) + ")"
	for _, w := range syntaxWords {
		if strings.Contains(message, w.sign) {
			what, right = w.what, w.right
			break
		}
	}
	r.report(at(known.GetToken()), "", what, right)
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
	{"unexpected", "the text is not in the shape of keys and values here", yamlShape},
}

// at is the place of a token. Some tokens that the library makes up have none.
func at(tk *token.Token) place {
	if tk == nil || tk.Position == nil {
		return place{1, 1}
	}
	return place{max(tk.Position.Line, 1), max(tk.Position.Column, 1)}
}
