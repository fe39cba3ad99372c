package printing

import (
	"math"
	"slices"
)

// ring is material between two radii, m; share is 1 for solid, less for an
// infill.
type ring struct{ in, out, share float64 }

func (r ring) area() float64 { return math.Pi * (r.out*r.out - r.in*r.in) }

// slab is a stretch of height, m, over which the cross-section stays the same:
// rings from the axis outwards that do not overlap, and beside them upright
// posts and radial ribs in the air between.
type slab struct {
	low, high float64
	rings     []ring
	posts     []post
	ribs      []rib
}

// post is a round peg, count times.
type post struct {
	count    float64
	diameter float64
}

// rib is a flat web across a gap between two rings, count times.
type rib struct {
	count     float64
	thickness float64
	width     float64 // of the gap
}

func (s slab) height() float64 { return s.high - s.low }

// area is the cross-section, m2: as a closed outline, and of the plastic in it.
func (s slab) area() (closed, plastic float64) {
	for _, r := range s.rings {
		closed += r.area()
		plastic += r.share * r.area()
	}
	more := s.standing()
	return closed + more, plastic + more
}

// standing is the cross-section of posts and ribs, m2.
func (s slab) standing() float64 {
	sum := 0.0
	for _, p := range s.posts {
		sum += p.count * math.Pi / 4 * p.diameter * p.diameter
	}
	for _, r := range s.ribs {
		sum += r.count * r.thickness * r.width
	}
	return sum
}

// touching is within rounding, m.
const touching = 1e-9

// edges is the length, m, of all edges between material and air.
func (s slab) edges() float64 {
	length := 0.0
	for i, r := range s.rings {
		if r.in > touching && (i == 0 || r.in-s.rings[i-1].out > touching) {
			length += 2 * math.Pi * r.in
		}
		if i == len(s.rings)-1 || s.rings[i+1].in-r.out > touching {
			length += 2 * math.Pi * r.out
		}
	}
	for _, p := range s.posts {
		length += p.count * math.Pi * p.diameter
	}
	for _, r := range s.ribs {
		length += r.count * 2 * (r.width - r.thickness) // two sides less the two faces it covers
	}
	return length
}

// shape is a part as slabs from the bottom upwards.
type shape []slab

func (s shape) height() float64 { return s[len(s)-1].high - s[0].low }

// volume is that of the closed outlines and of the plastic in them, m3.
func (s shape) volume() (closed, plastic float64) {
	for _, l := range s {
		a, p := l.area()
		closed += a * l.height()
		plastic += p * l.height()
	}
	return closed, plastic
}

// surface is all of the face that meets air, inside cavities too, m2: the
// sides of every slab, and what of its lower and upper face the next slab
// leaves bare.
func (s shape) surface() float64 {
	sum := 0.0
	var below slab
	for _, l := range s {
		sum += l.edges()*l.height() + bare(below, l)
		below = l
	}
	return sum + bare(below, slab{})
}

// bare is the area, m2, that is material in one of two slabs only.
func bare(a, b slab) float64 {
	radii := []float64{0}
	for _, s := range []slab{a, b} {
		for _, r := range s.rings {
			radii = append(radii, r.in, r.out)
		}
	}
	slices.Sort(radii)
	sum := 0.0
	for i := 1; i < len(radii); i++ {
		middle := (radii[i-1] + radii[i]) / 2
		if a.holds(middle) != b.holds(middle) {
			sum += ring{radii[i-1], radii[i], 1}.area()
		}
	}
	// A post or rib that ends at a floor or a roof covers as much of it as its
	// own end leaves bare at the other side, or covers it at both.
	return sum + a.ends(b) + b.ends(a)
}

func (s slab) holds(radius float64) bool {
	return slices.ContainsFunc(s.rings, func(r ring) bool { return r.in < radius && radius < r.out })
}

// ends is what the posts and ribs of a slab change of the bare area towards a
// neighbour that does not continue them, m2: they cover its face where it is
// solid there, and show their own end where it is air.
func (s slab) ends(next slab) float64 {
	sum := 0.0
	for _, p := range s.posts {
		if slices.Contains(next.posts, p) {
			continue
		}
		area := p.count * math.Pi / 4 * p.diameter * p.diameter
		if next.holds(touching) { // posts stand on a floor that reaches to the axis
			area = -area
		}
		sum += area
	}
	for _, r := range s.ribs {
		if !slices.Contains(next.ribs, r) {
			sum -= r.count * r.thickness * r.width // a rib reaches from floor to roof
		}
	}
	return sum
}
