package drawing

import (
	"slices"

	"meltspan/solid"
)

// body answers where a part has material in the plane of the section. Radii
// count on both sides of the axis.
type body struct {
	loops         [][]solid.Point
	tubes, drains []upright // turned into the plane
	reach, height float64
}

// upright is a rectangle in the section, both sides of the axis.
type upright struct{ in, out, low, high float64 }

func (u upright) holds(r, z float64) bool {
	return u.in < r && r < u.out && u.low < z && z < u.high
}

func newBody(p *solid.Part) *body {
	b := &body{}
	b.reach, b.height = p.Bounds()
	for _, l := range p.Loops {
		b.loops = append(b.loops, l.Points)
	}
	for i := range p.Features {
		switch f := &p.Features[i]; f.Kind {
		case solid.Tube:
			b.tubes = append(b.tubes, turned(f))
		case solid.Drain:
			b.drains = append(b.drains, turned(f))
		}
	}
	return b
}

// turned is a round feature or a rib turned into the plane of the section.
func turned(f *solid.Feature) upright {
	switch f.Kind {
	case solid.Rib, solid.Pad:
		return upright{f.In, f.Out, f.Low, f.High}
	}
	return upright{f.Centre - f.Diameter/2, f.Centre + f.Diameter/2, f.Low, f.High}
}

// inside reports whether there is material at a place.
func (b *body) inside(r, z float64) bool {
	if r < 0 {
		r = -r
	}
	in := false
	for _, l := range b.loops {
		for i, p := range l {
			q := l[(i+1)%len(l)]
			if (p.Z > z) != (q.Z > z) && r < p.R+(q.R-p.R)*(z-p.Z)/(q.Z-p.Z) {
				in = !in
			}
		}
	}
	holds := func(u upright) bool { return u.holds(r, z) }
	return (in || slices.ContainsFunc(b.tubes, holds)) && !slices.ContainsFunc(b.drains, holds)
}

// buried is how much of a straight way, m, runs through material, edges not
// counted: what lies along an edge has air on one side.
func (b *body) buried(r1, z1, r2, z2 float64) float64 {
	const pieces, aside = 60, 20e-6 // m to either side
	length, sum := max(abs(r2-r1), abs(z2-z1)), 0.0
	dr, dz := aside, 0.0
	if abs(r2-r1) > abs(z2-z1) {
		dr, dz = 0, aside
	}
	for i := range pieces {
		t := (float64(i) + 0.5) / pieces
		r, z := r1+t*(r2-r1), z1+t*(z2-z1)
		if b.inside(r+dr, z+dz) && b.inside(r-dr, z-dz) {
			sum += length / pieces
		}
	}
	return sum
}

func abs(x float64) float64 { return max(x, -x) }

// beyond lists the edges that are seen behind the section: where an outline
// has a corner towards the hollow about the axis, its circle shows as a line
// that runs inwards until something hides it. Each is a height, and radii.
func (b *body) beyond() []upright {
	const aside = 2e-6 // m
	var out []upright
	for _, l := range b.loops {
		for _, p := range l {
			if p.R < aside || b.inside(p.R-aside, p.Z+aside) || b.inside(p.R-aside, p.Z-aside) {
				continue
			}
			in := 0.0
			for _, z := range []float64{p.Z + aside, p.Z - aside} {
				for _, r := range b.crossings(z) {
					if r < p.R-2*aside {
						in = max(in, r)
					}
				}
			}
			out = append(out, upright{in, p.R, p.Z, p.Z})
		}
	}
	return out
}

// crossings are the radii at which outlines cross a height.
func (b *body) crossings(z float64) []float64 {
	var out []float64
	for _, l := range b.loops {
		for i, p := range l {
			if q := l[(i+1)%len(l)]; (p.Z > z) != (q.Z > z) {
				if r := p.R + (q.R-p.R)*(z-p.Z)/(q.Z-p.Z); r > 1e-9 {
					out = append(out, r)
				}
			}
		}
	}
	return out
}
