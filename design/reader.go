package design

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"meltspan/internal/plainyaml"
	"meltspan/quantity"
)

// place is a position in the file, from 1; the zero place is none.
type place struct{ line, column int }

// at is the place of a token.
func at(tk *token.Token) place {
	line, column := plainyaml.Position(tk)
	return place{line, column}
}

// reader holds what one reading has found so far.
type reader struct {
	file     string
	lines    []string
	problems Problems
	places   map[string]place // of the values (or the keys of sections), by path
}

func (r *reader) report(at place, key, what, right string) {
	r.problems = append(r.problems, Problem{File: r.file, Line: at.line, Column: at.column, Key: key, What: what, Right: right})
}

// take reports the faults that stand in the text as such.
func (r *reader) take(faults []plainyaml.Fault) {
	for _, f := range faults {
		r.report(place{f.Line, f.Column}, "", f.What, f.Right)
	}
}

// excerpted is how many problems get an excerpt, more than are printed: a
// file of one huge line with a thousand mistakes must not cost seconds.
const excerpted = 5 * shownProblems

// finish sorts the problems and adds the excerpts.
func (r *reader) finish() {
	r.problems.sort()
	for i := range min(len(r.problems), excerpted) {
		if p := &r.problems[i]; p.File == r.file && p.Excerpt == "" {
			p.Excerpt = Excerpt(r.lines, p.Line, p.Column)
		}
	}
}

// nearestPlace finds the place of a path or, where the file leaves it out, of
// the section it would belong to.
func (r *reader) nearestPlace(path string) place {
	for path != "" {
		if at, ok := r.places[path]; ok {
			return at
		}
		path = path[:max(strings.LastIndexByte(path, '.'), 0)]
	}
	return place{1, 1}
}

func (r *reader) design(root ast.MapNode, d *Design) {
	markAbsent(reflect.ValueOf(d).Elem(), layout())
	r.section(root, layout(), reflect.ValueOf(d).Elem(), "", place{1, 1})
	if _, stated := r.places["meltspan"]; stated && d.Format != 0 && d.Format != formatVersion {
		r.report(r.places["meltspan"], "meltspan", fmt.Sprintf("the file is written in version %d of the format", d.Format),
			fmt.Sprintf("this program reads version %d", formatVersion))
	}
	r.loads(d)
	if d.Room.Daily != nil && d.Room.Log != "" {
		r.report(r.nearestPlace("room.daily"), "room.daily", "room.daily and room.log both say how the room changes", "keep one of them")
	}
}

// formatVersion is the version of the file format that this package reads.
const formatVersion = 1

// loads checks that there is exactly one load, with the plates it needs.
func (r *reader) loads(d *Design) {
	if _, stated := r.places["load"]; !stated {
		return // reported as missing
	}
	const kinds = "engine, generator, leak or sample"
	var found []string
	for _, key := range loadKeys {
		if _, ok := r.places["load."+key]; ok {
			found = append(found, key)
		}
	}
	switch {
	case len(found) == 0:
		r.report(r.places["load"], "load", "load names nothing to keep running", "add one section under load: "+kinds+`; "engine: {}" takes every default`)
	case len(found) > 1:
		for _, key := range found[1:] {
			r.report(r.places["load."+key], "load."+key, "there is more than one load: "+strings.Join(found, ", "), "keep one of "+kinds)
		}
	}
	if _, ok := r.places["load.top_plate"]; !ok && (slices.Contains(found, "engine") || slices.Contains(found, "generator")) {
		r.report(r.places["load"], "load.top_plate", "load.top_plate is missing", "an engine or a generator stands between two plates: add top_plate with its diameter")
	}
}

var loadKeys = []string{"engine", "generator", "leak", "sample"}

// section reads one map into a struct.
func (r *reader) section(node ast.MapNode, s *section, dst reflect.Value, path string, own place) {
	lines := map[string]place{}
	for it := node.MapRange(); it.Next(); {
		entry := it.KeyValue()
		if entry == nil || entry.Key == nil || entry.Key.GetToken() == nil {
			r.report(own, path, "a key cannot be read here", written.Shape)
			continue
		}
		key, where := entry.Key.GetToken().Value, at(entry.Key.GetToken())
		f := s.find(key)
		if f == nil {
			r.report(where, join(path, key), "there is no key "+quote(key)+in(path), oneOf(key, s.keys()))
			continue
		}
		if first, twice := lines[key]; twice {
			r.report(where, join(path, key), fmt.Sprintf("%s is written twice, first on line %d", join(path, key), first.line), "keep one of the two")
			continue
		}
		lines[key] = where
		here := join(path, key)
		r.places[here] = where
		r.value(f, entry.Value, dst.Field(f.index), here, where)
	}
	for i := range s.fields {
		f := &s.fields[i]
		_, stated := lines[f.key]
		_, spared := lines[f.unless]
		if f.need && !stated && !spared {
			r.report(own, join(path, f.key), join(path, f.key)+" is missing", fmt.Sprintf("add %s%s (%s)", f.example(), in(path), f.about))
		}
	}
}

func in(path string) string {
	if path == "" {
		return " at the top of the file"
	}
	return " under " + path
}

// example shows how the key is written.
func (f *field) example() string {
	switch {
	case f.shape == shapeQuantity:
		return `"` + f.key + ": " + quantity.Example(f.kind) + `"`
	case f.key == "meltspan":
		return fmt.Sprintf(`"%s: %d"`, f.key, formatVersion)
	case f.section != nil:
		return `the section "` + f.key + `:"`
	}
	return `"` + f.key + `: ..."`
}
