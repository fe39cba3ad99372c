package printing

import (
	"math"
	"slices"
)

// Ring is material between two radii, m; Share is 1 for solid, less for an
// infill.
type Ring struct{ In, Out, Share float64 }

func (r Ring) area() float64 { return math.Pi * (r.Out*r.Out - r.In*r.In) }

// Slab is a stretch of height, m, over which the cross-section stays the same:
// rings from the axis outwards that do not overlap, and beside them upright
// posts and radial ribs in the air between.
type Slab struct {
	Low, High float64
	Rings     []Ring
	Posts     []Post
	Ribs      []Rib
}

// Post is a round peg, or a round hole in the rings, Count times.
type Post struct {
	Count    float64
	Diameter float64 // m
	Centre   float64 // m from the axis
	Hole     bool
}

func (p Post) area() float64 { return p.Count * math.Pi / 4 * p.Diameter * p.Diameter }

// Rib is a flat web across a gap between two rings, Count times.
type Rib struct {
	Count     float64
	Thickness float64 // m
	Width     float64 // of the gap, m
}

func (s Slab) height() float64 { return s.High - s.Low }

// area is the cross-section, m2: as a closed outline, and of the plastic in it.
func (s Slab) area() (closed, plastic float64) {
	for _, r := range s.Rings {
		closed += r.area()
		plastic += r.Share * r.area()
	}
	more := s.standing()
	return closed + more, plastic + more
}

// standing is the cross-section of posts and ribs, m2.
func (s Slab) standing() float64 {
	sum := 0.0
	for _, p := range s.Posts {
		if p.Hole {
			sum -= p.area()
		} else {
			sum += p.area()
		}
	}
	for _, r := range s.Ribs {
		sum += r.Count * r.Thickness * r.Width
	}
	return sum
}

// touching is within rounding, m.
const touching = 1e-9

// edges is the length, m, of all edges between material and air.
func (s Slab) edges() float64 {
	length := 0.0
	for i, r := range s.Rings {
		if r.In > touching && (i == 0 || r.In-s.Rings[i-1].Out > touching) {
			length += 2 * math.Pi * r.In
		}
		if i == len(s.Rings)-1 || s.Rings[i+1].In-r.Out > touching {
			length += 2 * math.Pi * r.Out
		}
	}
	for _, p := range s.Posts {
		length += p.Count * math.Pi * p.Diameter
	}
	for _, r := range s.Ribs {
		length += r.Count * 2 * (r.Width - r.Thickness) // two sides less the two faces it covers
	}
	return length
}

// Shape is a part as slabs from the bottom upwards.
type Shape []Slab

func (s Shape) height() float64 { return s[len(s)-1].High - s[0].Low }

// volume is that of the closed outlines and of the plastic in them, m3.
func (s Shape) volume() (closed, plastic float64) {
	for _, l := range s {
		a, p := l.area()
		closed += a * l.height()
		plastic += p * l.height()
	}
	return closed, plastic
}

// surface is all of the face that meets air, inside cavities too, m2: the
// sides of every slab, and what of its lower and upper face the next Slab
// leaves bare.
func (s Shape) surface() float64 {
	sum := 0.0
	var below Slab
	for _, l := range s {
		sum += l.edges()*l.height() + bare(below, l)
		below = l
	}
	return sum + bare(below, Slab{})
}

// bare is the area, m2, that is material in one of two slabs only.
func bare(a, b Slab) float64 {
	radii := []float64{0}
	for _, s := range []Slab{a, b} {
		for _, r := range s.Rings {
			radii = append(radii, r.In, r.Out)
		}
	}
	slices.Sort(radii)
	sum := 0.0
	for i := 1; i < len(radii); i++ {
		middle := (radii[i-1] + radii[i]) / 2
		if a.holds(middle) != b.holds(middle) {
			sum += Ring{radii[i-1], radii[i], 1}.area()
		}
	}
	// A post or rib that ends at a floor or a roof covers as much of it as its
	// own end leaves bare at the other side, or covers it at both.
	return sum + a.ends(b) + b.ends(a)
}

func (s Slab) holds(radius float64) bool {
	return slices.ContainsFunc(s.Rings, func(r Ring) bool { return r.In < radius && radius < r.Out })
}

// ends is what the posts and ribs of a slab change of the bare area towards a
// neighbour that does not continue them, m2: they cover its face where it is
// solid there, and show their own end where it is air.
func (s Slab) ends(next Slab) float64 {
	sum := 0.0
	for _, p := range s.Posts {
		if slices.Contains(next.Posts, p) {
			continue
		}
		if p.Hole || next.holds(max(p.Centre, touching)) {
			sum -= p.area()
		} else {
			sum += p.area()
		}
	}
	for _, r := range s.Ribs {
		if !slices.Contains(next.Ribs, r) {
			sum -= r.Count * r.Thickness * r.Width // a rib reaches from floor to roof
		}
	}
	return sum
}
