package printing

import (
	"math"

	"meltspan/design"
)

// Value is an estimate with one standard uncertainty, SI.
type Value struct {
	Value  float64 `json:"value"`
	Spread float64 `json:"spread"`
}

// Estimate is what the printing of one part takes.
type Estimate struct {
	Part    string  `json:"part"`
	Count   int     `json:"count"`
	Height  float64 `json:"height_m"`
	Layers  int     `json:"layers"`
	Volume  float64 `json:"volume_m3"`  // of the part as a closed solid, cavities taken off
	Surface float64 `json:"surface_m2"` // all that meets air, in cavities too
	Plastic Value   `json:"plastic_m3"` // less than the volume where there is infill
	Mass    Value   `json:"mass_kg"`    // of the filament
	Time    Value   `json:"time_s"`

	OuterLines float64 `json:"outer_lines_m"` // length of the lines along faces
	OtherLines float64 `json:"other_lines_m"` // and of all others

	Cautions []string `json:"cautions,omitempty"`
}

// Nominal estimates the stand's body in one piece, without spreads: quick
// enough for a search. The design must be complete and checked.
func Nominal(d *design.Design) Estimate {
	return standShape(d).Estimate("stand", 1, d.MaterialByName(d.Stand.Material).Density.SI, &d.Print)
}

// Estimate estimates a number of parts of one shape, printed together, of a
// material of that density, kg/m3. Height and Layers are those of one, Volume,
// Surface and all else of all together.
func (s Shape) Estimate(part string, count int, density float64, p *design.Print) Estimate {
	n := float64(count)
	e := Estimate{Part: part, Count: count, Height: s.height(), Surface: n * s.surface()}
	volume, plastic := s.volume()
	e.Volume, e.Plastic.Value = n*volume, n*plastic
	e.Mass.Value = e.Plastic.Value * density
	e.Layers = int(math.Ceil(e.Height/p.LayerHeight.SI - 1e-6))
	for _, l := range s {
		_, area := l.area()
		lines := area / p.LineWidth.SI
		outer := min(l.edges(), lines)
		layers := n * l.height() / p.LayerHeight.SI
		e.OuterLines += layers * outer
		e.OtherLines += layers * (lines - outer)
	}
	moving := e.OuterLines/p.OuterSpeed.SI + e.OtherLines/p.FillSpeed.SI
	e.Time.Value = p.Preparation.SI + float64(e.Layers)*p.LayerChange.SI + moving/(1-p.TravelShare.SI)
	return e
}

// Of estimates the stand's body in one piece, with spreads.
func Of(d *design.Design) Estimate {
	e := WithSpreads(d, func(d *design.Design) []Estimate { return []Estimate{Nominal(d)} })[0]
	e.Cautions = Cautions(d)
	return e
}

// WithSpreads completes estimates by their spreads: those of the design's
// values, each moved by one standard uncertainty and taken together in
// quadrature as independent, and of the model. A part that a moved design does
// not have keeps what the others say. The design must be complete and checked.
func WithSpreads(d *design.Design, nominal func(*design.Design) []Estimate) []Estimate {
	out := nominal(d)
	for _, path := range uncertain(d) {
		moved := d.Clone()
		get, err := design.Accessor(path)
		if err != nil { // the paths are those of a design
			panic("printing: " + err.Error())
		}
		v := get(moved)
		v.SI += v.Spread
		moved.Rederive()
		for _, m := range nominal(moved) {
			for i := range out {
				if e := &out[i]; e.Part == m.Part {
					e.Plastic.Spread = math.Hypot(e.Plastic.Spread, m.Plastic.Value-e.Plastic.Value)
					e.Mass.Spread = math.Hypot(e.Mass.Spread, m.Mass.Value-e.Mass.Value)
					e.Time.Spread = math.Hypot(e.Time.Spread, m.Time.Value-e.Time.Value)
				}
			}
		}
	}
	for i := range out {
		e := &out[i]
		e.Mass.Spread = math.Hypot(e.Mass.Spread, FlowError*e.Mass.Value)
		e.Time.Spread = math.Hypot(e.Time.Spread, ModelError*(e.Time.Value-d.Print.Preparation.SI))
	}
	return out
}
