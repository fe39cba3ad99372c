package solid

import "math"

// thinnest is the least thickness of material in a section, and where: from
// points along every outline straight into the material to the next outline.
// Chamfers and edges shorter than short are passed over: they taper on purpose.
func (p *Part) thinnest() (least float64, at Point) {
	least = math.Inf(1)
	radius, _ := p.Bounds()
	for _, l := range p.Loops {
		for i, a := range l.Points {
			b := l.Points[(i+1)%len(l.Points)]
			size := math.Hypot(b.R-a.R, b.Z-a.Z)
			if size < short || a.R < grid && b.R < grid {
				continue
			}
			in := Point{-(b.Z - a.Z) / size, (b.R - a.R) / size} // material lies to the left
			for _, f := range []float64{0.02, 0.25, 0.5, 0.75, 0.98} {
				from := Point{a.R + f*(b.R-a.R), a.Z + f*(b.Z-a.Z)}
				if d := p.inwards(from, in, 2*radius); d < least {
					least, at = d, Point{from.R + in.R*d/2, from.Z + in.Z*d/2}
				}
			}
		}
	}
	return least, at
}

// short edges are chamfers and leads, m.
const short = 0.7e-3

// inwards is the way from a point of an outline along a direction to the next
// outline; far when the axis comes first.
func (p *Part) inwards(from, way Point, far float64) float64 {
	least := far
	for _, l := range p.Loops {
		for i, a := range l.Points {
			b := l.Points[(i+1)%len(l.Points)]
			if a.R < grid && b.R < grid {
				continue // the axis is no outline
			}
			// from + t way = a + s (b - a)
			u := Point{b.R - a.R, b.Z - a.Z}
			det := way.R*-u.Z + u.R*way.Z
			if math.Abs(det) < 1e-15 {
				continue
			}
			w := Point{a.R - from.R, a.Z - from.Z}
			t := (w.R*-u.Z + u.R*w.Z) / det
			s := (way.R*w.Z - way.Z*w.R) / det
			if t > 1e-7 && s > -1e-9 && s < 1+1e-9 {
				least = min(least, t)
			}
		}
	}
	return least
}

// watertight parts hold water.
var watertight = map[string]bool{"stand": true, "cup": true, "tray": true, "mould": true}

// fewestLayers is how many layers a floor needs that holds water (common
// practice).
const fewestLayers = 3

func (c *checker) walls(p *Part) {
	nozzle, line, tight := c.d.Print.Nozzle.SI, c.d.Print.LineWidth.SI, c.d.Print.WatertightWall.SI
	least, at := p.thinnest()
	what := "wall"
	for i := range p.Features {
		f := &p.Features[i]
		size := f.Thickness
		switch f.Kind {
		case Peg:
			size = f.Diameter
		case Pad, Rib:
			if f.Kind == Pad {
				size = min(size, f.Out-f.In)
			}
		default:
			continue
		}
		if size < least {
			least, what = size, f.Kind
			at = Point{max((f.In+f.Out)/2, f.Centre), (f.Low + f.High) / 2}
		}
	}
	wet := watertight[p.Name] || p.Name == "shell" && c.holdsStore(p)
	switch {
	case least < nozzle-1e-9:
		c.find(CheckWall, p.Name, Fails, &at, least, nozzle, "the thinnest %s is %s, and the nozzle lays no line thinner than %s", what, long(least), long(nozzle))
	case wet && what == "wall" && least < tight-1e-9:
		c.find(CheckWall, p.Name, Fails, &at, least, tight, "the thinnest wall is %s, and holds water from %s on", long(least), long(tight))
	case wet && what == "wall" && least < fewestLayers*c.d.Print.LayerHeight.SI-1e-9:
		c.find(CheckWall, p.Name, Look, &at, least, fewestLayers*c.d.Print.LayerHeight.SI,
			"the thinnest wall is %s, less than %d layers: it may seep", long(least), fewestLayers)
	case least < line-1e-9:
		c.find(CheckWall, p.Name, Look, &at, least, line, "the thinnest %s is %s, less than a line of %s: it prints wider or is left out", what, long(least), long(line))
	default:
		limit := line
		if wet {
			limit = tight
		}
		c.find(CheckWall, p.Name, Fine, &at, least, limit, "the thinnest %s is %s", what, long(least))
	}
}

// holdsStore reports whether the shell still has the cup in it.
func (c *checker) holdsStore(p *Part) bool {
	_, high := p.Bounds()
	return high > c.d.Stand.Height.SI-1e-9
}
