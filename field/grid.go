package field

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// Geometry says what the axes of a grid are.
type Geometry uint8

const (
	// Planar is x and y, 1 m deep.
	Planar Geometry = iota
	// Axisymmetric is r and z, the full circle.
	Axisymmetric
	// Box is x, y and z.
	Box
)

func (g Geometry) axes() int {
	if g == Box {
		return 3
	}
	return 2
}

// Side is one of the faces of a cell.
type Side uint8

// Lower is the face towards smaller coordinates of an axis (0, 1, 2).
func Lower(axis int) Side { return Side(2 * axis) }

// Upper is the face towards larger coordinates of an axis (0, 1, 2).
func Upper(axis int) Side { return Side(2*axis + 1) }

// Axis is the axis (0, 1, 2) that the face is normal to.
func (s Side) Axis() int { return int(s / 2) }

func (s Side) upper() bool { return s%2 == 1 }

// opposite is the same face seen from the neighbour.
func (s Side) opposite() Side { return s ^ 1 }

// Grid is a rectangular grid. Edges are the coordinates of the cells' faces
// along each axis, m, rising; the third is used by Box only. A grid of n by m
// by l cells numbers them i + n (j + m k).
type Grid struct {
	Geometry Geometry
	Edges    [3][]float64
}

// maximumCells keeps indices within 32 bits.
const maximumCells = 1 << 28

// Validate reports what is wrong with the grid.
func (g *Grid) Validate() error {
	if g.Geometry > Box {
		return fmt.Errorf("field: geometry %d is unknown; use Planar, Axisymmetric or Box", g.Geometry)
	}
	count := 1
	for axis, e := range g.Edges {
		if axis >= g.Geometry.axes() {
			if len(e) != 0 {
				return errors.New("field: a planar or axisymmetric grid has edges along two axes only; leave the third empty")
			}
			continue
		}
		if len(e) < 2 {
			return fmt.Errorf("field: axis %d has %d edges; a cell needs two", axis, len(e))
		}
		for i, v := range e {
			if math.IsNaN(v) || math.IsInf(v, 0) || (i > 0 && v <= e[i-1]) {
				return fmt.Errorf("field: edge %d of axis %d is %g; edges must be finite and rise", i, axis, v)
			}
		}
		if count > maximumCells/(len(e)-1) {
			return fmt.Errorf("field: the grid has more than %d cells", maximumCells)
		}
		count *= len(e) - 1
	}
	if g.Geometry == Axisymmetric && g.Edges[0][0] < 0 {
		return fmt.Errorf("field: the first radius is %g m; radii start at 0 or above", g.Edges[0][0])
	}
	return nil
}

// Size is the number of cells along each axis.
func (g *Grid) Size() [3]int {
	n := [3]int{1, 1, 1}
	for axis := range g.Geometry.axes() {
		n[axis] = len(g.Edges[axis]) - 1
	}
	return n
}

// Count is the number of cells.
func (g *Grid) Count() int {
	n := g.Size()
	return n[0] * n[1] * n[2]
}

// Index is the number of the cell at place i, j, k.
func (g *Grid) Index(i, j, k int) int {
	n := g.Size()
	return i + n[0]*(j+n[1]*k)
}

// Place is the inverse of Index.
func (g *Grid) Place(cell int) [3]int {
	n := g.Size()
	return [3]int{cell % n[0], cell / n[0] % n[1], cell / n[0] / n[1]}
}

// neighbour is the cell across a side, or -1 at the edge of the grid.
func (g *Grid) neighbour(cell int, side Side) int {
	n, p := g.Size(), g.Place(cell)
	axis, stride := side.Axis(), 1
	for a := range axis {
		stride *= n[a]
	}
	switch {
	case side.upper() && p[axis]+1 < n[axis]:
		return cell + stride
	case !side.upper() && p[axis] > 0:
		return cell - stride
	}
	return -1
}

// bounds of a cell along an axis; 0 and 1 m for the depth of a planar grid.
func (g *Grid) bounds(place [3]int, axis int) (low, high float64) {
	if axis >= g.Geometry.axes() {
		return 0, 1
	}
	return g.Edges[axis][place[axis]], g.Edges[axis][place[axis]+1]
}

// Volume of a cell, m3 (per metre of depth for a planar grid).
func (g *Grid) Volume(cell int) float64 {
	p := g.Place(cell)
	a, b := g.bounds(p, 0)
	c, d := g.bounds(p, 1)
	if g.Geometry == Axisymmetric {
		return math.Pi * (b - a) * (b + a) * (d - c)
	}
	e, f := g.bounds(p, 2)
	return (b - a) * (d - c) * (f - e)
}

// Node is the place that a cell's temperature stands for: its middle, or in a
// ring the radius that the package comment gives.
func (g *Grid) Node(cell int) [3]float64 {
	p := g.Place(cell)
	var at [3]float64
	for axis := range g.Geometry.axes() {
		at[axis] = g.node(p, axis)
	}
	return at
}

func (g *Grid) node(place [3]int, axis int) float64 {
	a, b := g.bounds(place, axis)
	if g.Geometry == Axisymmetric && axis == 0 {
		return math.Sqrt((a*a + a*b + b*b) / 3)
	}
	return (a + b) / 2
}

// FaceCentre is the middle of a face.
func (g *Grid) FaceCentre(cell int, side Side) [3]float64 {
	at := g.Node(cell)
	at[side.Axis()] = g.facePosition(g.Place(cell), side)
	return at
}

func (g *Grid) facePosition(place [3]int, side Side) float64 {
	low, high := g.bounds(place, side.Axis())
	if side.upper() {
		return high
	}
	return low
}

// Area of a face, m2; 0 for the inner face of a ring that touches the axis.
func (g *Grid) Area(cell int, side Side) float64 { return g.area(g.Place(cell), side) }

func (g *Grid) area(p [3]int, side Side) float64 {
	if g.Geometry == Axisymmetric {
		a, b := g.bounds(p, 0)
		if side.Axis() == 1 {
			return math.Pi * (b - a) * (b + a)
		}
		low, high := g.bounds(p, 1)
		return 2 * math.Pi * g.facePosition(p, side) * (high - low)
	}
	area := 1.0
	for axis := range 3 {
		if axis != side.Axis() {
			low, high := g.bounds(p, axis)
			area *= high - low
		}
	}
	return area
}

// half is the integral of length over area from a cell's node to a face, 1/m;
// over the conductivity it is the resistance of the half cell.
func (g *Grid) half(p [3]int, side Side) float64 {
	node, face := g.node(p, side.Axis()), g.facePosition(p, side)
	if g.Geometry == Axisymmetric && side.Axis() == 0 {
		low, high := g.bounds(p, 1)
		return math.Abs(math.Log(face/node)) / (2 * math.Pi * (high - low))
	}
	return math.Abs(face-node) / g.area(p, side)
}

// Find is the cell that holds a point, -1 outside the grid. On an edge it is
// the upper cell, except at the end of the grid.
func (g *Grid) Find(point [3]float64) int {
	var place [3]int
	for axis := range g.Geometry.axes() {
		e := g.Edges[axis]
		v := point[axis]
		if !(v >= e[0] && v <= e[len(e)-1]) {
			return -1
		}
		i := sort.SearchFloat64s(e, v)
		if i == len(e)-1 || (e[i] != v) {
			i--
		}
		place[axis] = max(i, 0)
	}
	return g.Index(place[0], place[1], place[2])
}
