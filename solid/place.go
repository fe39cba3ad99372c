package solid

import (
	"fmt"
	"math"
)

// pegMargin is what pegs keep clear of the cup's wall, m.
const pegMargin = 0.5e-3

// addPegs places the pegs on rings under the store.
func (s *stand) addPegs() error {
	pegs := &s.d.Stand.Pegs
	if pegs.Count == 0 {
		return nil
	}
	radius := pegs.Diameter.SI / 2
	most := min(s.d.Store.Diameter.SI/2, s.cup-pegMargin) - radius
	var best []Feature
	spacing := -1.0
	for rings := 1; rings <= pegs.Count && rings <= 25 && most > 0; rings++ {
		layout := pegRings(pegs.Count, rings, most)
		if gap := s.leastGap(layout); gap > spacing+1e-6 {
			spacing, best = gap, layout
		}
	}
	if pegs.Count == 1 {
		best, spacing = []Feature{{Count: 1}}, most
	}
	if spacing < 2*radius+s.width {
		return &Fault{
			"stand.pegs", fmt.Sprintf("%d pegs of %s find no place on a floor of %s with a printed line between them", pegs.Count, long(2*radius), long(2*s.cup)),
			"fewer or thinner pegs",
		}
	}
	for _, f := range best {
		f.Kind, f.Diameter, f.Meaning = Peg, 2*radius, "peg under the store"
		f.Low, f.High = s.floor, s.floor+pegs.Height.SI
		s.pegs = append(s.pegs, f)
	}
	return nil
}

// pegRings shares a number of pegs out over rings, each by its length, the
// outermost at nine tenths of the largest radius.
func pegRings(count, rings int, most float64) []Feature {
	var out []Feature
	left, weight := count, 0.0
	for j := range rings {
		weight += float64(j) + 0.5
	}
	for j := range rings {
		own := float64(j) + 0.5
		n := int(math.Round(float64(left) * own / weight))
		if j == rings-1 {
			n = left
		}
		left, weight = left-n, weight-own
		if n == 0 {
			continue
		}
		f := Feature{Count: n, Centre: 0.9 * most * own / (float64(rings) - 0.5), Phase: math.Pi / 2}
		if n == 1 {
			f.Centre = 0
		}
		out = append(out, f)
	}
	return out
}

// place is the middle of a round feature in plan, m.
type place struct{ x, y float64 }

func (f *Feature) places() []place {
	out := make([]place, f.Count)
	for i := range out {
		sin, cos := math.Sincos(f.angle(i))
		out[i] = place{f.Centre * cos, f.Centre * sin}
	}
	return out
}

// leastGap is the least distance between the middles of the pegs, and of pegs
// from drains, whose own width counts.
func (s *stand) leastGap(layout []Feature) float64 {
	var all []place
	for i := range layout {
		all = append(all, layout[i].places()...)
	}
	least := math.Inf(1)
	for i, a := range all {
		for _, b := range all[:i] {
			least = min(least, math.Hypot(a.x-b.x, a.y-b.y))
		}
		if s.drains == nil {
			continue
		}
		for _, b := range s.drains.places() {
			apart := math.Hypot(a.x-b.x, a.y-b.y) - s.drains.Diameter/2 + s.d.Stand.Pegs.Diameter.SI/2
			least = min(least, apart)
		}
	}
	return least
}

// Drain holes: four, wide enough that drops do not hang in them (common
// practice: capillary length of water 2.7 mm, so 5 mm and more run free).
const (
	drainCount    = 4
	drainDiameter = 5e-3 // m
)

// addDrains places the drain holes of a cup that drains, with room for a tube
// round each where it crosses a cavity.
func (s *stand) addDrains() {
	if !s.d.Stand.Cup.Drains {
		return
	}
	s.drains = &Feature{
		Kind: Drain, Count: drainCount, Centre: 0.55 * s.cup, Diameter: min(drainDiameter, s.cup/4), Phase: math.Pi / 4,
		Low: 0, High: s.floor, Meaning: "drain hole",
	}
}

// tube is the wall round each drain where it crosses a cavity of the base.
func (s *stand) tube(low, high float64) Feature {
	f := *s.drains
	wall := max(s.d.Stand.Base.Skin.SI, s.d.Print.WatertightWall.SI)
	f.Kind, f.Diameter, f.Low, f.High = Tube, f.Diameter+2*min(wall, s.cup/10), low, high
	f.Meaning = "wall round a drain hole, where it crosses a cavity"
	return f
}

// drained are the drains of a piece whose floor ends at a height, with the
// tubes that its cavities need.
func (s *stand) drained(upTo float64) []Feature {
	if s.drains == nil {
		return nil
	}
	var out []Feature
	for k := 0; k+1 < len(s.base); k++ {
		if s.base[k+1].low <= upTo+1e-9 {
			out = append(out, s.tube(s.base[k].high, s.base[k+1].low))
		}
	}
	hole := *s.drains
	hole.High = upTo
	return append(out, hole)
}
