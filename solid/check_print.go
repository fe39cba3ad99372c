package solid

import (
	"math"
	"slices"

	"meltspan/quantity"
)

// face is an edge of a section that looks down while it is printed.
type face struct {
	from, to  Point // in the part's own section, from nearer the axis
	closed    bool  // in a closed cavity, out of reach
	flat      bool
	lean      float64 // of the overhang from the vertical, rad
	span      float64 // m, of what is flat
	supported bool    // at both sides
}

// overhanging lists the faces that look down and do not lie on the bed.
func (p *Part) overhanging() []face {
	_, high := p.Bounds()
	up := func(z float64) float64 {
		if p.Turned {
			return high - z
		}
		return z
	}
	var out []face
	for _, l := range p.Loops {
		points := slices.Clone(l.Points)
		if p.Turned { // keep material to the left
			slices.Reverse(points)
		}
		n := len(points)
		for i, a := range points {
			b := points[(i+1)%n]
			dr, dz := b.R-a.R, up(b.Z)-up(a.Z)
			// Material to the left of an edge that runs outwards lies above it.
			if dr <= 1e-9 || up(a.Z) < 1e-9 && up(b.Z) < 1e-9 {
				continue
			}
			f := face{from: a, to: b, closed: l.Void, lean: math.Atan2(dr, math.Abs(dz))}
			if math.Abs(dz) < 1e-9 {
				before, after := points[(i+n-1)%n], points[(i+2)%n]
				inner := up(before.Z) < up(a.Z)-1e-9 && before.R < a.R+1e-6
				outer := up(after.Z) < up(b.Z)-1e-9
				f.flat, f.span = true, dr
				f.supported = inner && outer
				if a.R < 1e-9 { // a disc spans its whole diameter
					f.span, f.supported = 2*b.R, outer
				}
			}
			out = append(out, f)
		}
	}
	return out
}

// ledge is how far a flat face may stand out over nothing, in lines (common
// practice).
const ledge = 1.5

// overReach is how far beyond its limit a bridge still may come out with care
// (common practice).
const overReach = 1.5

func (c *checker) overhangs(p *Part) {
	limit, bridge := c.d.Print.Overhang.SI, c.d.Print.Bridge.SI
	found := false
	for _, f := range p.overhanging() {
		at := Point{(f.from.R + f.to.R) / 2, (f.from.Z + f.to.Z) / 2}
		reach := "print it with support, and take that out"
		verdict := Look
		if f.closed {
			reach, verdict = "support could never be taken out of the closed cavity", Fails
		}
		switch {
		case !f.flat && f.lean <= limit+1e-9:
			continue
		case !f.flat:
			c.find(CheckOverhang, p.Name, verdict, &at, f.lean, limit, "a face leans %s from the vertical, and %s prints in the air: %s",
				angle(f.lean), angle(limit), reach)
		case !f.supported && f.span <= ledge*c.d.Print.LineWidth.SI:
			continue
		case !f.supported:
			c.find(CheckOverhang, p.Name, verdict, &at, f.span, ledge*c.d.Print.LineWidth.SI,
				"a flat face stands out %s with nothing below its edge: %s", long(f.span), reach)
		case f.span <= bridge+1e-9:
			c.find(CheckOverhang, p.Name, Fine, &at, f.span, bridge, "a roof of %s is bridged in the air; up to %s is", long(f.span), long(bridge))
		case f.span <= overReach*bridge:
			c.find(CheckOverhang, p.Name, Look, &at, f.span, bridge, "a roof of %s is to be bridged, and up to %s prints well: slow, with the fan on, or a trial piece first",
				long(f.span), long(bridge))
		default:
			c.find(CheckOverhang, p.Name, verdict, &at, f.span, bridge, "a roof of %s cannot be bridged, up to %s can: %s", long(f.span), long(bridge), reach)
		}
		found = true
	}
	if !found {
		c.find(CheckOverhang, p.Name, Fine, nil, 0, limit, "nothing hangs over%s", turnedWords(p))
	}
}

func turnedWords(p *Part) string {
	if p.Turned {
		return ", printed upside down as in the file"
	}
	return ""
}

func angle(si float64) string { return quantity.FormatIn(si, quantity.Angle, "deg", 2) }

func (c *checker) cavities(p *Part) {
	for _, l := range p.Loops {
		if !l.Void {
			continue
		}
		shell := &c.d.Stand.Wall
		if l.Points[0].R < 1e-9 {
			shell = &c.d.Stand.Base
		}
		at := middle(l.Points)
		switch {
		case shell.Filling != "air":
			c.find(CheckCavity, p.Name, Fails, &at, 0, 0, "the %s closes in print and cannot be filled with %s", l.Name, shell.Filling)
		case lined(c.d, shell):
			c.find(CheckCavity, p.Name, Fails, &at, 0, 0, "the %s closes in print and cannot be lined", l.Name)
		default:
			air := p.air(l)
			c.find(CheckCavity, p.Name, Fine, &at, air, 0, "the %s traps %s of air and nothing else; have no infill or support put into it", l.Name, volume(air))
		}
	}
}

// air is what a closed cavity holds beside ribs and tubes, m3.
func (p *Part) air(l Loop) float64 {
	v := -Revolved(l.Points)
	low, high := l.Points[0], l.Points[2] // opposite corners of the rectangle
	for i := range p.Features {
		f := &p.Features[i]
		inside := f.Low >= low.Z-1e-9 && f.High <= high.Z+1e-9
		if f.Kind == Rib && inside && math.Abs(f.In-low.R) < 1e-9 || f.Kind == Tube && inside && f.Centre < high.R {
			v -= f.Area() * (f.High - f.Low)
		}
	}
	return v
}

// joined says what the cavities of a body in pieces hold once it is glued.
func (c *checker) joined(parts []*Part) {
	if named(parts, "rim") == nil {
		return
	}
	c.find(CheckCavity, "", Fine, nil, 0, 0, "the cavities of the wall%s stay open until the parts are glued: let them dry first, for what is closed in is %s from then on",
		map[bool]string{true: " and the base", false: ""}[named(parts, "cup") != nil], c.d.Stand.Wall.Filling)
}

func middle(points []Point) Point {
	var m Point
	for _, p := range points {
		m.R += p.R / float64(len(points))
		m.Z += p.Z / float64(len(points))
	}
	return m
}

func (c *checker) bed(p *Part) {
	radius, high := p.Bounds()
	bed := &c.d.Print.Bed
	least := min(bed.Width.SI, bed.Depth.SI)
	switch {
	case 2*radius > least+1e-9:
		c.find(CheckBed, p.Name, Fails, &Point{radius, 0}, 2*radius, least, "it is %s wide, and the bed %s by %s", long(2*radius), long(bed.Width.SI), long(bed.Depth.SI))
	case high > bed.Height.SI+1e-9:
		c.find(CheckBed, p.Name, Fails, &Point{0, high}, high, bed.Height.SI, "it is %s high, and the printer builds up to %s", long(high), long(bed.Height.SI))
	default:
		c.find(CheckBed, p.Name, Fine, nil, 2*radius, least, "%s wide and %s high fits", long(2*radius), long(high))
	}
}
