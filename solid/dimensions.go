package solid

// across is the dimension of a diameter.
func across(name, key string, radius, z float64) Dimension {
	return Dimension{Diameter, name, key, Point{radius, z}, Point{-radius, z}}
}

func (s *stand) dimensions(p *Part) []Dimension {
	high := s.top
	if s.rimApart {
		high = s.rim
	}
	out := []Dimension{across("outside", "stand.outer_diameter", s.outer, 0)}
	if s.cupApart {
		out = append(out, across("ledge", "", s.wall[0].out, s.base[1].low),
			Dimension{Height, "ledge", "", Point{s.cup, 0}, Point{s.cup, s.base[1].low}},
			Dimension{Height, "height", "", Point{s.outer, 0}, Point{s.outer, high}})
	} else {
		out = append(out, across("cup", "stand.cup.diameter", s.cup, s.floor),
			Dimension{Height, "depth of the cup", "stand.cup.depth", Point{s.cup, s.floor}, Point{s.cup, s.top}},
			Dimension{Height, "height", "stand.height", Point{s.outer, 0}, Point{s.outer, s.top}})
		if s.rimApart {
			out = append(out, Dimension{Height, "outer wall", "", Point{s.outer, 0}, Point{s.outer, s.rim}})
		} else {
			out = append(out, Dimension{Height, "rim", "stand.rim.thickness", Point{s.outer, s.rim}, Point{s.outer, s.top}})
		}
	}
	middle := (s.floor + s.rim) / 2
	if n := len(s.wall); n > 1 {
		out = append(out, Dimension{Thickness, "skin", "stand.wall.skin", Point{s.wall[n-1].in, middle}, Point{s.outer, middle}},
			Dimension{Width, "cavity", "", Point{s.wall[n-2].out, middle}, Point{s.wall[n-1].in, middle}})
		if n > 2 {
			out = append(out, Dimension{Thickness, "partition", "stand.wall.partition", Point{s.wall[n-2].in, middle}, Point{s.wall[n-2].out, middle}})
		}
	}
	out = append(out, Dimension{Thickness, "bottom", "", Point{0, 0}, Point{0, s.base[0].high}})
	if len(s.pegs) > 0 && !s.cupApart {
		f := s.pegs[len(s.pegs)-1]
		out = append(out, Dimension{Height, "pegs", "stand.pegs.height", Point{f.Centre, f.Low}, Point{f.Centre, f.High}})
	}
	return out
}
