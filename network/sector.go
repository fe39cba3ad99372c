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
func (b *builder) joinAround(nodes []int, sectors []sector, conductivity, in, out, height float64) {
	for t := 0; t+1 < len(sectors); t++ {
		if nodes[t] < 0 || nodes[t+1] < 0 {
			continue
		}
		arc := (in + out) / 2 * (sectors[t].angle() + sectors[t+1].angle()) / 2
		b.m.addFixed(nodes[t], nodes[t+1], b.copies*conductivity*(out-in)*height/arc, "conduction", "")
	}
}

// merged joins neighbouring sectors to groups of about the given length, m, at a
// radius.
func (b *builder) merged(radius, length float64) []sector {
	wedge := b.sectors[len(b.sectors)-1].to
	n := min(max(int(math.Round(radius*wedge/length)), 1), len(b.sectors))
	out := make([]sector, 0, n)
	for t, s := range b.sectors {
		if k := t * n / len(b.sectors); k < len(out) {
			out[k].to, out[k].share = s.to, out[k].share+s.share
		} else {
			out = append(out, s)
		}
	}
	return out
}

// overlap is the share of the circle that two sectors have in common.
func (s sector) overlap(o sector) float64 {
	if s == o {
		return s.share
	}
	return max(min(s.to, o.to)-max(s.from, o.from), 0) / s.angle() * s.share
}

// round reports three dimensions.
func (b *builder) round() bool { return len(b.sectors) > 1 }

// inRib reports whether a sector lies in a rib across the cavity that a column
// belongs to.
func (b *builder) inRib(c column, s sector) bool {
	if !b.round() || b.m.around.ribs == 0 {
		return false
	}
	return math.Abs(math.Remainder(s.middle(), 2*math.Pi/float64(b.m.around.ribs))) < b.ribAngle()
}

// ribAngle is half of what a rib takes up of the circle, rad, in the middle of
// the wall. Its flanks are parallel, those of sectors are not: ribShare sets the
// cross-section right in each cavity.
func (b *builder) ribAngle() float64 {
	return b.d.Stand.Ribs.Thickness.SI / 2 / ((b.m.cupRadius + b.outer) / 2)
}

// ribShare is a rib's cross-section over that of its sectors, in a cavity.
func (b *builder) ribShare(c column) float64 {
	return (b.m.cupRadius + b.outer) / 2 / c.cavity
}
