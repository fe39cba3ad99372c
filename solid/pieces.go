package solid

// pieces are those of the body.
func (s *stand) pieces() []Part {
	shell := s.shell()
	if !s.rimApart {
		return []Part{shell}
	}
	out := []Part{shell}
	if s.cupApart {
		for k := 1; k < len(s.base)-1; k++ {
			out = append(out, s.tub(k))
		}
		out = append(out, s.insert())
	}
	return append(out, s.rimRing())
}

// shell is the body, or what is left of it when cup and rim are apart.
func (s *stand) shell() Part {
	p := Part{
		Name: "stand", Label: "stand", About: "the insulated body, printed in one piece", Material: s.d.Stand.Material,
		Count: 1, Simulated: true, Cores: s.cores,
	}
	if s.rimApart {
		p.Name, p.Label = "shell", "outer shell"
		p.About = "outer wall and bottom of the stand; fill or line its cavities, then close them with the rim ring"
	}
	if s.cupApart {
		p.About = "outer wall and bottom of the stand; the cup drops in from above"
	}
	outline := []Point{{0, 0}, {s.outer, 0}}
	switch {
	case !s.rimApart:
		k := s.mouth()
		outline = append(outline, Point{s.outer, s.top}, Point{s.cup + k, s.top}, Point{s.cup, s.top - k})
	default:
		for i := len(s.wall) - 1; i > 0; i-- {
			outline = append(outline, Point{s.wall[i].out, s.rim}, Point{s.wall[i].in, s.rim},
				Point{s.wall[i].in, s.foot}, Point{s.wall[i-1].out, s.foot})
		}
		if !s.cupApart {
			k := s.mouth()
			outline = append(outline, Point{s.wall[0].out, s.top}, Point{s.cup + k, s.top}, Point{s.cup, s.top - k})
		}
	}
	if s.cupApart {
		ledge := s.base[1].low
		outline = append(outline, Point{s.wall[0].out, ledge}, Point{s.cup, ledge}, Point{s.cup, s.foot}, Point{0, s.foot})
		p.Loops = []Loop{{"body", false, tidy(outline)}}
	} else {
		outline = append(outline, Point{s.cup, s.floor}, Point{0, s.floor})
		p.Loops = []Loop{{"body", false, tidy(outline)}}
		for k := 0; k+1 < len(s.base); k++ {
			p.Loops = append(p.Loops, rectangle("cavity of the base", true, 0, s.cup, s.base[k].high, s.base[k+1].low))
		}
		p.Features = append(p.Features, s.pegs...)
	}
	if !s.rimApart {
		for i := 0; i+1 < len(s.wall); i++ {
			p.Loops = append(p.Loops, rectangle("cavity of the wall", true, s.wall[i].out, s.wall[i+1].in, s.foot, s.rim))
		}
	}
	p.Features = append(p.Features, s.ribs()...)
	p.Features = append(p.Features, s.drained(s.standFloor())...)
	p.Dimensions = s.dimensions(&p)
	return p
}

// standFloor is up to where the drains of the shell reach.
func (s *stand) standFloor() float64 {
	if s.cupApart {
		return s.base[1].low
	}
	return s.floor
}

// tub is one partition of the base with the ring that carries what lies above.
func (s *stand) tub(k int) Part {
	lift := s.base[k].low
	thick, high := s.base[k].high-lift, s.base[k+1].low-lift
	out := s.wall[0].out
	p := Part{
		Name: "partition", Label: "partition of the base", About: "stands on the ring below it, under the cup; glue it in",
		Material: s.d.Stand.Material, Count: 1, Lift: lift, Simulated: true,
		Loops: []Loop{{"partition", false, []Point{{0, 0}, {out, 0}, {out, high}, {s.cup, high}, {s.cup, thick}, {0, thick}}}},
	}
	if len(s.base) > 3 {
		p.Name += "-" + string(rune('0'+k))
	}
	if s.drains != nil {
		hole := *s.drains
		hole.Low, hole.High = 0, high
		p.Features = append(p.Features, s.tube(thick, high), hole)
	}
	p.Dimensions = []Dimension{
		across("outside", "", out, 0), across("inside", "stand.cup.diameter", s.cup, high),
		{Height, "height", "", Point{out, 0}, Point{out, high}},
		{Thickness, "partition", "stand.base.partition", Point{0, 0}, Point{0, thick}},
	}
	return p
}

// insert is the cup with the wall's innermost skin.
func (s *stand) insert() Part {
	top := s.base[len(s.base)-1]
	lift, out, k := top.low, s.wall[0].out, s.mouth()
	floor, high := s.floor-lift, s.top-lift
	p := Part{
		Name: "cup", Label: "cup", About: "drops into the outer shell and holds the store; glue it to the ledge all round",
		Material: s.d.Stand.Material, Count: 1, Lift: lift, Simulated: true,
		Loops: []Loop{{"cup", false, tidy([]Point{{0, 0}, {out, 0}, {out, high}, {s.cup + k, high}, {s.cup, high - k}, {s.cup, floor}, {0, floor}})}},
	}
	for _, f := range s.pegs {
		f.Low, f.High = f.Low-lift, f.High-lift
		p.Features = append(p.Features, f)
	}
	if s.drains != nil {
		hole := *s.drains
		hole.Low, hole.High = 0, floor
		p.Features = append(p.Features, hole)
		p.About += ", and to the tops of the drain tubes"
	}
	p.Dimensions = []Dimension{
		across("cup", "stand.cup.diameter", s.cup, high-k), across("outside", "", out, 0),
		{Height, "height", "", Point{out, 0}, Point{out, high}},
		{Height, "depth of the cup", "stand.cup.depth", Point{s.cup, floor}, Point{s.cup, high}},
		{Thickness, "floor", "stand.base.skin", Point{0, 0}, Point{0, floor}},
		{Thickness, "skin", "stand.wall.skin", Point{s.cup, high / 2}, Point{out, high / 2}},
	}
	if len(s.pegs) > 0 {
		f := s.pegs[len(s.pegs)-1]
		p.Dimensions = append(p.Dimensions, Dimension{Height, "pegs", "stand.pegs.height", Point{f.Centre, floor}, Point{f.Centre, f.High - lift}})
	}
	return p
}

// padHeight is how far the rim ring's pads reach into the shell, and padWidth
// how wide they are at most, m (common practice for locating pads).
const (
	padHeight = 2e-3
	padWidth  = 8e-3
)

// rimRing closes the cavities of the wall. It slides over the innermost skin,
// which reaches the top, so that the cup holds water without any joint.
func (s *stand) rimRing() Part {
	in, high := s.wall[0].out+s.clearance, s.top-s.rim
	k := min(leadIn, high/3)
	p := Part{
		Name: "rim", Label: "rim ring",
		About:    "slides over the cup's skin and closes the cavities; its pads go inside the outer skin; glue it on all round",
		Material: s.d.Stand.Material, Count: 1, Lift: s.rim, Turned: true, Simulated: true,
		Loops: []Loop{{"rim ring", false, []Point{{in + k, 0}, {s.outer, 0}, {s.outer, high}, {in, high}, {in, k}}}},
	}
	if pads, ok := s.pads(); ok {
		p.Lift -= padHeight
		for i := range p.Loops[0].Points {
			p.Loops[0].Points[i].Z += padHeight
		}
		pads.High = padHeight
		p.Features = []Feature{pads}
	}
	low := s.rim - p.Lift
	p.Dimensions = []Dimension{
		across("outside", "stand.outer_diameter", s.outer, low), across("bore", "", in, low+high),
		{Height, "rim", "stand.rim.thickness", Point{s.outer, low}, Point{s.outer, low + high}},
	}
	return p
}
