package solid

import (
	"fmt"
	"math"
	"slices"
)

// level is a height in steps of the grid.
func level(z float64) int64 { return int64(math.Round(z / grid)) }

// levels are the heights at which anything of the part begins or ends.
func (p *Part) levels() []int64 {
	var out []int64
	for _, l := range p.Loops {
		for _, q := range l.Points {
			out = append(out, level(q.Z))
		}
	}
	for i := range p.Features {
		out = append(out, level(p.Features[i].Low), level(p.Features[i].High))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// circle is where the section's outline crosses a slab: its radius at underside
// and top, and whether material lies inside it.
type circle struct {
	low, high float64
	inside    bool
}

func (c circle) straight() bool { return math.Abs(c.low-c.high) < grid }

func (c circle) at(radius float64) bool { return c.straight() && math.Abs(c.low-radius) < 2*grid }

// circles are those of one slab.
func (p *Part) circles(low, high int64) []circle {
	var out []circle
	for _, l := range p.Loops {
		for i, a := range l.Points {
			b := l.Points[(i+1)%len(l.Points)]
			up := level(b.Z) > level(a.Z)
			if !up {
				a, b = b, a
			}
			if level(a.Z) > low || level(b.Z) < high || level(a.Z) == level(b.Z) {
				continue
			}
			at := func(z int64) float64 {
				switch z {
				case level(a.Z):
					return a.R
				case level(b.Z):
					return b.R
				}
				return a.R + (b.R-a.R)*(float64(z)*grid-a.Z)/(b.Z-a.Z)
			}
			if c := (circle{at(low), at(high), up}); c.low > grid || c.high > grid {
				out = append(out, c)
			}
		}
	}
	return out
}

// uprights are the upright faces of one slab.
func (p *Part) uprights(low, high int64, r *round, chord float64) ([]upright, error) {
	circles := p.circles(low, high)
	var out []upright
	add := func(line []xy) { out = append(out, upright{line, line}) }
	for i := range p.Features {
		f := &p.Features[i]
		if level(f.Low) > low || level(f.High) < high {
			continue
		}
		switch f.Kind {
		case Peg, Tube, Drain:
			for _, at := range f.places() {
				add(pin(at, f.Diameter/2, chord, !f.Void()))
			}
		case Pad:
			for _, line := range f.sectors(r) {
				add(line)
			}
		case Rib:
			lines, rest, err := f.cut(circles, r)
			if err != nil {
				return nil, err
			}
			circles = rest
			for _, line := range lines {
				add(line)
			}
		}
	}
	for _, c := range circles {
		bottom := r.polygon(c.low, c.inside)
		top := bottom
		if !c.straight() {
			top = r.polygon(c.high, c.inside)
		}
		out = append(out, upright{bottom, top})
	}
	return out, nil
}

// cut replaces the circles that ribs touch by the lines round what is left of
// the cavity between them.
func (f *Feature) cut(circles []circle, r *round) (lines [][]xy, rest []circle, err error) {
	outer := slices.IndexFunc(circles, func(c circle) bool { return c.at(f.Out) && !c.inside })
	if outer < 0 {
		return nil, nil, fmt.Errorf("solid: %s: nothing to stand on at a radius of %.4g mm", f.Meaning, 1e3*f.Out)
	}
	inner := slices.IndexFunc(circles, func(c circle) bool { return c.at(f.In) && c.inside })
	for i, c := range circles {
		if i != outer && i != inner {
			rest = append(rest, c)
		}
	}
	if inner < 0 {
		return [][]xy{f.notched(r)}, rest, nil
	}
	return f.gaps(r), rest, nil
}

// sectors are the outlines of pads, counter-clockwise.
func (f *Feature) sectors(r *round) [][]xy {
	var lines [][]xy
	half := f.Thickness / 2
	for i := range f.Count {
		a := f.angle(i)
		line := r.arc(f.Out, a, -half, a, half)
		inner := r.arc(f.In, a, -half, a, half)
		turn(inner)
		lines = append(lines, append(line, inner...))
	}
	return lines
}

// gaps are the outlines of the cavities between ribs that reach right across,
// clockwise.
func (f *Feature) gaps(r *round) [][]xy {
	var lines [][]xy
	half := f.Thickness / 2
	for i := range f.Count {
		a, b := f.angle(i), f.angle(i+1)
		line := r.arc(f.In, a, half, b, -half)
		outer := r.arc(f.Out, a, half, b, -half)
		turn(outer)
		lines = append(lines, append(line, outer...))
	}
	return lines
}

// notched is a bore with ribs that stand inwards from it, clockwise.
func (f *Feature) notched(r *round) []xy {
	var line []xy
	half := f.Thickness / 2
	for i := range f.Count {
		a, b := f.angle(i), f.angle(i+1)
		line = append(line, r.arc(f.In, a, -half, a, half)...)
		line = append(line, r.arc(f.Out, a, half, b, -half)...)
	}
	turn(line)
	return line
}
