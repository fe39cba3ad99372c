package design

import "math"

// RoundFeatures are things of one diameter, evenly spaced on a circle about the
// axis; the first stands at the angle Phase, rad. One alone stands in the middle.
type RoundFeatures struct {
	Count                   int
	Circle, Diameter, Phase float64 // m, m, rad
}

// Place is the middle of one of them in plan, m.
func (f RoundFeatures) Place(i int) (x, y float64) {
	sin, cos := math.Sincos(f.Phase + 2*math.Pi*float64(i)/float64(f.Count))
	return f.Circle * cos, f.Circle * sin
}

// Drain holes: four, wide enough that drops do not hang in them (common
// practice: capillary length of water 2.7 mm, so 5 mm and more run free).
const (
	drainCount    = 4
	drainDiameter = 5e-3 // m
)

// DrainHoles are the holes in the floor of a cup that drains; none otherwise.
func (d *Design) DrainHoles() (holes RoundFeatures, drains bool) {
	if !d.Stand.Cup.Drains {
		return RoundFeatures{}, false
	}
	cup := d.Stand.Cup.Diameter.SI / 2
	return RoundFeatures{Count: drainCount, Circle: 0.55 * cup, Diameter: min(drainDiameter, cup/4), Phase: math.Pi / 4}, true
}

const (
	pegMargin    = 0.5e-3 // m, that pegs keep clear of the cup's wall
	pegPhase     = math.Pi / 2
	mostPegRings = 25
)

// PegRings places the pegs on rings under the store, as far apart as they go.
// Every ring has a peg at the same angle. ok is false when there are pegs and no
// room for them with a printed line between.
func (d *Design) PegRings() (rings []RoundFeatures, ok bool) {
	pegs := &d.Stand.Pegs
	if pegs.Count == 0 {
		return nil, true
	}
	most := d.Stand.Cup.Diameter.SI/2 - pegMargin
	if block := d.Store.Diameter.SI / 2; block > 0 {
		most = min(most, block)
	}
	most -= pegs.Diameter.SI / 2
	spacing := -1.0
	for n := 1; n <= pegs.Count && n <= mostPegRings && most > 0; n++ {
		layout := pegRings(pegs, n, most)
		if gap := d.leastPegGap(layout); gap > spacing+1e-6 {
			spacing, rings = gap, layout
		}
	}
	if pegs.Count == 1 {
		rings, spacing = []RoundFeatures{{Count: 1, Diameter: pegs.Diameter.SI, Phase: pegPhase}}, most
	}
	return rings, spacing >= pegs.Diameter.SI+d.Print.LineWidth.SI
}

// pegRings shares the pegs out over rings, each by its length, the outermost at
// nine tenths of the largest radius.
func pegRings(pegs *Pegs, rings int, most float64) []RoundFeatures {
	var out []RoundFeatures
	left, weight := pegs.Count, 0.0
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
		f := RoundFeatures{Count: n, Circle: 0.9 * most * own / (float64(rings) - 0.5), Diameter: pegs.Diameter.SI, Phase: pegPhase}
		if n == 1 {
			f.Circle = 0
		}
		out = append(out, f)
	}
	return out
}

// leastPegGap is the least distance between the middles of pegs, and of pegs
// from drain holes, whose own width counts.
func (d *Design) leastPegGap(layout []RoundFeatures) float64 {
	type place struct{ x, y float64 }
	var all []place
	for _, f := range layout {
		for i := range f.Count {
			x, y := f.Place(i)
			all = append(all, place{x, y})
		}
	}
	holes, drains := d.DrainHoles()
	least := math.Inf(1)
	for i, a := range all {
		for _, b := range all[:i] {
			least = min(least, math.Hypot(a.x-b.x, a.y-b.y))
		}
		for k := range holes.Count {
			if x, y := holes.Place(k); drains {
				least = min(least, math.Hypot(a.x-x, a.y-y)-holes.Diameter/2+d.Stand.Pegs.Diameter.SI/2)
			}
		}
	}
	return least
}
