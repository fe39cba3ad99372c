package network

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"meltspan/design"
)

// BuildRound derives the model in three dimensions, on a cylindrical grid: the
// section with its ribs, pegs and pieces of ice where they stand. No cell of the
// body is wider, higher or longer along the outside than the spacing, m. Store
// and films are those of the network. It returns ErrNothingRound where the
// design has nothing that the section could not hold.
func BuildRound(d *design.Design, spacing float64) (*Model, error) {
	if !(spacing >= FinestSpacing*(1-1e-9)) {
		return nil, fmt.Errorf("network: cells of %.3g mm are too fine; use %.3g mm or more", 1e3*spacing, 1e3*FinestSpacing)
	}
	return build(d, spacing, DepthRound, 0)
}

// The depths of a model, as result.Run names them.
const (
	DepthNetwork = "network"
	DepthSection = "section"
	DepthRound   = "3-D"
)

// ErrNothingRound says that a design is the same all round its axis.
var ErrNothingRound = fmt.Errorf("network: nothing in the design is repeated round its axis, so three dimensions show no more than the section")

// placed is what stands round the axis, by number; 0 where there is none.
type placed struct {
	ribs, pieces int
	pegs         []design.RoundFeatures
	pieceCircle  float64 // m, radius of the pieces' middles
}

// findPlaced reads them off the design.
func (b *builder) findPlaced() placed {
	d, m := b.d, b.m
	var p placed
	if d.Stand.Wall.Cavities > 0 {
		p.ribs = d.Stand.Ribs.Count
	}
	if rings, ok := d.PegRings(); ok {
		p.pegs = rings
	}
	p.pieces, p.pieceCircle = m.store.pieces.placed, m.store.pieces.circle
	return p
}

// repeats is how often the whole pattern repeats round the axis; 0 for none. A
// single piece in the middle is a square, which repeats four times.
func (p placed) repeats() int {
	pieces := p.pieces
	if pieces == 1 {
		pieces = 4
	}
	all := 0
	counts := []int{p.ribs, pieces}
	for _, ring := range p.pegs {
		if ring.Circle > 0 {
			counts = append(counts, ring.Count)
		}
	}
	for _, n := range counts {
		all = commonDivisor(all, n)
	}
	return all
}

func (p placed) pegCount() int {
	n := 0
	for _, ring := range p.pegs {
		n += ring.Count
	}
	return n
}

// words names what stands round the axis.
func (p placed) words() string {
	var out []string
	for _, c := range []struct {
		n    int
		name string
	}{{p.ribs, "rib"}, {p.pegCount(), "peg"}, {p.pieces, "piece"}} {
		switch {
		case c.n == 1:
			out = append(out, "1 "+c.name)
		case c.n > 1:
			out = append(out, fmt.Sprintf("%d %ss", c.n, c.name))
		}
	}
	return strings.Join(out, ", ")
}

func commonDivisor(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// cutSectors divides the wedge from the middle of a rib, peg or piece to half
// way to where the pattern repeats, at the flanks of ribs and by the spacing.
func (b *builder) cutSectors() error {
	b.m.around = b.findPlaced()
	n := b.m.around.repeats()
	if n == 0 {
		return ErrNothingRound
	}
	if n := b.m.around.pegCount(); n > 0 {
		b.m.pegCoefficient = b.m.pegConductance / (float64(n) * math.Pi / 4 * b.d.Stand.Pegs.Diameter.SI * b.d.Stand.Pegs.Diameter.SI)
	}
	wedge := math.Pi / float64(n)
	marks := []float64{0, wedge}
	if ribs := b.m.around.ribs; ribs > 0 {
		step, half := 2*math.Pi/float64(ribs), b.ribAngle()
		for at := 0.0; at < wedge+step; at += step {
			marks = append(marks, at-half, at+half)
		}
	}
	slices.Sort(marks)
	const sameAngle = 1e-6
	marks = slices.DeleteFunc(marks, func(v float64) bool { return v < 0 || v > wedge })
	marks = slices.CompactFunc(marks, func(a, c float64) bool { return math.Abs(c-a) < sameAngle })
	marks[len(marks)-1] = wedge
	b.sectors, b.copies = nil, 2*float64(n)
	for k := 0; k+1 < len(marks); k++ {
		from, to := marks[k], marks[k+1]
		parts := b.pieces((to - from) * b.outer)
		for i := range parts {
			low, high := from+(to-from)*float64(i)/float64(parts), from+(to-from)*float64(i+1)/float64(parts)
			b.sectors = append(b.sectors, sector{low, high, b.copies * (high - low) / (2 * math.Pi)})
		}
	}
	return nil
}

// samples of a cell of floor or plate, along and across, for what part of it a
// peg or piece covers.
const coverSamples = 4

// cover lists, for points spread evenly over a cell, how large a thing must be to
// cover them; size works that out for a point at a radius and at an angle from
// the middle of the nearest thing of n. The list rises.
func cover(r ring, s sector, n int, size func(radius, angle float64) float64) []float64 {
	var out []float64
	for i := range coverSamples {
		// By equal areas.
		share := (float64(i) + 0.5) / coverSamples
		radius := math.Sqrt(r.in*r.in + share*(r.out*r.out-r.in*r.in))
		for k := range coverSamples {
			angle := s.from + s.angle()*(float64(k)+0.5)/coverSamples
			out = append(out, size(radius, math.Remainder(angle, 2*math.Pi/float64(n))))
		}
	}
	slices.Sort(out)
	return out
}

// covered is the share of the points that a thing of a size covers.
func covered(list []float64, size float64) float64 {
	n, _ := slices.BinarySearch(list, size)
	return float64(n) / float64(len(list))
}

// pieceCover is how large half of a piece's edge must be to cover a cell's points:
// squares that face the axis.
func (b *builder) pieceCover(r ring, s sector) []float64 {
	n := b.m.around.pieces
	if n == 0 {
		return nil
	}
	if n == 1 {
		n = 4
	}
	return cover(r, s, n, func(radius, angle float64) float64 {
		return max(math.Abs(radius*math.Cos(angle)-b.m.around.pieceCircle), math.Abs(radius*math.Sin(angle)))
	})
}

// pegShare is the part of a floor cell under pegs. Every ring of them has one in
// the middle of the wedge's first side.
func (b *builder) pegShare(r ring, s sector) float64 {
	share := 0.0
	for _, ring := range b.m.around.pegs {
		away := cover(r, s, ring.Count, func(radius, angle float64) float64 {
			return math.Hypot(radius*math.Cos(angle)-ring.Circle, radius*math.Sin(angle))
		})
		share += covered(away, ring.Diameter/2)
	}
	return share
}

// spread is where the solid stands under plate or over floor: from the middle
// outwards, or in pieces of one size where those are placed.
type spread struct {
	area    float64 // of all solid, m2
	half    float64 // of a piece's edge, m; 0 when they are not placed
	stretch float64 // makes the parts add up to the area
}

func (m *Model) spreadPieces(area float64) spread {
	s := spread{area: area}
	if m.around.pieces == 0 || area <= 0 {
		return s
	}
	s.half = math.Sqrt(area/float64(m.around.pieces)) / 2
	sum := 0.0
	for i := range m.floor {
		c := &m.floor[i]
		sum += c.share * c.ring * covered(c.cover, s.half)
	}
	if sum > 0 {
		s.stretch = area / sum
	}
	return s
}

// over is the solid's area in a ring, m2, given the area inside the ring and
// its own; in pieces, as if the whole ring were like the cell with this list.
func (s spread) over(inside, ring float64, cover []float64) float64 {
	if s.half > 0 && cover != nil {
		return min(ring*covered(cover, s.half)*s.stretch, ring)
	}
	return min(max(s.area-inside, 0), ring)
}
