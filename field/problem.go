package field

import (
	"fmt"
	"math"
	"slices"
)

// Void in Problem.Cells marks a cell that holds nothing and conducts nothing.
const Void = -1

// Problem is a body and what acts on it.
type Problem struct {
	Grid       Grid
	Materials  []Material
	Cells      []int // by cell: its material, or Void
	Conditions []Condition
	Faces      []Face
	Contacts   []Contact
	Sources    []Source
}

// Fill gives a material (or Void) to every cell whose node the function
// accepts; nil accepts all. It makes Cells when there are none yet, all of
// them void.
func (p *Problem) Fill(material int, in func(node [3]float64) bool) {
	if p.Cells == nil {
		p.Cells = slices.Repeat([]int{Void}, p.Grid.Count())
	}
	for cell := range p.Cells {
		if in == nil || in(p.Grid.Node(cell)) {
			p.Cells[cell] = material
		}
	}
}

// exposed reports whether a cell's face looks out of the body.
func (p *Problem) exposed(cell int, side Side) bool {
	next := p.Grid.neighbour(cell, side)
	return p.Cells[cell] != Void && (next < 0 || p.Cells[next] == Void) && p.Grid.Area(cell, side) > 0
}

// Cover lays a condition on every exposed face of a side whose centre the
// function accepts; nil accepts all. It returns the covered area, m2.
func (p *Problem) Cover(condition int, side Side, in func(centre [3]float64) bool) float64 {
	area := 0.0
	for cell := range p.Cells {
		if p.exposed(cell, side) && (in == nil || in(p.Grid.FaceCentre(cell, side))) {
			p.Faces = append(p.Faces, Face{cell, side, condition})
			area += p.Grid.Area(cell, side)
		}
	}
	return area
}

// Validate reports what is wrong with the problem. Transient problems need
// heat capacities.
func (p *Problem) Validate(transient bool) error {
	if err := p.Grid.Validate(); err != nil {
		return err
	}
	for i := range p.Materials {
		if err := p.Materials[i].validate(p.Grid.Geometry.axes(), transient); err != nil {
			return err
		}
	}
	if len(p.Cells) != p.Grid.Count() {
		return fmt.Errorf("field: Cells has %d entries for a grid of %d cells", len(p.Cells), p.Grid.Count())
	}
	some := false
	for cell, m := range p.Cells {
		if m < Void || m >= len(p.Materials) {
			return fmt.Errorf("field: cell %d has material %d; there are %d, from 0, and Void", cell, m, len(p.Materials))
		}
		some = some || m != Void
	}
	if !some {
		return fmt.Errorf("field: every cell is void; give some a material")
	}
	for i := range p.Conditions {
		if err := p.Conditions[i].validate(); err != nil {
			return err
		}
	}
	for i, s := range p.Sources {
		if s.Density == nil {
			return fmt.Errorf("field: source %q has no density", s.Name)
		}
		for _, c := range s.Cells {
			if c < 0 || c >= len(p.Cells) || p.Cells[c] == Void {
				return fmt.Errorf("field: source %d (%q) is in cell %d, which is void or outside the grid", i, s.Name, c)
			}
		}
	}
	return p.validatePlaces()
}

func (c *Condition) validate() error {
	missing := ""
	switch {
	case c.Kind > FluxKind:
		return fmt.Errorf("field: condition %q is of the unknown kind %d", c.Name, c.Kind)
	case c.Kind != FluxKind && c.Temperature == nil:
		missing = "temperature"
	case c.Kind == FilmKind && c.Coefficient == nil:
		missing = "coefficient"
	case c.Kind == FluxKind && c.Flux == nil:
		missing = "flux"
	}
	if missing != "" {
		return fmt.Errorf("field: condition %q has no %s", c.Name, missing)
	}
	return nil
}

func (p *Problem) validatePlaces() error {
	known := func(cell int, side Side) bool {
		return cell >= 0 && cell < len(p.Cells) && side.Axis() < p.Grid.Geometry.axes() && p.Cells[cell] != Void
	}
	for i, f := range p.Faces {
		switch {
		case !known(f.Cell, f.Side):
			return fmt.Errorf("field: face %d is side %d of cell %d, which is void or outside the grid", i, f.Side, f.Cell)
		case f.Condition < 0 || f.Condition >= len(p.Conditions):
			return fmt.Errorf("field: face %d has condition %d; there are %d, from 0", i, f.Condition, len(p.Conditions))
		case !p.exposed(f.Cell, f.Side):
			return fmt.Errorf("field: condition %q is on side %d of cell %d, which is inside the body or on the axis", p.Conditions[f.Condition].Name, f.Side, f.Cell)
		}
	}
	for i, c := range p.Contacts {
		next := -1
		if known(c.Cell, c.Side) {
			next = p.Grid.neighbour(c.Cell, c.Side)
		}
		if next < 0 || p.Cells[next] == Void {
			return fmt.Errorf("field: contact %d is on side %d of cell %d; it must lie between two cells of the body", i, c.Side, c.Cell)
		}
		if math.IsNaN(c.Resistance) || c.Resistance < 0 {
			return fmt.Errorf("field: contact %d has a resistance of %g m2 K/W; it must be 0 or above", i, c.Resistance)
		}
	}
	return nil
}
