package solid

import (
	"fmt"
	"math"
)

// ribsFit checks that the ribs leave cavities between them.
func (s *stand) ribsFit() error {
	ribs := &s.d.Stand.Ribs
	if ribs.Count == 0 || len(s.wall) < 2 {
		return nil
	}
	half, in := ribs.Thickness.SI/2, s.wall[0].out
	most := in * math.Sin(math.Pi/float64(ribs.Count)) // half of the way from rib to rib
	if ribs.Count == 1 {
		most = in
	}
	if least := leastCavity; half > most-least/2 {
		return &Fault{
			"stand.ribs", fmt.Sprintf("%d ribs of %s leave no cavity between them", ribs.Count, long(2*half)),
			"fewer ribs, or up to " + long(2*most-least).String() + " thick",
		}
	}
	return nil
}

// ringFits checks that a rim ring with its clearance still rests on the outer skin.
func (s *stand) ringFits() error {
	if in := s.wall[0].out + s.clearance; s.rimApart && in > s.wall[len(s.wall)-1].in {
		most := s.wall[len(s.wall)-1].in - s.wall[0].out
		return &Fault{
			"print.clearance", fmt.Sprintf("a clearance of %s is wider than the cavity of the wall, so that the rim ring rests on nothing", long(s.clearance)),
			"up to " + long(most).String(),
		}
	}
	return nil
}

// leastCavity is the least width of what is left between two ribs, m (common
// practice: about two lines).
const leastCavity = 1e-3

// ribs bridge the cavities of the wall from foot to rim.
func (s *stand) ribs() []Feature {
	ribs := &s.d.Stand.Ribs
	if ribs.Count == 0 {
		return nil
	}
	var out []Feature
	for i := 0; i+1 < len(s.wall); i++ {
		f := Feature{
			Kind: Rib, Count: ribs.Count, Thickness: ribs.Thickness.SI, In: s.wall[i].out, Out: s.wall[i+1].in,
			Low: s.foot, High: s.rim, Meaning: "rib across a cavity of the wall",
		}
		if i == 0 && s.cupApart {
			lower := f
			lower.High = s.base[1].low
			// Beside the cup they stop short of it, and so hold it in the middle.
			f.Low = lower.High
			f.In += s.clearance
			f.Meaning = "rib that centres the cup"
			out = append(out, lower)
			if f.Out-f.In < s.width {
				continue // the clearance takes it up
			}
		}
		out = append(out, f)
	}
	return out
}

// pads locate the rim ring inside the outermost skin, between the ribs.
func (s *stand) pads() (Feature, bool) {
	last := len(s.wall) - 1
	f := Feature{Kind: Pad, Count: 3, Out: s.wall[last].in - s.clearance, Thickness: padWidth, Meaning: "pad that centres the rim ring"}
	f.In = f.Out - 2*s.width
	if last == 0 || f.In < s.wall[last-1].out+s.clearance+leadIn+s.width || s.rim-s.foot < 2*padHeight {
		return f, false
	}
	if n := s.d.Stand.Ribs.Count; n > 0 {
		switch { // between the ribs
		case n <= 2:
			f.Phase = math.Pi / 3 / float64(n)
		case n%3 == 0:
			f.Phase = math.Pi / float64(n)
		case n%4 == 0:
			f.Count, f.Phase = 4, math.Pi/float64(n)
		default:
			f.Count, f.Phase = n, math.Pi/float64(n)
		}
		f.Thickness = min(padWidth, (2*math.Pi*f.In/float64(n)-s.d.Stand.Ribs.Thickness.SI)/2)
	}
	f.Thickness = min(f.Thickness, f.In)
	return f, true
}
