package printing

import (
	"meltspan/design"
)

// standShape is the stand's body as slabs, by the section that the network
// computes with: a closed foot, the base between the wall's skins, wall and
// cup, a closed rim; see network/section.go. Feet and drain holes have no size
// in a design and are left out.
func standShape(d *design.Design) Shape {
	s := &d.Stand
	cup, outer := s.Cup.Diameter.SI/2, s.OuterDiameter.SI/2
	base, open := s.BaseThickness(), s.Height.SI-s.RimHeight()
	floor := layers(&s.Base, base, 0)
	wall, ribs := wallRings(s, cup, outer)

	var out Shape
	z := 0.0
	for k := len(floor) - 1; k >= 0; k-- { // floor runs downwards from the cup
		l := floor[k]
		next := z + l.Out - l.In
		part := Slab{Low: z, High: next, Rings: wall, Ribs: ribs}
		switch {
		case k == len(floor)-1:
			part = Slab{Low: z, High: next, Rings: []Ring{{0, outer, 1}}}
		case l.Share != cavity:
			part.Rings = append([]Ring{{0, cup, l.Share}}, wall...)
		}
		out = append(out, part)
		z = next
	}
	var pegs []Post
	tips := base // top of the pegs
	if s.Pegs.Count > 0 {
		pegs = []Post{{Count: float64(s.Pegs.Count), Diameter: s.Pegs.Diameter.SI}}
		tips += s.Pegs.Height.SI
	}
	add := func(high float64, part Slab) {
		if part.Low, part.High = z, high; high > z+touching {
			out = append(out, part)
			z = high
		}
	}
	hollow := Slab{Rings: wall, Ribs: ribs}
	closed := Slab{Rings: []Ring{{cup, outer, 1}}}
	withPegs := func(s Slab) Slab { s.Posts = pegs; return s }
	add(min(tips, open), withPegs(hollow))
	add(open, hollow)
	add(tips, withPegs(closed))
	add(s.Height.SI, closed)
	return out
}

// wallRings are the wall's layers as rings, and the ribs across its cavities.
func wallRings(s *design.Stand, cup, outer float64) (rings []Ring, ribs []Rib) {
	for _, l := range layers(&s.Wall, s.WallThickness(), cup) {
		switch {
		case l.Share != cavity:
			rings = append(rings, l)
		case s.Ribs.Count > 0:
			ribs = append(ribs, Rib{float64(s.Ribs.Count), s.Ribs.Thickness.SI, l.Out - l.In})
		}
	}
	return rings, ribs
}

// cavity marks a layer that is no material at all; an infill may have share 0.
const cavity = -1

// layers are those of a shell of that thickness (m) that begins at from, with
// its cavities between them.
func layers(s *design.Shell, thickness, from float64) []Ring {
	var out []Ring
	for _, l := range s.Layers(thickness) {
		share := 1.0
		if l.Infilled {
			share = s.Infill.SI
		}
		out = append(out, Ring{from, from + l.Thickness, share})
		from += l.Thickness
		if l.Cavity > 0 {
			out = append(out, Ring{from, from + l.Cavity, cavity})
			from += l.Cavity
		}
	}
	return out
}
