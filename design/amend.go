package design

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"meltspan/quantity"
)

// Amendment is a new value for a quantity, in the notation of a design file.
type Amendment struct{ Path, Value string }

// Amend puts values into the text of a design and leaves all else as it was
// written, comments and order included. A value that is stated is replaced where
// it stands; one that is not gets a line of its own at the head of its section,
// which must be there. The error is Problems where the text or a value is
// mistaken, and a Problem where the text cannot be changed in place.
func Amend(file string, text []byte, amendments []Amendment, open func(path string) ([]byte, error)) ([]byte, error) {
	want, err := Parse(file, text, open)
	if err != nil {
		return nil, err
	}
	for _, a := range amendments {
		if err := want.State(a.Path, a.Value, ""); err != nil {
			return nil, err
		}
	}
	out := text
	for _, a := range slices.Backward(amendments) { // new lines come at the head of a section, the first of them last
		if out, err = amendOne(file, out, a, open); err != nil {
			return nil, err
		}
	}
	got, err := Parse(file, out, open)
	if err != nil || !bytes.Equal(got.YAML(), stated(want, amendments).YAML()) {
		return nil, Problem{File: file, What: "the values cannot be put in without changing something else", Right: "put them in by hand: " + inWords(amendments)}
	}
	return out, nil
}

// stated is the design as it reads once its text holds the amendments.
func stated(d *Design, amendments []Amendment) *Design {
	for _, a := range amendments {
		get, err := Accessor(a.Path)
		if err != nil {
			continue // State has found it
		}
		get(d).Origin = quantity.Stated
	}
	return d
}

func inWords(amendments []Amendment) string {
	var list []string
	for _, a := range amendments {
		list = append(list, a.Path+" = "+a.Value)
	}
	return strings.Join(list, ", ")
}

// amendOne changes one value.
func amendOne(file string, text []byte, a Amendment, open func(path string) ([]byte, error)) ([]byte, error) {
	r := &reader{file: file, places: map[string]place{}}
	plain := bytes.ReplaceAll(bytes.TrimPrefix(text, []byte("\ufeff")), []byte("\r\n"), []byte("\n"))
	r.lines = strings.Split(string(plain), "\n")
	r.read(plain, open)
	lines := strings.Split(string(text), "\n")
	if at, ok := r.places[a.Path]; ok {
		lines[at.line-1] = replaced(lines[at.line-1], at.column, a.Value)
		return []byte(strings.Join(lines, "\n")), nil
	}
	section, key := a.Path[:max(strings.LastIndexByte(a.Path, '.'), 0)], a.Path[strings.LastIndexByte(a.Path, '.')+1:]
	at, ok := r.places[section]
	if !ok {
		return nil, Problem{File: file, Key: a.Path, What: "the file has no section " + section, Right: "add it, with " + key + ": " + a.Value}
	}
	// The section's first key says how far it is indented, or that it stands
	// between braces.
	first := place{}
	for path, p := range r.places {
		if rest, below := strings.CutPrefix(path, section+"."); below && !strings.Contains(rest, ".") && (first == place{} || p.line < first.line) {
			first = p
		}
	}
	line := lines[at.line-1]
	if brace := strings.IndexByte(line, '{'); brace >= columnByte(line, at.column) {
		comma := ", "
		if strings.HasPrefix(strings.TrimSpace(line[brace+1:]), "}") {
			comma = ""
		}
		lines[at.line-1] = line[:brace+1] + key + ": " + a.Value + comma + strings.TrimLeft(line[brace+1:], " ")
		return []byte(strings.Join(lines, "\n")), nil
	}
	if first.line <= at.line || first.line > len(lines) {
		return nil, Problem{File: file, Line: at.line, Column: at.column, Key: a.Path, What: "the section " + section + " is written in a way that leaves no place for a line", Right: "add " + key + ": " + a.Value + " by hand"}
	}
	below := lines[first.line-1]
	indent := below[:len(below)-len(strings.TrimLeft(below, " "))]
	ending := ""
	if strings.HasSuffix(line, "\r") {
		ending = "\r"
	}
	lines[at.line-1] = line + "\n" + indent + key + ": " + a.Value + ending
	return []byte(strings.Join(lines, "\n")), nil
}

// columnByte is where a column, counted in characters from 1, begins in a line.
func columnByte(line string, column int) int {
	at := 0
	for range column - 1 {
		_, size := utf8.DecodeRuneInString(line[at:])
		at += size
	}
	return at
}

// replaced puts a value in the place of the one that begins at a column. A
// remark behind it stays where it is if there is room.
func replaced(line string, column int, value string) string {
	start := min(columnByte(line, column), len(line))
	old := line[start:]
	end := len(old)
	if old != "" && (old[0] == '"' || old[0] == '\'') {
		if i := strings.IndexByte(old[1:], old[0]); i >= 0 {
			end = i + 2
		}
	} else {
		if i := strings.IndexAny(old, ",}]\r"); i >= 0 {
			end = i
		}
		if i := strings.Index(old[:end], " #"); i >= 0 {
			end = i
		}
	}
	end = len(strings.TrimRight(old[:end], " "))
	rest := old[end:]
	if remark := strings.TrimLeft(rest, " "); strings.HasPrefix(remark, "#") {
		blanks := len(old[:end]) + len(rest) - len(remark) - len(value)
		return line[:start] + value + strings.Repeat(" ", max(blanks, 2)) + remark
	}
	return fmt.Sprint(line[:start], value, rest)
}
