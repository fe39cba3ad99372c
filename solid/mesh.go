package solid

import (
	"fmt"
	"math"
)

// Mesh is the surface of a part in flat triangles, their corners in the order
// against the clock seen from outside.
type Mesh struct {
	Vertices  [][3]float64 // m
	Triangles [][3]int32
}

// leastFacets is how many faces stand for a full circle about the axis at
// least: the inscribed polygon then lacks 0.3 % of the circle's area.
const leastFacets = 48

// largest is the radius up to which products of grid steps stay exact, m.
const largest = 0.7

// NewMesh makes the surface of a part with no face further than the chord error
// (m) from the round it stands for.
//
// The part is cut into slabs at every height at which anything begins or ends. In
// a slab all faces are upright or cones, over closed lines that belong to each
// other point by point. Between two slabs the level faces are what one has
// and the other has not; they are triangulated over the corners of both, so that
// neighbouring faces share all corners and the surface is closed. All circles
// about the axis have the same number of facets at the same angles, so that a
// wall is as thick between facets as between corners, but for cos(pi/n).
func NewMesh(p *Part, chord float64) (*Mesh, error) {
	radius, _ := p.Bounds()
	if radius > largest {
		return nil, fmt.Errorf("solid: %s is %.3g m wide, and bodies up to %.3g m are drawn", p.Label, 2*radius, 2*largest)
	}
	r := &round{n: facets(radius, chord, leastFacets, 8)}
	for tries := 1; ; tries++ {
		r.close = false
		m, err := newMesh(p, r, chord)
		if !r.close || tries == mostTries {
			return m, err
		}
		r.n += 8
	}
}

// mostTries bounds the search for facets whose corners keep clear of ribs.
const mostTries = 50

func newMesh(p *Part, r *round, chord float64) (*Mesh, error) {
	b := &meshBuilder{index: map[[3]int64]int32{}}
	levels := p.levels()
	var before []upright
	for i, z := range levels {
		var next []upright
		if i+1 < len(levels) {
			var err error
			if next, err = p.uprights(z, levels[i+1], r, chord); err != nil {
				return nil, err
			}
		}
		below, above := tops(before), bottoms(next)
		insertCorners(below, above)
		if err := b.level(z, below, above); err != nil {
			return nil, fmt.Errorf("solid: %s at %.4g mm: %w", p.Label, float64(z)*1e3*grid, err)
		}
		if i > 0 {
			b.faces(levels[i-1], z, before, b.lower, below)
		}
		b.lower, before = above, next
	}
	return b.mesh(), nil
}

// chain is a line with the corners of others put in: corner i of the line is
// at start[i].
type chain struct {
	points []xy
	start  []int
}

func newChain(line []xy) chain {
	c := chain{points: line, start: make([]int, len(line))}
	for i := range line {
		c.start[i] = i
	}
	return c
}

func tops(u []upright) []chain {
	out := make([]chain, len(u))
	for i := range u {
		out[i] = newChain(u[i].top)
	}
	return out
}

func bottoms(u []upright) []chain {
	out := make([]chain, len(u))
	for i := range u {
		out[i] = newChain(u[i].bottom)
	}
	return out
}

// meshBuilder gathers triangles over shared corners.
type meshBuilder struct {
	index     map[[3]int64]int32
	vertices  [][3]int64
	triangles [][3]int32
	lower     []chain // of the slab being closed
}

func (b *meshBuilder) vertex(p xy, z int64) int32 {
	key := [3]int64{p.x, p.y, z}
	id, ok := b.index[key]
	if !ok {
		id = int32(len(b.vertices))
		b.index[key] = id
		b.vertices = append(b.vertices, key)
	}
	return id
}

func (b *meshBuilder) triangle(a, c, d int32) {
	if a != c && c != d && d != a {
		b.triangles = append(b.triangles, [3]int32{a, c, d})
	}
}

// faces closes a slab's upright faces between its lower and its upper lines.
func (b *meshBuilder) faces(low, high int64, u []upright, lower, upper []chain) {
	for w := range u {
		n := len(u[w].bottom)
		for k := range n {
			b.strip(lower[w].span(k), low, upper[w].span(k), high)
		}
	}
}

// span are the points from corner k to the next, both included.
func (c *chain) span(k int) []xy {
	if k+1 < len(c.start) {
		return c.points[c.start[k] : c.start[k+1]+1]
	}
	return append(append([]xy(nil), c.points[c.start[k]:]...), c.points[0])
}

// strip fills one facet, whose lower and upper edge may have points between.
func (b *meshBuilder) strip(lower []xy, low int64, upper []xy, high int64) {
	along := func(line []xy, i int) float64 {
		return distance(line[0], line[i]) / distance(line[0], line[len(line)-1])
	}
	i, j := 0, 0
	for i+1 < len(lower) || j+1 < len(upper) {
		down := j+1 == len(upper)
		if i+1 < len(lower) && j+1 < len(upper) {
			down = along(lower, i+1) <= along(upper, j+1)
		}
		if down {
			b.triangle(b.vertex(lower[i], low), b.vertex(lower[i+1], low), b.vertex(upper[j], high))
			i++
		} else {
			b.triangle(b.vertex(lower[i], low), b.vertex(upper[j+1], high), b.vertex(upper[j], high))
			j++
		}
	}
}

func (b *meshBuilder) mesh() *Mesh {
	m := &Mesh{Triangles: b.triangles, Vertices: make([][3]float64, len(b.vertices))}
	for i, v := range b.vertices {
		m.Vertices[i] = [3]float64{float64(v[0]) * grid, float64(v[1]) * grid, float64(v[2]) * grid}
	}
	return m
}

// Volume is what the surface encloses, m3: the sum of the tetrahedra from its
// triangles to the origin (divergence theorem).
func (m *Mesh) Volume() float64 {
	var sum float64
	for _, t := range m.Triangles {
		a, b, c := m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]]
		sum += a[0]*(b[1]*c[2]-b[2]*c[1]) - a[1]*(b[0]*c[2]-b[2]*c[0]) + a[2]*(b[0]*c[1]-b[1]*c[0])
	}
	return sum / 6
}

// Area is that of the surface, m2.
func (m *Mesh) Area() float64 {
	var sum float64
	for _, t := range m.Triangles {
		n := m.normal(t)
		sum += math.Sqrt(n[0]*n[0]+n[1]*n[1]+n[2]*n[2]) / 2
	}
	return sum
}

// normal points out of a triangle; its length is twice the area.
func (m *Mesh) normal(t [3]int32) [3]float64 {
	a, b, c := m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]]
	u := [3]float64{b[0] - a[0], b[1] - a[1], b[2] - a[2]}
	v := [3]float64{c[0] - a[0], c[1] - a[1], c[2] - a[2]}
	return [3]float64{u[1]*v[2] - u[2]*v[1], u[2]*v[0] - u[0]*v[2], u[0]*v[1] - u[1]*v[0]}
}
