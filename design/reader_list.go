package design

import (
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"meltspan/matter"
)

// list reads the list of materials.
func (r *reader) list(f *field, node ast.Node, dst reflect.Value, path string, keyAt place) {
	seq, ok := node.(*ast.SequenceNode)
	if !ok {
		what := path + " must be a list"
		if _, null := node.(*ast.NullNode); null || node == nil {
			what = path + " is empty"
		}
		r.report(keyAt, path, what, `each entry begins with a dash and its name: "- name: pla", its other keys in line below "name"; or delete the line`)
		return
	}
	for i, item := range seq.Values {
		where := valuePlace(item, keyAt)
		if item != nil && item.GetToken() != nil {
			where = at(item.GetToken())
		}
		m, ok := item.(ast.MapNode)
		if !ok {
			r.report(where, path, fmt.Sprintf("entry %d of %s is no section", i+1, path), `"- name: pla", its other keys in line below "name"`)
			continue
		}
		name := entryName(m)
		if name == "" {
			name = strconv.Itoa(i + 1)
		}
		if it := m.MapRange(); it.Next() && it.Key() != nil && it.Key().GetToken() != nil {
			where = at(it.Key().GetToken())
		}
		here := join(path, name)
		if first, twice := r.places[here]; twice {
			r.report(where, here, fmt.Sprintf("the material %s is listed twice, first on line %d", quote(name), first.line), "merge the two entries")
			continue
		}
		r.places[here] = where
		entry := reflect.New(f.section.typ).Elem()
		r.section(m, f.section, entry, here, where)
		if written := entry.Field(0); written.String() != "" {
			if solid, known := matter.FindSolid(written.String()); known {
				written.SetString(solid.Name)
			} else if !materialName.MatchString(written.String()) {
				r.report(where, path, quote(written.String())+" cannot be the name of a material", "small letters, digits, _ and -, a letter first")
			}
		}
		dst.Set(reflect.Append(dst, entry))
	}
}

// entryName is the name by which the paths of a list's entry go.
func entryName(m ast.MapNode) string {
	for it := m.MapRange(); it.Next(); {
		if it.Key() != nil && it.Key().GetToken() != nil && it.Key().GetToken().Value == "name" {
			if n, ok := it.Value().(ast.ScalarNode); ok && n.GetToken() != nil {
				name := strings.TrimSpace(n.GetToken().Value)
				if solid, known := matter.FindSolid(name); known {
					return solid.Name
				}
				if materialName.MatchString(name) {
					return name
				}
			}
		}
	}
	return ""
}

// materialName keeps names usable in paths and files.
var materialName = regexp.MustCompile(`^[a-z][a-z0-9_-]{0,59}$`)
