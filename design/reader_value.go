package design

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"

	"meltspan/quantity"
)

// value reads the value of one key.
func (r *reader) value(f *field, node ast.Node, dst reflect.Value, path string, keyAt place) {
	if f.shape == shapeList {
		r.list(f, node, dst, path, keyAt)
		return
	}
	if f.section != nil {
		m, ok := node.(ast.MapNode)
		if !ok {
			what, right := path+" is a section of its own, but a single value stands here", "write its keys on lines of their own, indented: "+strings.Join(f.section.keys(), ", ")
			switch node.(type) {
			case *ast.SequenceNode:
				what = path + " is a section, but a list stands here"
				right = "leave out the dashes; " + right
			case *ast.NullNode, nil:
				what = path + " is empty"
				right = "write its keys below it, or {} to take every default, or delete the line"
			}
			r.report(valuePlace(node, keyAt), path, what, right)
			return
		}
		if f.shape == shapeOptional {
			dst.Set(reflect.New(f.section.typ))
			dst = dst.Elem()
			markAbsent(dst, f.section)
		}
		r.section(m, f.section, dst, path, keyAt)
		return
	}
	text, at, ok := r.scalar(f, node, path, keyAt)
	if !ok {
		return
	}
	r.places[path] = at
	switch f.shape {
	case shapeQuantity:
		r.quantity(f, text, at, node, dst, path)
	case shapeCount:
		n, err := strconv.Atoi(text)
		switch {
		case err != nil:
			r.report(at, path, path+" must be a whole number, not "+quote(text), "a number "+f.limitsInWords())
		case !f.limits.holds(float64(n)):
			r.report(at, path, fmt.Sprintf("%s is %d", path, n), "a number "+f.limitsInWords())
		}
		dst.SetInt(int64(n))
	case shapeTruth:
		if text != "true" && text != "false" {
			r.report(at, path, path+" must be true or false, not "+quote(text), `"`+f.key+`: true" or "`+f.key+`: false"`)
		}
		dst.SetBool(text == "true")
	case shapeText:
		r.text(f, text, at, dst, path)
	}
}

func (f *field) limitsInWords() string {
	if !f.limits.set {
		return "such as 1"
	}
	return f.limits.String()
}

// scalar takes the text of a value that must not be a map, a list or empty.
func (r *reader) scalar(f *field, node ast.Node, path string, keyAt place) (string, place, bool) {
	what, right := "", "write "+f.example()
	switch n := node.(type) {
	case *ast.LiteralNode:
		return strings.TrimSpace(n.Value.Value), keyAt, true
	case *ast.NullNode, nil:
		what, right = path+" has no value", right+", or delete the line"
	case ast.MapNode:
		what = path + " takes one value, but keys stand under it"
	case *ast.SequenceNode:
		what = path + " takes one value, but a list stands here"
	case ast.ScalarNode:
		return strings.TrimSpace(n.GetToken().Value), valuePlace(node, keyAt), true
	default:
		what = path + " cannot be read"
	}
	r.report(valuePlace(node, keyAt), path, what, right)
	return "", place{}, false
}

// valuePlace is where a value begins; of a section, an empty value or a list,
// the place of its key.
func valuePlace(node ast.Node, keyAt place) place {
	switch node.(type) {
	case *ast.NullNode, ast.MapNode, *ast.SequenceNode, nil:
		return keyAt
	}
	if node.GetToken() == nil {
		return keyAt
	}
	return at(node.GetToken())
}

// longestText bounds names, words and quantities; notes may be longer.
const longestText = 200

func (r *reader) quantity(f *field, text string, at place, node ast.Node, dst reflect.Value, path string) {
	if utf8.RuneCountInString(text) > longestText {
		r.report(at, path, path+" is too long for a quantity", "write "+f.example())
		return
	}
	v, err := quantity.Parse(text, f.kind)
	if err != nil {
		what, hint, offset := err.Error(), "", 0
		var known *quantity.ParseError
		if errors.As(err, &known) {
			what, hint, offset = known.Reason, known.Hint, known.Offset
		}
		if hint == "" {
			hint = "write " + f.example()
		}
		if before := text[:min(max(offset, 0), len(text))]; !strings.Contains(text, "\n") && at.line <= len(r.lines) {
			// Point into the value only where it stands in the file as read.
			line := []rune(r.lines[at.line-1])
			start := min(at.column-1, len(line))
			if _, isString := node.(*ast.StringNode); isString && start < len(line) && (line[start] == '"' || line[start] == '\'') {
				start++
			}
			if strings.HasPrefix(string(line[start:]), text) {
				at.column = start + 1 + utf8.RuneCountInString(before)
			}
		}
		r.report(at, path, path+": "+what, hint)
		return
	}
	if !f.limits.holds(v.SI) || math.IsNaN(v.SI) || math.IsNaN(v.Spread) {
		r.report(at, path, fmt.Sprintf("%s is %s", path, text), f.limits.String())
		return
	}
	if !spreadMark.MatchString(text) {
		v.Spread, v.Source = statedSpread(path, f.kind, v.SI)
	}
	dst.Set(reflect.ValueOf(v))
}

// spreadMark finds a spread of the user's own, which wins even when it is 0.
var spreadMark = regexp.MustCompile(`±|\+/?-`)

func (r *reader) text(f *field, text string, at place, dst reflect.Value, path string) {
	switch {
	case text == "":
		r.report(at, path, path+" is empty", "write "+f.example()+", or delete the line")
	case utf8.RuneCountInString(text) > longestText && f.key != "note":
		r.report(at, path, path+" is too long", fmt.Sprintf("at most %d letters", longestText))
	case len(f.choices) > 0 && !slices.Contains(f.choices, text):
		r.report(at, path, fmt.Sprintf("%s cannot be %s", path, quote(text)), oneOf(text, f.choices))
	}
	dst.SetString(text)
}
