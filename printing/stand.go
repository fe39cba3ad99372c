package printing

import (
	"meltspan/design"
)

// standShape is the stand's body as slabs, by the section that the network
// computes with: a closed foot, the base between the wall's skins, wall and
// cup, a closed rim; see network/section.go. Feet and drain holes have no size
// in a design and are left out.
func standShape(d *design.Design) shape {
	s := &d.Stand
	cup, outer := s.Cup.Diameter.SI/2, s.OuterDiameter.SI/2
	base, open := s.Height.SI-s.Cup.Depth.SI, s.Height.SI-s.Rim.Thickness.SI
	floor := layers(&s.Base, base, 0)
	wall, ribs := wallRings(s, cup, outer)

	var out shape
	z := 0.0
	for k := len(floor) - 1; k >= 0; k-- { // floor runs downwards from the cup
		l := floor[k]
		next := z + l.out - l.in
		part := slab{low: z, high: next, rings: wall, ribs: ribs}
		switch {
		case k == len(floor)-1:
			part = slab{low: z, high: next, rings: []ring{{0, outer, 1}}}
		case l.share != cavity:
			part.rings = append([]ring{{0, cup, l.share}}, wall...)
		}
		out = append(out, part)
		z = next
	}
	var pegs []post
	tips := base // top of the pegs
	if s.Pegs.Count > 0 {
		pegs = []post{{float64(s.Pegs.Count), s.Pegs.Diameter.SI}}
		tips += s.Pegs.Height.SI
	}
	add := func(high float64, part slab) {
		if part.low, part.high = z, high; high > z+touching {
			out = append(out, part)
			z = high
		}
	}
	hollow := slab{rings: wall, ribs: ribs}
	closed := slab{rings: []ring{{cup, outer, 1}}}
	withPegs := func(s slab) slab { s.posts = pegs; return s }
	add(min(tips, open), withPegs(hollow))
	add(open, hollow)
	add(tips, withPegs(closed))
	add(s.Height.SI, closed)
	return out
}

// wallRings are the wall's layers as rings, and the ribs across its cavities.
func wallRings(s *design.Stand, cup, outer float64) (rings []ring, ribs []rib) {
	for _, l := range layers(&s.Wall, outer-cup, cup) {
		switch {
		case l.share != cavity:
			rings = append(rings, l)
		case s.Ribs.Count > 0:
			ribs = append(ribs, rib{float64(s.Ribs.Count), s.Ribs.Thickness.SI, l.out - l.in})
		}
	}
	return rings, ribs
}

// cavity marks a layer that is no material at all; an infill may have share 0.
const cavity = -1

// layers divides a shell of that thickness (m), which begins at from, into
// solid layers (share 1), infill, and cavities. An infill needs room
// between its skins, as in network/layers.go.
func layers(s *design.Shell, thickness, from float64) []ring {
	var out []ring
	add := func(width, share float64) {
		out = append(out, ring{from, from + width, share})
		from += width
	}
	if s.Cavities == 0 {
		if s.Infill.SI >= 0.995 || thickness <= 2.2*s.Skin.SI {
			skin := min(s.Skin.SI, 0.15*thickness)
			add(skin, 1)
			add(thickness-2*skin, 1)
			add(skin, 1)
			return out
		}
		add(s.Skin.SI, 1)
		add(thickness-2*s.Skin.SI, s.Infill.SI)
		add(s.Skin.SI, 1)
		return out
	}
	width := s.CavityWidth(thickness)
	for i := range s.Cavities + 1 {
		skin := s.Skin.SI
		if i > 0 && i < s.Cavities {
			skin = s.Partition.SI
		}
		add(skin, 1)
		if i < s.Cavities {
			add(width, cavity)
		}
	}
	return out
}
