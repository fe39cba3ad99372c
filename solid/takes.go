package solid

import (
	"math"
	"slices"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/printing"
)

// Takes estimates what the printing of each part takes, copies together, with
// spreads.
func Takes(d *design.Design) ([]printing.Estimate, error) {
	if _, err := Sections(d); err != nil {
		return nil, err
	}
	return printing.WithSpreads(d, func(d *design.Design) []printing.Estimate {
		parts, err := Sections(d)
		if err != nil { // pegs that find no place once they are a little thicker
			return nil
		}
		out := make([]printing.Estimate, len(parts))
		for i := range parts {
			p := &parts[i]
			out[i] = p.slabs().Estimate(p.Name, p.Count, density(d, p.Material), &d.Print)
		}
		return out
	}), nil
}

// density of a material as the design has it, else as the handbook does, kg/m3.
func density(d *design.Design, name string) float64 {
	if m := d.MaterialByName(name); m.Density.Present() {
		return m.Density.SI
	}
	handbook, ok := matter.FindSolid(name)
	if !ok {
		return math.NaN()
	}
	return handbook.Density.Value
}

// slopeStep is how high slabs are at most where an outline leans, m.
const slopeStep = 0.5e-3

// slabs cuts a part at every height where its section changes, and where it
// leans into steps, each by its middle.
func (p *Part) slabs() printing.Shape {
	var levels []float64
	leans := false
	for _, l := range p.Loops {
		for i, a := range l.Points {
			b := l.Points[(i+1)%len(l.Points)]
			levels = append(levels, a.Z)
			leans = leans || a.Z != b.Z && a.R != b.R
		}
	}
	for i := range p.Features {
		levels = append(levels, p.Features[i].Low, p.Features[i].High)
	}
	for _, c := range p.Cores {
		for _, q := range c.Loop.Points {
			levels = append(levels, q.Z)
		}
	}
	slices.Sort(levels)
	var out printing.Shape
	for i := 1; i < len(levels); i++ {
		low, high := levels[i-1], levels[i]
		if high-low < 1e-9 {
			continue
		}
		n := 1.0
		if leans {
			n = math.Ceil((high - low) / slopeStep)
		}
		for k := range int(n) {
			from, to := low+(high-low)*float64(k)/n, low+(high-low)*float64(k+1)/n
			out = append(out, p.slab(from, to))
		}
	}
	return out
}

// slab is the cross-section half way between two heights.
func (p *Part) slab(low, high float64) printing.Slab {
	z := (low + high) / 2
	s := printing.Slab{Low: low, High: high, Rings: p.rings(z)}
	for i := range p.Features {
		f := &p.Features[i]
		if z < f.Low || z > f.High {
			continue
		}
		switch f.Kind {
		case Rib, Pad:
			s.Ribs = append(s.Ribs, printing.Rib{Count: float64(f.Count), Thickness: f.Thickness, Width: f.Out - f.In})
		default:
			s.Posts = append(s.Posts, printing.Post{Count: float64(f.Count), Diameter: f.Diameter, Centre: f.Centre, Hole: f.Void()})
		}
	}
	return s
}

// rings are the material of the loops at a height, the cores by their share.
func (p *Part) rings(z float64) []printing.Ring {
	var radii []float64
	for _, l := range p.Loops {
		radii = append(radii, crossings(l.Points, z)...)
	}
	slices.Sort(radii)
	type core struct{ in, out, share float64 }
	var cores []core
	for _, c := range p.Cores {
		if r := crossings(c.Loop.Points, z); len(r) == 2 {
			cores = append(cores, core{min(r[0], r[1]), max(r[0], r[1]), c.Infill})
		}
	}
	var out []printing.Ring
	for i := 0; i+1 < len(radii); i += 2 {
		in, to := radii[i], radii[i+1]
		cuts := []float64{in, to}
		for _, c := range cores {
			cuts = append(cuts, min(max(c.in, in), to), min(max(c.out, in), to))
		}
		slices.Sort(cuts)
		for k := 1; k < len(cuts); k++ {
			if cuts[k]-cuts[k-1] < 1e-9 {
				continue
			}
			share := 1.0
			for _, c := range cores {
				if middle := (cuts[k] + cuts[k-1]) / 2; c.in < middle && middle < c.out {
					share = c.share
				}
			}
			out = append(out, printing.Ring{In: cuts[k-1], Out: cuts[k], Share: share})
		}
	}
	return out
}

// crossings are the radii at which an outline crosses a height.
func crossings(points []Point, z float64) []float64 {
	var out []float64
	for i, a := range points {
		if b := points[(i+1)%len(points)]; (a.Z > z) != (b.Z > z) {
			out = append(out, a.R+(b.R-a.R)*(z-a.Z)/(b.Z-a.Z))
		}
	}
	return out
}
