package solid

import (
	"errors"
	"fmt"
	"math"

	"meltspan/design"
)

// ring is one solid ring of the wall, m from the axis.
type ring struct{ in, out float64 }

// slab is one solid layer of the base, m over the underside.
type slab struct{ low, high float64 }

// stand gathers what the pieces of the stand's body need from one another.
type stand struct {
	d *design.Design

	cup, outer float64 // radii
	floor      float64 // height of the cup's floor
	rim, top   float64 // underside and top of the rim
	foot       float64 // top of the lowest layer, up to which the wall is closed
	wall       []ring  // from the cup outwards; one ring when there is no cavity
	base       []slab  // from the table upwards; one slab when there is no cavity
	clearance  float64
	width      float64 // of a line

	cupApart, rimApart bool
	cores              []Core // where wall or base are infilled
	pegs               []Feature
	drains             *Feature
}

// Sections works out the printed parts of a design, the stand's body first. It
// fails on a design whose pegs find no place; everything else that a checked
// design can state has a section.
func Sections(d *design.Design) ([]Part, error) {
	s, err := newStand(d)
	if err != nil {
		return nil, err
	}
	parts := s.pieces()
	if d.Stand.Feet.Height.SI > 0 {
		parts = append(parts, s.feet())
	}
	if d.Stand.Tray.Capacity.SI > 0 {
		parts = append(parts, s.tray())
	}
	parts = append(parts, s.lid())
	if frozenInMould(d) {
		parts = append(parts, s.mould())
	}
	return parts, nil
}

func newStand(d *design.Design) (*stand, error) {
	s := &stand{
		d: d, cup: d.Stand.Cup.Diameter.SI / 2, outer: d.Stand.OuterDiameter.SI / 2,
		floor: d.Stand.BaseThickness(), top: d.Stand.Height.SI, rim: d.Stand.Height.SI - d.Stand.RimHeight(),
		clearance: d.Print.Clearance.SI, width: d.Print.LineWidth.SI,
	}
	if s.outer <= s.cup || s.floor <= 0 || s.rim <= s.floor {
		return nil, errors.New("solid: the body leaves no room for wall, base or rim")
	}
	s.cutWall()
	s.cutBase()
	s.decideSplit()
	s.addDrains()
	if err := s.ribsFit(); err != nil {
		return nil, err
	}
	return s, s.addPegs()
}

// cutWall turns the wall's layers into rings.
func (s *stand) cutWall() {
	r := s.cup
	for _, l := range s.d.Stand.Wall.Layers(s.outer - s.cup) {
		if l.Infilled {
			// The core between the skins, up to the rim and down to the foot.
			core := rectangle("infilled wall", false, r, r+l.Thickness, 0, s.top)
			s.cores = append(s.cores, Core{core, s.d.Stand.Wall.Infill.SI})
		}
		if n := len(s.wall); n > 0 && s.d.Stand.Wall.Cavities == 0 {
			s.wall[n-1].out = r + l.Thickness
		} else {
			s.wall = append(s.wall, ring{r, r + l.Thickness})
		}
		r += l.Thickness + l.Cavity
	}
	s.wall[len(s.wall)-1].out = s.outer // against rounding
}

// cutBase turns the base's layers, which count downwards, into slabs.
func (s *stand) cutBase() {
	layers := s.d.Stand.Base.Layers(s.floor)
	z := s.floor
	for i, l := range layers {
		low := z - l.Thickness
		if i == len(layers)-1 {
			low, s.foot = 0, z // against rounding
		}
		if l.Infilled {
			core := rectangle("infilled base", false, 0, s.cup, low, z)
			s.cores = append(s.cores, Core{core, s.d.Stand.Base.Infill.SI})
		}
		if i > 0 && s.d.Stand.Base.Cavities == 0 {
			s.base[0].low = low
		} else {
			s.base = append([]slab{{low, z}}, s.base...)
		}
		z = low - l.Cavity
	}
	// The infill of the wall ends at the closed rows of foot and rim.
	for i := range s.cores {
		if s.cores[i].Loop.Name == "infilled wall" {
			for k := range s.cores[i].Loop.Points {
				p := &s.cores[i].Loop.Points[k]
				p.Z = min(max(p.Z, s.foot), s.rim)
			}
		}
	}
}

// decideSplit says which pieces the body is printed in. It is whole where every
// roof over a cavity is short enough to be bridged and nothing has to be put into
// the cavities before they close.
func (s *stand) decideSplit() {
	bridge, st := s.d.Print.Bridge.SI, &s.d.Stand
	filled := func(shell *design.Shell) bool {
		return shell.Cavities > 0 && (shell.Filling != design.FillingAir || lined(s.d, shell))
	}
	wide := st.Wall.Cavities > 0 && st.Wall.CavityWidth(s.outer-s.cup) > bridge
	// The cup comes out with the wall's innermost skin, so there must be one.
	s.cupApart = st.Wall.Cavities > 0 && st.Base.Cavities > 0 && (2*s.cup > bridge || filled(&st.Base))
	s.rimApart = s.cupApart || filled(&st.Wall) || wide
}

// lined reports whether a shell's cavities are brighter than its material
// prints: somebody has to line them with foil.
func lined(d *design.Design, shell *design.Shell) bool {
	return shell.Emissivity.SI < d.MaterialByName(d.Stand.Material).Emissivity.SI-foilContrast
}

// foilContrast is how much less than the printed face a lining emits: paints and
// plastics differ by less, metal foils by more (common practice).
const foilContrast = 0.2

// leadIn is the chamfer, at 45 degrees, on edges over which parts are slid
// (common practice: about a line).
const leadIn = 0.4e-3 // m

// mouth is the chamfer at the mouth of the cup: small beside the rim and the
// skin it is cut from.
func (s *stand) mouth() float64 {
	return min(leadIn, (s.top-s.rim)/4, (s.wall[0].out-s.wall[0].in)/3)
}

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

// ribsFit checks that the ribs leave cavities between them.
func (s *stand) ribsFit() error {
	ribs := &s.d.Stand.Ribs
	if ribs.Count == 0 || len(s.wall) < 2 {
		return nil
	}
	half, in := ribs.Thickness.SI/2, s.wall[0].out
	most := in * math.Sin(math.Pi/float64(ribs.Count)) // half of the way from rib to rib
	if ribs.Count == 1 {
		most = in
	}
	if least := leastCavity; half > most-least/2 {
		return &Fault{
			"stand.ribs", fmt.Sprintf("%d ribs of %s leave no cavity between them", ribs.Count, long(2*half)),
			"fewer ribs, or up to " + long(2*most-least) + " thick",
		}
	}
	return nil
}

// leastCavity is the least width of what is left between two ribs, m (common
// practice: about two lines).
const leastCavity = 1e-3

// ribs bridge the cavities of the wall from foot to rim.
func (s *stand) ribs() []Feature {
	ribs := &s.d.Stand.Ribs
	if ribs.Count == 0 {
		return nil
	}
	var out []Feature
	for i := 0; i+1 < len(s.wall); i++ {
		f := Feature{
			Kind: Rib, Count: ribs.Count, Thickness: ribs.Thickness.SI, In: s.wall[i].out, Out: s.wall[i+1].in,
			Low: s.foot, High: s.rim, Meaning: "rib across a cavity of the wall",
		}
		if i == 0 && s.cupApart {
			lower := f
			lower.High = s.base[1].low
			// Beside the cup they stop short of it, and so hold it in the middle.
			f.Low = lower.High
			f.In += s.clearance
			f.Meaning = "rib that centres the cup"
			out = append(out, lower)
		}
		out = append(out, f)
	}
	return out
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

// pads locate the rim ring inside the outermost skin, between the ribs.
func (s *stand) pads() (Feature, bool) {
	last := len(s.wall) - 1
	f := Feature{Kind: Pad, Count: 3, Out: s.wall[last].in - s.clearance, Thickness: padWidth, Meaning: "pad that centres the rim ring"}
	f.In = f.Out - 2*s.width
	if last == 0 || f.In < s.wall[last-1].out+s.clearance+leadIn+s.width || s.rim-s.foot < 2*padHeight {
		return f, false
	}
	if n := s.d.Stand.Ribs.Count; n > 0 {
		switch { // between the ribs
		case n <= 2:
			f.Phase = math.Pi / 3 / float64(n)
		case n%3 == 0:
			f.Phase = math.Pi / float64(n)
		case n%4 == 0:
			f.Count, f.Phase = 4, math.Pi/float64(n)
		default:
			f.Count, f.Phase = n, math.Pi/float64(n)
		}
		f.Thickness = min(padWidth, (2*math.Pi*f.In/float64(n)-s.d.Stand.Ribs.Thickness.SI)/2)
	}
	f.Thickness = min(f.Thickness, f.In)
	return f, true
}

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
