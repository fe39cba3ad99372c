package network

import "math"

// sector is a part of the circle round the axis. Network and section have one,
// the whole of it. In three dimensions the circle is made of equal copies of a
// wedge, mirrored in turn; a sector is a part of the wedge, and every node and
// link of it stands for all copies.
type sector struct {
	from, to float64 // rad, from the middle of a rib, peg or piece
	share    float64 // of the circle, all copies together
}

func (s sector) angle() float64  { return s.to - s.from }
func (s sector) middle() float64 { return (s.from + s.to) / 2 }

var wholeCircle = []sector{{0, 2 * math.Pi, 1}}

// joinAround joins the cells of neighbouring sectors, of one material, between
// two radii, m: along the arc at the mean radius.
func (b *builder) joinAround(nodes []int, conductivity, in, out, height float64, mechanism string) {
	for t := 0; t+1 < len(b.sectors); t++ {
		if nodes[t] < 0 || nodes[t+1] < 0 {
			continue
		}
		arc := (in + out) / 2 * (b.sectors[t].angle() + b.sectors[t+1].angle()) / 2
		b.m.addFixed(nodes[t], nodes[t+1], b.copies*conductivity*(out-in)*height/arc, mechanism, "")
	}
}

// round reports three dimensions.
func (b *builder) round() bool { return len(b.sectors) > 1 }

// inRib reports whether a sector lies in a rib across the cavity that a column
// belongs to.
func (b *builder) inRib(c column, s sector) bool {
	if !b.round() || b.d.Stand.Ribs.Count == 0 {
		return false
	}
	return math.Abs(math.Remainder(s.middle(), 2*math.Pi/float64(b.d.Stand.Ribs.Count))) < b.ribAngle(c.cavity)
}

// ribAngle is half of what a rib takes up of the circle, rad, at a radius.
func (b *builder) ribAngle(radius float64) float64 {
	return b.d.Stand.Ribs.Thickness.SI / 2 / radius
}
