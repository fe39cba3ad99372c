package report

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"meltspan/result"
)

// lattice is a section's cells on the grid of all their edges. Its squares
// are numbered row by row, from the axis outwards and from below upwards.
type lattice struct {
	section *result.Section
	r, z    []float64 // edges, rising, m
	owner   []int     // of each square: the cell that covers it, -1 where none does
	spans   []cellSpan
}

// cellSpan is the squares of a cell: columns in to before out, rows low to
// before high.
type cellSpan struct{ in, out, low, high int }

// sameEdge is how near two edges are one, m: far below what can be printed.
const sameEdge = 1e-7

// mostSquares bounds the lattice of cells whose edges hardly ever meet.
const mostSquares = 1 << 22

func newLattice(s *result.Section) (*lattice, error) {
	r, z := []float64{0, s.CupRadius, s.Outer}, []float64{0, s.Floor, s.Height}
	for i, c := range s.Cells {
		if !finite(c.In) || !finite(c.Out) || !finite(c.Low) || !finite(c.High) || c.Out-c.In < 2*sameEdge || c.High-c.Low < 2*sameEdge || c.In < 0 {
			return nil, fmt.Errorf("cell %d reaches from %g m to %g m off the axis and from %g m to %g m of height; each must reach outwards and upwards", i+1, c.In, c.Out, c.Low, c.High)
		}
		r, z = append(r, c.In, c.Out), append(z, c.Low, c.High)
	}
	l := &lattice{section: s, r: distinct(r), z: distinct(z), spans: make([]cellSpan, len(s.Cells))}
	if (len(l.r)-1)*(len(l.z)-1) > mostSquares {
		return nil, errors.New("its cells do not stand in rows and columns")
	}
	l.owner = slices.Repeat([]int{-1}, (len(l.r)-1)*(len(l.z)-1))
	for i, c := range s.Cells {
		sp := cellSpan{edgeAt(l.r, c.In), edgeAt(l.r, c.Out), edgeAt(l.z, c.Low), edgeAt(l.z, c.High)}
		l.spans[i] = sp
		for row := sp.low; row < sp.high; row++ {
			for col := sp.in; col < sp.out; col++ {
				l.owner[l.square(row, col)] = i
			}
		}
	}
	return l, nil
}

// distinct sorts edges and keeps one of those that are the same.
func distinct(edges []float64) []float64 {
	sort.Float64s(edges)
	return slices.CompactFunc(edges, func(a, b float64) bool { return math.Abs(b-a) < sameEdge })
}

func edgeAt(edges []float64, at float64) int {
	return sort.Search(len(edges)-1, func(i int) bool { return edges[i] > at-sameEdge })
}

func (l *lattice) columns() int { return len(l.r) - 1 }
func (l *lattice) rows() int    { return len(l.z) - 1 }

func (l *lattice) square(row, col int) int { return row*l.columns() + col }

// cellAt is the cell that covers a square, -1 where none does or the square
// lies beyond the lattice.
func (l *lattice) cellAt(row, col int) int {
	if row < 0 || col < 0 || row >= l.rows() || col >= l.columns() {
		return -1
	}
	return l.owner[l.square(row, col)]
}

// hollow reports whether a square lies in the body, but in none of its cells:
// in a cavity.
func (l *lattice) hollow(row, col int) bool {
	if row < 0 || col < 0 || row >= l.rows() || col >= l.columns() || l.owner[l.square(row, col)] >= 0 {
		return false
	}
	s := l.section
	r, z := (l.r[col]+l.r[col+1])/2, (l.z[row]+l.z[row+1])/2
	return r < s.Outer && z < s.Height && z > 0 && (r > s.CupRadius || z < s.Floor)
}

// The sides of a cell.
const (
	inwards = iota
	outwards
	below
	above
)

func opposite(side int) int { return side ^ 1 }

// neighbours calls use for each cell that touches a side, with the length of
// the contact, m.
func (l *lattice) neighbours(cell, side int, use func(other int, length float64)) {
	sp := l.spans[cell]
	switch side {
	case inwards, outwards:
		col := sp.in - 1
		if side == outwards {
			col = sp.out
		}
		for row := sp.low; row < sp.high; row++ {
			if other := l.cellAt(row, col); other >= 0 {
				use(other, l.z[row+1]-l.z[row])
			}
		}
	case below, above:
		row := sp.low - 1
		if side == above {
			row = sp.high
		}
		for col := sp.in; col < sp.out; col++ {
			if other := l.cellAt(row, col); other >= 0 {
				use(other, l.r[col+1]-l.r[col])
			}
		}
	}
}

// patch is a rectangle of squares.
type patch struct{ in, out, low, high int }

// patches covers the squares that share a value of at, -1 for none, by
// rectangles: runs along the rows, and equal runs above one another as one.
func (l *lattice) patches(at func(row, col int) int, use func(value int, p patch)) {
	type run struct{ value, in, out, low int }
	var open []run
	for row := 0; row <= l.rows(); row++ {
		var line []run
		for col := 0; row < l.rows() && col < l.columns(); {
			v, from := at(row, col), col
			for col++; col < l.columns() && at(row, col) == v; col++ {
			}
			if v < 0 {
				continue
			}
			r := run{v, from, col, row}
			if i := slices.IndexFunc(open, func(o run) bool { return o.value == v && o.in == from && o.out == col }); i >= 0 {
				r.low = open[i].low
				open = slices.Delete(open, i, i+1)
			}
			line = append(line, r)
		}
		for _, o := range open {
			use(o.value, patch{o.in, o.out, o.low, row})
		}
		open = line
	}
}

// middle is the centre of a cell, m.
func middle(c result.SectionCell) place { return place{(c.In + c.Out) / 2, (c.Low + c.High) / 2} }

// place is a point of the section, m from the axis and from the underside.
type place struct{ r, z float64 }

func (p place) distance(q place) float64 { return math.Hypot(p.r-q.r, p.z-q.z) }
