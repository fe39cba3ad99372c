package design

import (
	"fmt"
	"reflect"
	"slices"

	"meltspan/matter"
	"meltspan/quantity"
)

// materials checks the names in the file against the handbook and the user's
// own list, and puts the handbook's spelling in their place.
func (r *reader) materials(d *Design) {
	own := make([]string, len(d.Materials))
	for i := range d.Materials {
		own[i] = d.Materials[i].Name
		r.ownMaterial(&d.Materials[i])
	}
	walk(reflect.ValueOf(d).Elem(), layout(), "", func(path string, f *field, v reflect.Value) bool {
		if f.names == "" || v.String() == "" {
			return f.shape != shapeList
		}
		name, known, allowed := resolveName(f.names, v.String(), own)
		if !known {
			noun := "material"
			if f.names == "substance" {
				noun = "substance"
			}
			r.report(r.nearestPlace(path), path, fmt.Sprintf("%s: %s is no %s known here", path, quote(v.String()), noun), oneOf(v.String(), allowed))
			return true
		}
		v.SetString(name)
		return true
	})
}

func resolveName(names, written string, own []string) (name string, known bool, allowed []string) {
	if names == "substance" {
		if written == IceName {
			return written, true, nil
		}
		s, ok := matter.FindSubstance(written)
		return s.Name, ok, substanceNames()
	}
	if names == "filling" && written == FillingAir || slices.Contains(own, written) {
		return written, true, nil
	}
	s, ok := matter.FindSolid(written)
	return s.Name, ok, append(solidNames(names), own...)
}

// solidNames are the names that a file may give a solid or a filling.
func solidNames(names string) []string {
	if names == "filling" {
		return append([]string{FillingAir}, matter.SolidNames()...)
	}
	return matter.SolidNames()
}

func substanceNames() []string {
	return append([]string{IceName}, matter.SubstanceNames()...)
}

// ownMaterial checks that a material that no handbook holds has all values.
func (r *reader) ownMaterial(m *Material) {
	path := join("materials", m.Name)
	if !materialName.MatchString(m.Name) {
		return // reported already
	}
	if _, known := handbook()[m.Name]; known {
		return
	}
	for _, v := range []struct {
		key   string
		value quantity.Value
	}{{"conductivity", m.Conductivity}, {"density", m.Density}, {"specific_heat", m.SpecificHeat}} {
		if _, stated := r.places[join(path, v.key)]; !stated {
			f := layout().find("materials").section.find(v.key)
			r.report(r.nearestPlace(path), join(path, v.key), fmt.Sprintf("%s is not in the handbook, and its %s is missing", m.Name, v.key), "add "+f.example())
		}
	}
}
