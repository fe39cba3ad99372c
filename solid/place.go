package solid

import (
	"fmt"
	"math"

	"meltspan/design"
)

// featureOf is a feature made of things that stand about the axis.
func featureOf(f design.RoundFeatures, kind, meaning string, low, high float64) Feature {
	return Feature{Kind: kind, Count: f.Count, Phase: f.Phase, Centre: f.Circle, Diameter: f.Diameter, Low: low, High: high, Meaning: meaning}
}

// addPegs takes the pegs from where the models have them.
func (s *stand) addPegs() error {
	pegs := &s.d.Stand.Pegs
	rings, ok := s.d.PegRings()
	if !ok {
		return &Fault{
			"stand.pegs", fmt.Sprintf("%d pegs of %s find no place on a floor of %s with a printed line between them", pegs.Count, long(pegs.Diameter.SI), long(2*s.cup)),
			"fewer or thinner pegs",
		}
	}
	for _, f := range rings {
		s.pegs = append(s.pegs, featureOf(f, Peg, "peg under the store", s.floor, s.floor+pegs.Height.SI))
	}
	return nil
}

// addDrains places the drain holes of a cup that drains, with room for a tube
// round each where it crosses a cavity.
func (s *stand) addDrains() {
	if holes, drains := s.d.DrainHoles(); drains {
		f := featureOf(holes, Drain, "drain hole", 0, s.floor)
		s.drains = &f
	}
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
