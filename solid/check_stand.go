package solid

import (
	"math"

	"meltspan/design"
	"meltspan/quantity"
)

// weight is a mass and the height of its middle over the underside of the stand.
type weight struct {
	what         string
	mass, height float64 // kg, m
}

// firstMoment is that of a revolved outline about its z = 0, m4: pi times the
// integral of r^2 z dz along the outline, a cubic on each edge, so that
// Simpson's rule is exact.
func firstMoment(points []Point) float64 {
	var sum float64
	for i, a := range points {
		b := points[(i+1)%len(points)]
		m := Point{(a.R + b.R) / 2, (a.Z + b.Z) / 2}
		at := func(p Point) float64 { return p.R * p.R * p.Z }
		sum += (at(a) + 4*at(m) + at(b)) / 6 * (b.Z - a.Z)
	}
	return math.Pi * sum
}

// Weigh is the part's mass, kg, and the height of its centre of gravity over its
// underside, m, for a density in kg/m3.
func (p *Part) Weigh(density float64) (mass, height float64) {
	volume, moment := p.Solid(), 0.0
	for _, l := range p.Loops {
		moment += firstMoment(l.Points)
	}
	for _, c := range p.Cores {
		moment -= (1 - c.Infill) * firstMoment(c.Loop.Points)
	}
	for i := range p.Features {
		f := &p.Features[i]
		v := f.Area() * (f.High - f.Low)
		if f.Void() {
			v = -v
		}
		moment += v * (f.Low + f.High) / 2
	}
	return density * volume, moment / volume
}

// weights are what stands on the bench in a trial: stand, charge and load.
func (c *checker) weights(parts []*Part) []weight {
	d := c.d
	var out []weight
	for _, p := range parts {
		if !p.Simulated && p.Name != "foot" {
			continue
		}
		m, h := p.Weigh(d.MaterialByName(p.Material).Density.SI)
		out = append(out, weight{p.Label, float64(p.Count) * m, p.Lift + h})
	}
	floor := d.Stand.BaseThickness()
	out = append(out, weight{"charge", d.Store.Mass.SI, floor + d.StoreTop() - d.StoreHeight()/2})
	plate := d.Stand.Height.SI + d.Stand.Rim.Gasket.SI
	if d.Stand.Contact.Mode != design.ContactOnRim {
		plate = max(floor+d.StoreTop()+d.Stand.Contact.StartingGap.SI, floor)
	}
	lower := &d.Load.BottomPlate
	if e := d.Load.Engine; e != nil {
		return append(out, weight{"engine", e.Mass.SI, plate + lower.Thickness.SI + e.ChamberHeight.SI/2})
	}
	disc := func(p *design.Plate) float64 {
		return math.Pi / 4 * p.Diameter.SI * p.Diameter.SI * p.Thickness.SI * d.MaterialByName(p.Material).Density.SI
	}
	out = append(out, weight{"lower plate", disc(lower), plate + lower.Thickness.SI/2})
	if p := d.Load.TopPlate; p != nil {
		out = append(out, weight{"upper plate", disc(p), plate + lower.Thickness.SI + p.Thickness.SI})
	}
	if s := d.Load.Sample; s != nil {
		// Of a body that is not described, its own width for height.
		out = append(out, weight{"sample", s.Mass.SI, plate + lower.Thickness.SI + math.Sqrt(s.ExposedArea.SI)/2})
	}
	return out
}

// Angles of tipping: a device that is nudged by hand should stand up to the first
// and does not stand below the second (judgement; furniture and appliances are
// tested at 10 degrees, common practice).
const (
	steadyTilt = 20 * math.Pi / 180
	leastTilt  = 10 * math.Pi / 180
)

// tipping checks how far the loaded stand can lean before it falls over the edge
// of its base, or the line between two of its feet.
func (c *checker) tipping(parts []*Part) {
	var mass, moment float64
	for _, w := range c.weights(parts) {
		mass, moment = mass+w.mass, moment+w.mass*w.height
	}
	feet := c.d.Stand.Feet.Height.SI
	high := moment/mass + feet
	reach := c.d.Stand.OuterDiameter.SI / 2
	on := "its base"
	if p := named(parts, "foot"); p != nil {
		r, _ := p.Bounds()
		reach = (reach - r) / 2 // three feet: half of their circle's radius, and more where a foot has width
		on = "three feet near its edge"
	}
	tilt := math.Atan2(reach, high)
	at := &Point{0, high - feet}
	words := "centre of gravity %s over the bench (%s in all, charge and load on it): on %s it tips over at %s"
	weighed := quantity.Format(mass, quantity.Mass, 3)
	switch {
	case tilt < leastTilt:
		c.find(CheckTipping, "", Fails, at, tilt, leastTilt, words+"; a wider base is right", long(high), weighed, on, angle(tilt))
	case tilt < steadyTilt:
		c.find(CheckTipping, "", Look, at, tilt, steadyTilt, words+": put it where nobody nudges it", long(high), weighed, on, angle(tilt))
	default:
		c.find(CheckTipping, "", Fine, at, tilt, steadyTilt, words, long(high), weighed, on, angle(tilt))
	}
}
