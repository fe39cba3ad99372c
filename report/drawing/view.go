package drawing

import (
	"meltspan/solid"
)

// view is a part in section, placed on paper.
type view struct {
	part   *solid.Part
	body   *body
	origin at      // of the axis at the part's underside
	factor float64 // mm of paper for a metre of the part
}

func (v *view) at(r, z float64) at { return at{v.origin.x + r*v.factor, v.origin.y - z*v.factor} }

// extent is the box of the view on paper.
func (v *view) extent() box {
	a, b := v.at(-v.body.reach, v.body.height), v.at(v.body.reach, 0)
	return box{a.x, a.y, b.x, b.y}
}

// axis is the centre line, a little longer than the part.
func (v *view) axis() stroke {
	const over = 3.0
	top, bottom := v.at(0, v.body.height), v.at(0, 0)
	return stroke{at{top.x, top.y - over}, at{bottom.x, bottom.y + over}}
}

// onAxis reports whether a line is where the two halves of the section meet.
func (v *view) onAxis(s stroke) bool {
	return abs(s.a.x-v.origin.x) < 1e-9 && abs(s.b.x-v.origin.x) < 1e-9
}

// edges lists all visible edges: outlines of what is cut, edges behind, and
// features turned into the plane.
func (v *view) edges() []stroke {
	var out []stroke
	for _, l := range v.mirrored(v.body.loops) {
		for i, a := range l {
			if s := (stroke{a, l[(i+1)%len(l)]}); !v.onAxis(s) {
				out = append(out, s)
			}
		}
	}
	const apart = 1.0 // mm of paper, below which two edges behind are one
	var drawn []upright
	for _, e := range v.body.beyond() {
		near := false
		for _, d := range drawn {
			near = near || abs(d.low-e.low)*v.factor < apart && e.in >= d.in-1e-9
		}
		if near {
			continue
		}
		drawn = append(drawn, e)
		if e.in == 0 {
			out = append(out, stroke{v.at(-e.out, e.low), v.at(e.out, e.low)})
			continue
		}
		out = append(out, stroke{v.at(e.in, e.low), v.at(e.out, e.low)}, stroke{v.at(-e.out, e.low), v.at(-e.in, e.low)})
	}
	for i := range v.part.Features {
		for _, b := range v.boxes(turned(&v.part.Features[i])) {
			corners := []at{{b.left, b.top}, {b.right, b.top}, {b.right, b.bottom}, {b.left, b.bottom}}
			if v.part.Features[i].Void() {
				// Its ends are holes in faces: only the sides are edges.
				out = append(out, stroke{corners[0], corners[3]}, stroke{corners[1], corners[2]})
				continue
			}
			for k, c := range corners {
				out = append(out, stroke{c, corners[(k+1)%4]})
			}
		}
	}
	return out
}
