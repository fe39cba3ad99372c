package design

import "math"

// pegCircle is where pegs stand, as a share of the cup's radius: far enough out
// to carry a block without tipping, and within it as it shrinks (a judgement).
const pegCircle = 0.6

// PegCircle is the radius, m, of the circle on which the pegs stand, evenly
// spaced.
func (s *Stand) PegCircle() float64 { return pegCircle * s.Cup.Diameter.SI / 2 }

// PegsFitCircle reports whether there are pegs, and room for all of them on
// that circle with half a diameter between them.
func (s *Stand) PegsFitCircle() bool {
	r, d := s.PegCircle(), s.Pegs.Diameter.SI
	return s.Pegs.Count > 0 && 1.5*d*float64(s.Pegs.Count) <= 2*math.Pi*r && r+d/2 <= s.Cup.Diameter.SI/2
}
