package solid

import (
	"math"
	"strings"

	"meltspan/design"
	"meltspan/quantity"
)

// Item is one line of the bill of parts. What does not apply is 0.
type Item struct {
	Kind     string  `json:"kind"` // printed, cut, filled, lined, glued, charge or load
	Name     string  `json:"name"`
	Count    int     `json:"count"`
	Material string  `json:"material,omitempty"`
	Mass     float64 `json:"mass_kg,omitempty"`   // of one, as designed
	Volume   float64 `json:"volume_m3,omitempty"` // of one; of a printed part, of the filament in it
	Area     float64 `json:"area_m2,omitempty"`
	Width    float64 `json:"width_m,omitempty"`
	Height   float64 `json:"height_m,omitempty"`
	File     string  `json:"file,omitempty"`
	Note     string  `json:"note,omitempty"`
}

// Bill lists what it takes to build the device: the parts to print, and what
// they do not hold themselves.
func Bill(d *design.Design, parts []Part) []Item {
	var out []Item
	apart := false
	for i := range parts {
		p := &parts[i]
		radius, high := p.Bounds()
		rho := density(d, p.Material)
		mass, _ := p.Weigh(rho)
		note := p.About
		if p.Turned {
			note += "; printed upside down, as it lies in the files"
		}
		if infill := infills(p, d); infill != "" {
			note += "; " + infill
		}
		out = append(out, Item{
			Kind: "printed", Name: p.Label, Count: p.Count, Material: p.Material, Mass: mass, Volume: p.Solid(),
			Width: 2 * radius, Height: high, File: p.Name + ".stl", Note: note,
		})
		apart = apart || p.Name == "shell"
	}
	out = append(out, insulation(d)...)
	rim := &d.Stand.Rim
	if rim.Gasket.SI > 0 {
		in, outer := d.Stand.Cup.Diameter.SI/2, min(d.Load.BottomPlate.Diameter.SI, d.Stand.OuterDiameter.SI)/2
		area := math.Pi * max(outer*outer-in*in, 0)
		out = append(out, Item{
			Kind: "cut", Name: "gasket", Count: 1, Material: rim.GasketMaterial, Area: area, Volume: area * rim.Gasket.SI,
			Mass: area * rim.Gasket.SI * density(d, rim.GasketMaterial), Width: 2 * outer, Height: rim.Gasket.SI,
			Note: "a ring on the rim, its hole as wide as the cup",
		})
	}
	if apart || d.Stand.Feet.Height.SI > 0 {
		out = append(out, Item{
			Kind: "glued", Name: "adhesive", Count: 1,
			Note: "for the joints between printed parts; waterproof, and one that the plastic takes (its maker's data sheet says)",
		})
	}
	return append(out, charge(d), load(d))
}

func infills(p *Part, d *design.Design) string {
	var words []string
	for _, c := range p.Cores {
		word := percent(c.Infill) + " infill"
		if len(words) == 0 || words[len(words)-1] != word {
			words = append(words, word)
		}
	}
	if len(words) == 0 {
		return ""
	}
	skin := d.Stand.Base.Skin.SI
	if d.Stand.Wall.Cavities == 0 {
		skin = d.Stand.Wall.Skin.SI
	}
	return strings.Join(words, " and ") + " inside skins of " + long(skin).String()
}

// insulation is what goes into the cavities before they are closed.
func insulation(d *design.Design) []Item {
	s, err := newStand(d)
	if err != nil {
		return nil
	}
	var out []Item
	var wall, base, wallFaces, baseFaces float64
	for i := 0; i+1 < len(s.wall); i++ {
		in, outer, high := s.wall[i].out, s.wall[i+1].in, s.rim-s.foot
		wall += math.Pi * (outer*outer - in*in) * high
		wallFaces += 2 * math.Pi * (in + outer) * high
	}
	for k := 0; k+1 < len(s.base); k++ {
		base += math.Pi * s.cup * s.cup * (s.base[k+1].low - s.base[k].high)
		baseFaces += 2 * math.Pi * s.cup * s.cup
	}
	add := func(where string, shell *design.Shell, volume, faces float64) {
		if shell.Cavities == 0 {
			return
		}
		if shell.Filling != design.FillingAir {
			out = append(out, Item{
				Kind: "filled", Name: "filling of the " + where, Count: 1, Material: shell.Filling, Volume: volume,
				Mass: volume * density(d, shell.Filling), Note: "put into the cavities before they are closed, as dense as the material's value says",
			})
		}
		if lined(d, shell) {
			out = append(out, Item{
				Kind: "lined", Name: "lining of the " + where, Count: 1, Material: "metal foil", Area: faces,
				Note: "bright face towards the air, on both sides of each cavity",
			})
		}
	}
	add("wall", &d.Stand.Wall, wall, wallFaces)
	add("base", &d.Stand.Base, base, baseFaces)
	return out
}

func charge(d *design.Design) Item {
	note := "weigh it"
	switch d.Store.Form {
	case design.FormBlock:
		note = "weigh the water, freeze it in the mould"
	case design.FormCubes, design.FormCrushed:
		note = "weigh it when it goes into the cup"
	}
	return Item{Kind: "charge", Name: d.Store.Substance + ", " + d.Store.Form, Count: 1, Mass: d.Store.Mass.SI, Note: note}
}

func load(d *design.Design) Item {
	i := Item{Kind: "load", Count: 1, Width: d.Load.BottomPlate.Diameter.SI, Note: "not printed"}
	switch l := &d.Load; {
	case l.Engine != nil:
		i.Name, i.Mass = "engine with its plates", l.Engine.Mass.SI
	case l.Generator != nil:
		i.Name = "thermoelectric generator between its plates"
	case l.Sample != nil:
		i.Name, i.Mass = "sample on its plate", l.Sample.Mass.SI
	default:
		i.Name = "plate with its heat source"
	}
	return i
}

func percent(x float64) string { return quantity.FormatIn(x, quantity.Fraction, "%", 2) }
