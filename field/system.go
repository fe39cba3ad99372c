package field

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"meltspan/internal/sparse"
)

// system is a problem made ready to solve: one unknown for each cell that is
// not void.
type system struct {
	p       *Problem
	cells   []int32 // by unknown: its cell
	unknown []int32 // by cell: its unknown, or Void
	volume  []float64
	share   []float64 // of liquid, by unknown; it sets the conductivities

	// temperature at the present stage, to tell on which side of a melting
	// cell which phase is; nil while a steady state is sought.
	temperature []float64

	matrix   *sparse.Matrix // conductances off the diagonal; the diagonal with shift
	inner    []float64      // conductance to all neighbours, W/K
	outer    []float64      // conductance to the conditions at the present time, W/K
	supply   []float64      // from sources at the present time, W
	contacts map[contactKey]float64

	changing []path // links that melting changes
	surfaces []surface
	acts     []int32 // conditions on the surfaces, face by face
	now      []acting
}

// contactKey names the upper face of a cell.
type contactKey struct {
	cell int32
	side Side
}

// path is a link between two unknowns with its entries in the matrix.
type path struct {
	a, b, ab, ba int32
	axis         int
	// Resistance of the half cells, times conductivity, 1/m; of the contact,
	// K/W.
	halfA, halfB, contact float64
}

func newSystem(p *Problem, transient bool) (*system, error) {
	if err := p.Validate(transient); err != nil {
		return nil, err
	}
	s := &system{p: p, unknown: make([]int32, len(p.Cells)), contacts: map[contactKey]float64{}}
	for cell, m := range p.Cells {
		s.unknown[cell] = Void
		if m != Void {
			s.unknown[cell] = int32(len(s.cells))
			s.cells = append(s.cells, int32(cell))
		}
	}
	n := len(s.cells)
	s.volume, s.share = make([]float64, n), make([]float64, n)
	s.inner, s.outer, s.supply = make([]float64, n), make([]float64, n), make([]float64, n)
	for i, cell := range s.cells {
		s.volume[i] = p.Grid.Volume(int(cell))
	}
	for _, c := range p.Contacts {
		s.contacts[s.contactAt(c.Cell, c.Side)] += c.Resistance
	}
	s.now = make([]acting, len(p.Conditions))
	if err := s.addSurfaces(); err != nil {
		return nil, err
	}
	s.link()
	return s, nil
}

func (s *system) contactAt(cell int, side Side) contactKey {
	if !side.upper() {
		return contactKey{int32(s.p.Grid.neighbour(cell, side)), side.opposite()}
	}
	return contactKey{int32(cell), side}
}

func (s *system) material(i int) *Material { return &s.p.Materials[s.p.Cells[s.cells[i]]] }

// half is the resistance from an unknown's node to a face, K/W, towards
// something of the temperature given (NaN: unknown).
func (s *system) half(i int, side Side, towards float64) float64 {
	return s.length(i, side) / s.conductivity(i, side.Axis(), towards)
}

// length is the resistance of a half cell times its conductivity, 1/m.
func (s *system) length(i int, side Side) float64 {
	return s.p.Grid.half(s.p.Grid.Place(int(s.cells[i])), side)
}

// conductivity of an unknown towards something of the temperature given. A cell
// that melts conducts as solid towards the cold and as liquid towards the warm:
// while the front crosses it, the way through each phase is half a cell in the
// mean. With the mean conductivity instead, a front in ice would lag by 0.4 of
// a cell.
func (s *system) conductivity(i, axis int, towards float64) float64 {
	m, share := s.material(i), s.share[i]
	if m.Phase != nil && s.known(i) == m.Phase.Melting {
		switch {
		case towards < m.Phase.Melting:
			share = 0
		case towards > m.Phase.Melting:
			share = 1
		}
	}
	return m.conductivity(axis, share)
}

// known is the present temperature of an unknown; NaN while a steady state is
// sought.
func (s *system) known(i int) float64 {
	if s.temperature == nil {
		return math.NaN()
	}
	return s.temperature[i]
}

// resistance between two neighbours, K/W.
func (s *system) resistance(a, b int, side Side) float64 {
	return s.half(a, side, s.known(b)) + s.contact(a, side) + s.half(b, side.opposite(), s.known(a))
}

// contact on a side of an unknown, K/W.
func (s *system) contact(i int, side Side) float64 {
	if len(s.contacts) == 0 {
		return 0
	}
	cell := int(s.cells[i])
	c := s.contacts[s.contactAt(cell, side)]
	if c == 0 {
		return 0
	}
	return c / s.p.Grid.Area(cell, side)
}

// beside is the unknown across a side, or Void.
func (s *system) beside(i int, side Side) int {
	next := s.p.Grid.neighbour(int(s.cells[i]), side)
	if next < 0 {
		return Void
	}
	return int(s.unknown[next])
}

// link makes the matrix. A cell's neighbours have rising numbers in the order
// of the sides below.
func (s *system) link() {
	axes := s.p.Grid.Geometry.axes()
	var sides []Side
	for axis := axes - 1; axis >= 0; axis-- {
		sides = append(sides, Lower(axis))
	}
	for axis := range axes {
		sides = append(sides, Upper(axis))
	}
	n := len(s.cells)
	m := &sparse.Matrix{Start: make([]int32, n+1), Diagonal: make([]float64, n)}
	for i := range n {
		m.Start[i+1] = m.Start[i]
		for _, side := range sides {
			if s.beside(i, side) != Void {
				m.Start[i+1]++
			}
		}
	}
	m.Column, m.Value = make([]int32, m.Start[n]), make([]float64, m.Start[n])
	sparse.Rows(n, func(from, to int) {
		for i := from; i < to; i++ {
			k := m.Start[i]
			for _, side := range sides {
				j := s.beside(i, side)
				if j == Void {
					continue
				}
				// From the lower cell, so that both entries are the same.
				a, b, up := i, j, side
				if !side.upper() {
					a, b, up = j, i, side.opposite()
				}
				m.Column[k], m.Value[k] = int32(j), -1/s.resistance(a, b, up)
				k++
			}
		}
	})
	s.matrix = m
	s.addInner()
	for i := range n {
		for _, side := range sides[axes:] {
			j := s.beside(i, side)
			if j != Void && (s.material(i).Phase != nil || s.material(j).Phase != nil) {
				a, b := int32(i), int32(j)
				s.changing = append(s.changing, path{a, b, m.Position(a, b), m.Position(b, a), side.Axis(),
					s.length(i, side), s.length(j, side.opposite()), s.contact(i, side)})
			}
		}
	}
}

func (s *system) addInner() {
	sparse.Rows(len(s.inner), func(from, to int) {
		for i := from; i < to; i++ {
			_, values := s.matrix.Row(i)
			sum := 0.0
			for _, v := range values {
				sum -= v
			}
			s.inner[i] = sum
		}
	})
}

// conduct works out the conductances that the shares of liquid change.
func (s *system) conduct() {
	if len(s.changing) == 0 {
		return
	}
	sparse.Rows(len(s.changing), func(from, to int) {
		for k := from; k < to; k++ {
			l := &s.changing[k]
			a, b := int(l.a), int(l.b)
			r := l.halfA/s.conductivity(a, l.axis, s.known(b)) + l.contact + l.halfB/s.conductivity(b, l.axis, s.known(a))
			s.matrix.Value[l.ab], s.matrix.Value[l.ba] = -1/r, -1/r
		}
	})
	s.addInner()
}

// addSurfaces gathers the conditions of each face.
func (s *system) addSurfaces() error {
	faces := slices.Clone(s.p.Faces)
	slices.SortStableFunc(faces, func(a, b Face) int {
		return cmp.Or(cmp.Compare(a.Cell, b.Cell), cmp.Compare(a.Side, b.Side))
	})
	for k, f := range faces {
		if k == 0 || f.Cell != faces[k-1].Cell || f.Side != faces[k-1].Side {
			s.surfaces = append(s.surfaces, surface{
				unknown: s.unknown[f.Cell], side: f.Side, first: int32(k), area: s.p.Grid.Area(f.Cell, f.Side),
			})
		}
		last := &s.surfaces[len(s.surfaces)-1]
		last.count++
		s.acts = append(s.acts, int32(f.Condition))
		if last.count > 1 {
			for _, c := range s.acts[last.first:] {
				if s.p.Conditions[c].Kind == FixedKind {
					return fmt.Errorf("field: side %d of cell %d has the fixed temperature %q and another condition; a fixed temperature stands alone on a face",
						f.Side, f.Cell, s.p.Conditions[c].Name)
				}
			}
		}
	}
	return nil
}

// setTime evaluates conditions and sources.
func (s *system) setTime(time float64) error {
	for i := range s.now {
		c := &s.p.Conditions[i]
		s.now[i] = c.at(time)
		if !s.now[i].valid() {
			return fmt.Errorf("field: condition %q at %g s is %+v; values must be finite and a coefficient 0 or above", c.Name, time, s.now[i])
		}
	}
	clear(s.supply)
	for k := range s.p.Sources {
		src := &s.p.Sources[k]
		if bad := s.eachSource(src, time, func(i int, power float64) { s.supply[i] += power }); bad >= 0 {
			return fmt.Errorf("field: source %q is not finite in cell %d at %g s", src.Name, bad, time)
		}
	}
	s.face()
	return nil
}

// eachSource calls with the power, W, that a source releases in each unknown.
// It returns the first cell where that is not finite, or -1.
func (s *system) eachSource(src *Source, time float64, with func(i int, power float64)) int {
	add := func(i int) bool {
		power := src.Density(s.p.Grid.Node(int(s.cells[i])), time) * s.volume[i]
		with(i, power)
		return power-power == 0
	}
	if src.Cells == nil {
		for i := range s.cells {
			if !add(i) {
				return int(s.cells[i])
			}
		}
	}
	for _, cell := range src.Cells {
		if !add(int(s.unknown[cell])) {
			return cell
		}
	}
	return -1
}

// flows sets out to the heat into every cell, W, at the temperatures given.
func (s *system) flows(temperature, out []float64) {
	sparse.Rows(len(out), func(from, to int) {
		for i := from; i < to; i++ {
			columns, values := s.matrix.Row(i)
			t, sum := temperature[i], s.supply[i]
			for k, j := range columns {
				sum -= values[k] * (temperature[j] - t)
			}
			out[i] = sum
		}
	})
	for k := range s.surfaces {
		f := &s.surfaces[k]
		out[f.unknown] += f.flow(temperature[f.unknown])
	}
}
