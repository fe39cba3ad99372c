package design

import (
	"fmt"
	"sync"

	"meltspan/quantity"
)

// preset is what a key is taken to be when the file leaves it out.
type preset struct {
	key    string // as in the "default" tags of the types
	text   string // as one would write it in the file
	origin quantity.Origin
	source string
}

const (
	common  = "common practice"
	chosen  = "the plainest case: nothing is there unless the design says so"
	scatter = "about the scatter that authors report for correlations of heat transfer; from memory, page not verified"
)

// presets is the one table of defaults. The spread is one standard
// uncertainty of the default as a guess at what stands on the user's bench.
var presets = []preset{
	{"plate.thickness", "2 mm +- 0.3 mm", quantity.Guessed, common + ": sheet metal plates of small engines are 1.5 to 3 mm"},
	{"plate.material", "aluminium", quantity.Guessed, common},
	{"plate.emissivity", "0.85 +- 0.1", quantity.Guessed, "painted or anodised face; Howell, Menguc and Siegel, Thermal Radiation Heat Transfer, appendix of emissivities, from memory, page not verified"},

	{"engine.stall_difference", "6.5 K +- 0.8 K", quantity.Guessed, common + ": engines of palm size stop between 5 and 8 K"},
	{"engine.intake_per_cycle", "0.01 J/K +- 50 %", quantity.Guessed,
		"judgement: the gas moved past the displacer in one turn holds some 0.04 J/K (about 30 ml at 1.2 kJ/(m3 K)), and a quarter of that is taken to be carried over for want of a regenerator"},
	{"engine.stall_speed", "20 rpm +- 30 %", quantity.Guessed, common},
	{"engine.speed_per_kelvin", "10 rpm +- 30 %", quantity.Guessed, common},
	{"engine.chamber_height", "12 mm +- 1 mm", quantity.Guessed, common},
	{"engine.ring_wall", "2 mm +- 0.3 mm", quantity.Guessed, common},
	{"engine.ring_material", "acrylic", quantity.Guessed, common},
	{"engine.screws.count", "4", quantity.Guessed, common},
	{"engine.screws.diameter", "3 mm +- 0.2 mm", quantity.Guessed, common},
	{"engine.screws.material", "nylon", quantity.Guessed, common + ": plastic screws, since metal ones short the engine"},
	{"engine.displacer.material", "ps_foam_sheet", quantity.Guessed, common},
	{"engine.power_swept_volume", "1.5 ml +- 30 %", quantity.Guessed, common},
	{"engine.dead_volume", "5 ml +- 40 %", quantity.Guessed, common},
	{"engine.mass", "150 g +- 30 g", quantity.Guessed, common},

	{"sample.specific_heat", "4.18 kJ/(kg K) +- 5 %", quantity.Handbook, "liquid water near 20 degC (IAPWS-95); the spread allows for what is dissolved in it"},

	{"store.packing", "60 % +- 6 %", quantity.Guessed, "loosely poured bodies fill 55 to 64 % of a bed (random loose to random close packing of spheres; Scott and Kilgour, Journal of Physics D 2 (1969) 863, from memory, page not verified)"},
	{"store.support", SupportFloats, quantity.Guessed, chosen},
	{"freezer.temperature", "-18 degC +- 2 K", quantity.Handbook, common + ": the set point of household freezers"},
	{"freezer.film", "10 W/(m2 K) +- 30 %", quantity.Guessed, common + ": still air in a cold store, radiation included"},
	{"freezer.water", "15 degC +- 3 K", quantity.Guessed, common + ": water from the tap"},

	{"stand.material", "pla", quantity.Guessed, common},
	{"shell.cavities", "1", quantity.Guessed, common + ": one air space"},
	{"shell.skin", "1.2 mm +- 0.05 mm", quantity.Guessed, common + ": three lines of a 0.4 mm nozzle"},
	{"shell.partition", "0.8 mm +- 0.05 mm", quantity.Guessed, common + ": two lines of a 0.4 mm nozzle"},
	{"shell.infill", "20 % +- 2 %", quantity.Guessed, common},
	{"shell.filling", FillingAir, quantity.Guessed, chosen},
	{"rim.thickness", "1.6 mm +- 0.1 mm", quantity.Guessed, common + ": eight layers of 0.2 mm"},
	{"rim.contact", "100 W/(m2 K) +- 60 %", quantity.Guessed, "judgement: plastic on metal under the engine's weight touches at few points, and some 0.2 mm of air lies between"},
	{"rim.gasket", "0 mm", quantity.Guessed, chosen},
	{"rim.gasket_material", "cork", quantity.Guessed, common},
	{"ribs.count", "0", quantity.Guessed, chosen},
	{"ribs.thickness", "0.8 mm +- 0.05 mm", quantity.Guessed, common + ": two lines of a 0.4 mm nozzle"},
	{"pegs.count", "0", quantity.Guessed, chosen},
	{"pegs.diameter", "4 mm +- 0.1 mm", quantity.Guessed, common},
	{"pegs.height", "2 mm +- 0.1 mm", quantity.Guessed, common},
	{"feet.height", "0 mm", quantity.Guessed, chosen},
	{"tray.capacity", "0 ml", quantity.Guessed, chosen},

	{"contact.mode", ContactOnRim, quantity.Guessed, common},
	{"contact.starting_gap", "0.5 mm +- 0.3 mm", quantity.Guessed, "judgement: about as fine as a plate is set by hand"},
	{"contact.wet_coefficient", "400 W/(m2 K) +- 50 %", quantity.Guessed, "judgement: a water film of about 1 mm between a plate and a rough melting face of 80 mm, some 1 to 2 W/K"},
	{"contact.retained_film", "0.05 kg/m2 +- 50 %", quantity.Guessed, "judgement: hanging drops cover part of the plate, 0.05 mm of water in the mean"},

	{"room.humidity", "50 % +- 10 %", quantity.Guessed, common + ": indoors"},
	{"room.air_speed", "0.1 m/s +- 50 %", quantity.Guessed, "indoor air without a draught; ISO 7730 names 0.1 to 0.2 m/s for comfort, from memory, page not verified"},
	{"room.sun", "0 W/m2", quantity.Guessed, chosen},
	{"room.sun_absorptivity", "0.6 +- 0.15", quantity.Guessed, common + ": a face neither black nor white"},
	{"room.pressure", "101.325 kPa +- 2 kPa", quantity.Handbook, "standard atmosphere (ISO 2533); the spread is that of weather and of low hills"},

	{"print.nozzle", "0.4 mm", quantity.Guessed, common},
	{"print.layer_height", "0.2 mm", quantity.Guessed, common + ": half of the nozzle"},
	{"print.wall_lines", "3", quantity.Guessed, common + ": walls that are to hold water"},
	{"print.outer_speed", "40 mm/s +- 25 %", quantity.Guessed, common + ": outer lines are run slowly for their looks; quick printers run three times that"},
	{"print.fill_speed", "60 mm/s +- 25 %", quantity.Guessed, common + ": in the mean over short and long lines; quick printers run three times that"},
	{"print.travel_share", "12 % +- 4 %", quantity.Guessed, common},
	{"print.layer_change", "2 s +- 1 s", quantity.Guessed, common},
	{"print.preparation", "5 min +- 2 min", quantity.Guessed, common},
	{"print.bed.width", "220 mm", quantity.Guessed, common + ": a desktop printer of middle size"},
	{"print.bed.depth", "220 mm", quantity.Guessed, common + ": a desktop printer of middle size"},
	{"print.bed.height", "250 mm", quantity.Guessed, common + ": a desktop printer of middle size"},
	{"print.clearance", "0.2 mm +- 0.05 mm", quantity.Guessed, common + ": parts that slide into each other by hand"},
	{"print.chord_error", "0.02 mm", quantity.Guessed, "judgement: a tenth of a layer, and the volume of a small cup right to some 0.1 %"},
	{"print.overhang", "45 deg +- 5 deg", quantity.Guessed, common},
	{"print.bridge", "15 mm +- 5 mm", quantity.Guessed, common + ": with the fan on"},
	{"print.watertight_wall", "0.8 mm +- 0.2 mm", quantity.Guessed, common + ": two lines side by side"},

	{"model.side_film", "1 +- 10 %", quantity.Handbook, scatter},
	{"model.top_film", "1 +- 20 %", quantity.Handbook, scatter},
	{"model.cavity", "1 +- 20 %", quantity.Handbook, scatter},
	{"model.radiation", "1 +- 5 %", quantity.Handbook, "judgement: the surroundings are neither black nor at one temperature"},
	{"model.vapour", "1 +- 15 %", quantity.Handbook, scatter},
	{"model.pool", "1 +- 30 %", quantity.Handbook, scatter},
	{"model.table", "1 +- 40 %", quantity.Handbook, "judgement: the table is not known"},
	{"model.gap", "1 +- 10 %", quantity.Handbook, scatter},
	{"model.bypass", "1 +- 20 %", quantity.Handbook, "judgement: printed bodies are not as drawn"},

	{"model.still", "1 +- 50 %", quantity.Guessed, "judgement: the parts of an engine that nobody has measured (clearances, gas that the displacer stirs, screws); no published conductance of a palm-size engine was found"},
	{"model.infill", "1 +- 20 %", quantity.Guessed, "judgement: bounds of composites leave about that much between pattern and pattern"},

	{"material.emissivity", "0.9 +- 0.05", quantity.Handbook, "non-metals lie between 0.85 and 0.95; Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, Table A.11, from memory, page not verified"},
	{"material.layer_ratio", "1", quantity.Guessed, chosen},
}

// FillingAir is the filling of a cavity that holds nothing but air.
const FillingAir = "air"

// presetIndex finds the entries of the table by key.
var presetIndex = sync.OnceValue(func() map[string]*preset {
	index := make(map[string]*preset, len(presets))
	for i := range presets {
		index[presets[i].key] = &presets[i]
	}
	return index
})

// presetValues are the quantities of the table, read once.
var presetValues = sync.OnceValue(func() map[string]quantity.Value {
	values := map[string]quantity.Value{}
	collect := func(f *field) {
		p := presetIndex()[f.preset]
		if p == nil || f.shape != shapeQuantity {
			return
		}
		v, err := quantity.Parse(p.text, f.kind)
		if err != nil { // the table is part of the program; a test reads it all
			panic(fmt.Sprintf("design: default %s: %v", p.key, err))
		}
		v.Origin, v.Source = p.origin, p.source
		values[p.key] = v
	}
	eachField(layout(), collect)
	return values
})

// eachField visits every key that a design can have, present or not.
func eachField(s *section, visit func(f *field)) {
	for i := range s.fields {
		visit(&s.fields[i])
		if s.fields[i].section != nil {
			eachField(s.fields[i].section, visit)
		}
	}
}
