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

// Nominal estimates the stand's body without spreads: quick enough for a
// search. The design must be complete and checked.
func Nominal(d *design.Design) Estimate {
	return nominal("stand", standShape(d), d)
}

func nominal(part string, s shape, d *design.Design) Estimate {
	p := &d.Print
	e := Estimate{Part: part, Height: s.height(), Surface: s.surface()}
	e.Volume, e.Plastic.Value = s.volume()
	e.Mass.Value = e.Plastic.Value * d.MaterialByName(d.Stand.Material).Density.SI
	e.Layers = int(math.Ceil(e.Height/p.LayerHeight.SI - 1e-6))
	for _, l := range s {
		_, area := l.area()
		lines := area / p.LineWidth.SI
		outer := min(l.edges(), lines)
		layers := l.height() / p.LayerHeight.SI
		e.OuterLines += layers * outer
		e.OtherLines += layers * (lines - outer)
	}
	moving := e.OuterLines/p.OuterSpeed.SI + e.OtherLines/p.FillSpeed.SI
	e.Time.Value = p.Preparation.SI + float64(e.Layers)*p.LayerChange.SI + moving/(1-p.TravelShare.SI)
	return e
}

// Of estimates the stand's body: spreads are those of the design's values,
// each moved by one standard uncertainty and taken together in quadrature as
// independent, and of the model. The design must be complete and checked.
func Of(d *design.Design) Estimate {
	e := Nominal(d)
	plastic, mass, time := 0.0, 0.0, 0.0
	for _, path := range uncertain(d) {
		moved := d.Clone()
		get, err := design.Accessor(path)
		if err != nil { // the paths are those of a design
			panic("printing: " + err.Error())
		}
		v := get(moved)
		v.SI += v.Spread
		moved.Rederive()
		m := Nominal(moved)
		plastic = math.Hypot(plastic, m.Plastic.Value-e.Plastic.Value)
		mass = math.Hypot(mass, m.Mass.Value-e.Mass.Value)
		time = math.Hypot(time, m.Time.Value-e.Time.Value)
	}
	e.Plastic.Spread = plastic
	e.Mass.Spread = math.Hypot(mass, FlowError*e.Mass.Value)
	e.Time.Spread = math.Hypot(time, ModelError*(e.Time.Value-d.Print.Preparation.SI))
	e.Cautions = cautions(d)
	return e
}
