package drawing

import (
	"math"
	"slices"

	"meltspan/solid"
)

// hatching is that of one part: the distance of its lines, mm, and whether they
// fall instead of rise.
type hatching struct {
	spacing float64
	falling bool
}

// span is a stretch along a line of the hatching, by its x.
type span struct{ from, to float64 }

// hatch lists the lines at 45 degrees that fill the material of a part, except
// behind the boxes. It works on paper: x + y (rising) or x - y (falling) is
// constant along a line.
func (v *view) hatch(h hatching, behind []box) []stroke {
	var lines []stroke
	side := -1.0 // of y in the constant
	if !h.falling {
		side = 1
	}
	loops := v.mirrored(v.body.loops)
	low, high := math.Inf(1), math.Inf(-1)
	for _, l := range loops {
		for _, q := range l {
			low, high = min(low, q.x+side*q.y), max(high, q.x+side*q.y)
		}
	}
	step := h.spacing * math.Sqrt2
	for c := math.Ceil(low/step) * step; c < high; c += step {
		spans := crossed(loops, c, side)
		for _, u := range v.body.tubes {
			for _, b := range v.boxes(u) {
				spans = joined(append(spans, inBox(b, c, side)))
			}
		}
		var out []span
		for _, u := range v.body.drains {
			for _, b := range v.boxes(u) {
				out = append(out, inBox(b, c, side))
			}
		}
		for _, b := range behind {
			out = append(out, inBox(b, c, side))
		}
		for _, o := range out {
			spans = without(spans, o)
		}
		for _, s := range spans {
			if s.to-s.from > 0.05 {
				lines = append(lines, stroke{at{s.from, (c - s.from) / side}, at{s.to, (c - s.to) / side}})
			}
		}
	}
	return lines
}

// crossed are the stretches of a line inside loops, by the rule of even and odd.
func crossed(loops [][]at, c, side float64) []span {
	var xs []float64
	for _, l := range loops {
		for i, a := range l {
			b := l[(i+1)%len(l)]
			fa, fb := a.x+side*a.y-c, b.x+side*b.y-c
			if (fa > 0) != (fb > 0) {
				xs = append(xs, a.x+(b.x-a.x)*fa/(fa-fb))
			}
		}
	}
	slices.Sort(xs)
	var out []span
	for i := 0; i+1 < len(xs); i += 2 {
		out = append(out, span{xs[i], xs[i+1]})
	}
	return joined(out)
}

// inBox is the stretch of a line inside a box; it is empty where from exceeds to.
func inBox(b box, c, side float64) span {
	if side > 0 {
		return span{max(b.left, c-b.bottom), min(b.right, c-b.top)}
	}
	return span{max(b.left, c+b.top), min(b.right, c+b.bottom)}
}

// joined merges stretches that touch, in order.
func joined(spans []span) []span {
	slices.SortFunc(spans, func(a, b span) int {
		if a.from < b.from {
			return -1
		}
		return 1
	})
	var out []span
	for _, s := range spans {
		switch n := len(out); {
		case s.to <= s.from:
		case n > 0 && s.from <= out[n-1].to+1e-9:
			out[n-1].to = max(out[n-1].to, s.to)
		default:
			out = append(out, s)
		}
	}
	return out
}

// without takes one stretch out of others.
func without(spans []span, o span) []span {
	if o.to <= o.from {
		return spans
	}
	var out []span
	for _, s := range spans {
		if left := (span{s.from, min(s.to, o.from)}); left.to > left.from {
			out = append(out, left)
		}
		if right := (span{max(s.from, o.to), s.to}); right.to > right.from {
			out = append(out, right)
		}
	}
	return out
}

// mirrored puts outlines on paper, both sides of the axis.
func (v *view) mirrored(loops [][]solid.Point) [][]at {
	var out [][]at
	for _, l := range loops {
		for _, side := range []float64{1, -1} {
			var points []at
			for _, p := range l {
				points = append(points, v.at(side*p.R, p.Z))
			}
			out = append(out, points)
		}
	}
	return out
}

// boxes puts an upright rectangle on paper, both sides of the axis; about the
// axis there is only one.
func (v *view) boxes(u upright) []box {
	a, b := v.at(u.in, u.high), v.at(u.out, u.low)
	right := box{a.x, a.y, b.x, b.y}
	if u.in < 0 {
		return []box{right}
	}
	c, d := v.at(-u.out, u.high), v.at(-u.in, u.low)
	return []box{right, {c.x, c.y, d.x, d.y}}
}
