package solid

import (
	"math"
	"testing"
)

// A plane through the axis cuts a mesh in its section, twice: area for area, where
// the plane meets no peg, rib or hole.
func TestTheCutIsTheSection(t *testing.T) {
	for name, d := range variants(t) {
		for _, p := range sections(t, d) {
			if len(p.Features) > 0 {
				continue
			}
			var want, got float64
			for _, l := range p.Loops {
				for i, a := range l.Points {
					b := l.Points[(i+1)%len(l.Points)]
					want += a.R*b.Z - b.R*a.Z // both halves: twice half of the cross product
				}
			}
			_, cut := meshed(t, &p, 2e-5).Turn(0.31).Half()
			for _, line := range cut {
				for i, a := range line {
					b := line[(i+1)%len(line)]
					got += (a[0]*b[1] - b[0]*a[1]) / 2
				}
			}
			if math.Abs(got/want-1) > 0.005 {
				t.Errorf("%s %s: cut %.5g m2, section %.5g m2", name, p.Name, got, want)
			}
		}
	}
}
