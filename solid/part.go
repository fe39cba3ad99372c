package solid

import "math"

// Point is a place in a section, m from the axis and from the part's underside.
type Point struct {
	R float64 `json:"radius_m"`
	Z float64 `json:"height_m"`
}

// Loop is a closed outline in the section; the last point joins the first. An
// outline of material runs counter-clockwise (radius to the right, height up),
// that of a cavity, Void, clockwise.
type Loop struct {
	Name   string
	Void   bool
	Points []Point
}

// The kinds of features.
const (
	Rib   = "rib"   // upright, with parallel sides along a radius
	Peg   = "peg"   // upright round pin
	Drain = "drain" // upright round hole
	Tube  = "tube"  // upright round wall about a drain; the drain itself stands beside it
	Pad   = "pad"   // upright, with parallel sides, joined to the part at its foot only
)

// Feature is what a part has several times round its axis.
type Feature struct {
	Kind      string
	Count     int
	Phase     float64 // angle of the first, rad; the others follow evenly
	Centre    float64 // of round ones, m from the axis
	Diameter  float64 // of round ones, m
	Thickness float64 // across, of ribs and pads, m
	In, Out   float64 // radial extent of ribs and pads, m
	Low, High float64 // heights, m
	Meaning   string
}

// Void reports whether the feature takes material away.
func (f *Feature) Void() bool { return f.Kind == Drain }

// Area is the cross-section of all of them together, m2.
func (f *Feature) Area() float64 {
	switch f.Kind {
	case Peg, Drain, Tube:
		return float64(f.Count) * math.Pi / 4 * f.Diameter * f.Diameter
	}
	// Parallel sides between two circles: the circles' curvature enters alike
	// at both ends, to a part in (thickness/radius)^2/24.
	return float64(f.Count) * f.Thickness * (f.Out - f.In)
}

// angle is where the feature with number i stands, rad.
func (f *Feature) angle(i int) float64 { return f.Phase + 2*math.Pi*float64(i)/float64(f.Count) }

// The kinds of dimensions.
const (
	Diameter  = "diameter"
	Height    = "height"
	Thickness = "thickness"
	Width     = "width"
)

// Dimension is one size of the section and what it means.
type Dimension struct {
	Kind     string
	Name     string // in words
	Key      string // of the design that it follows; "" when the printed part needs it only
	From, To Point  // of a diameter, To has the negative radius
}

// Value is the distance between the two points, m.
func (d Dimension) Value() float64 { return math.Hypot(d.From.R-d.To.R, d.From.Z-d.To.Z) }

// Part is one printed piece.
type Part struct {
	Name       string // short, for files
	Label      string // in words
	About      string // what it is for, and how it goes together
	Material   string
	Count      int     // how many are printed
	Lift       float64 // of its underside over the underside of the stand, m
	Turned     bool    // printed upside down
	Cores      []Core  // regions between skins that are printed with an infill
	Simulated  bool    // belongs to the section that the models use
	Loops      []Loop
	Features   []Feature
	Dimensions []Dimension
}

// Core is a region of a part's material that is printed with an infill.
type Core struct {
	Loop   Loop
	Infill float64 // solid share
}

// Bounds are the part's largest radius and its height, m.
func (p *Part) Bounds() (radius, height float64) {
	for _, l := range p.Loops {
		for _, q := range l.Points {
			radius, height = max(radius, q.R), max(height, q.Z)
		}
	}
	for i := range p.Features {
		height = max(height, p.Features[i].High)
	}
	return radius, height
}

// Revolved is the volume, m3, that a loop sweeps round the axis, positive
// counter-clockwise: Pappus's second theorem, 2 pi times the first moment of
// the area about the axis, by the trapezoids below the edges.
func Revolved(points []Point) float64 {
	var sum float64
	for i, a := range points {
		b := points[(i+1)%len(points)]
		sum += (a.R*a.R + a.R*b.R + b.R*b.R) * (b.Z - a.Z) / 3
	}
	return math.Pi * sum
}

// Volume is that of the part's material without regard to infill, m3: loops
// and features of the section, in closed form.
func (p *Part) Volume() float64 {
	var v float64
	for _, l := range p.Loops {
		v += Revolved(l.Points)
	}
	for i := range p.Features {
		f := &p.Features[i]
		part := f.Area() * (f.High - f.Low)
		switch {
		case f.Void():
			v -= part
		default:
			v += part
		}
	}
	return v
}

// Solid is the volume that is filled with filament, m3: the material's, less
// what the infill leaves empty.
func (p *Part) Solid() float64 {
	v := p.Volume()
	for _, c := range p.Cores {
		v -= (1 - c.Infill) * Revolved(c.Loop.Points)
	}
	return v
}

// rectangle is an outline, counter-clockwise, or a cavity, clockwise.
func rectangle(name string, void bool, in, out, low, high float64) Loop {
	points := []Point{{in, low}, {out, low}, {out, high}, {in, high}}
	if void {
		points = []Point{{in, low}, {in, high}, {out, high}, {out, low}}
	}
	return Loop{name, void, points}
}

// tidy drops points that repeat the one before.
func tidy(points []Point) []Point {
	var out []Point
	for _, p := range points {
		if n := len(out); n > 0 && math.Hypot(out[n-1].R-p.R, out[n-1].Z-p.Z) < 1e-9 {
			continue
		}
		out = append(out, p)
	}
	return out
}
