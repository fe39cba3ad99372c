package design

import (
	"fmt"
	"path"
	"strings"
	"sync"

	"meltspan/quantity"
)

// spreadRule says how well a value is known that the user states without a
// spread: "35 mm" printed is 35 mm to a tenth.
type spreadRule struct {
	match  string // path as path.Match reads it, or "*" for every path
	kind   quantity.Kind
	spread string // of the same kind as the value's spread, or in per cent of the value
	source string
}

const exact = "a choice of the user's, not a measurement"

// spreadRules is read from the top; the first match holds.
var spreadRules = []spreadRule{
	{"load.*.limit", quantity.Temperature, "0 K", exact},
	{"load.generator.least_difference", quantity.TemperatureDifference, "0 K", exact},
	{"envelope.*", quantity.Length, "0 mm", exact},
	{"stand.outer_diameter", quantity.Length, "0 mm", "an outside size is as printed; 0.1 mm on it changes nothing"},
	{"stand.height", quantity.Length, "0 mm", "an outside size is as printed; 0.1 mm on it changes nothing"},
	{"print.clearance", quantity.Length, "0.05 mm", common + ": a filament printer"},
	{"print.*", quantity.Length, "0 mm", "a setting or a limit of the user's choice"},
	{"print.bed.*", quantity.Length, "0 mm", exact},
	{"stand.contact.starting_gap", quantity.Length, "0.3 mm", common + ": set by eye"},
	{"stand.*.skin", quantity.Length, "0.05 mm", common + ": a few lines of a filament printer"},
	{"stand.*.partition", quantity.Length, "0.05 mm", common + ": a few lines of a filament printer"},
	{"stand.ribs.thickness", quantity.Length, "0.05 mm", common + ": a few lines of a filament printer"},
	{"store.edge", quantity.Length, "10 %", common + ": cubes differ"},
	{"*", quantity.Length, "0.1 mm", common + ": parts off a filament printer, or read off a calliper"},

	{"store.mass", quantity.Mass, "0.5 g", common + ": a kitchen scale"},
	{"load.engine.mass", quantity.Mass, "5 g", common + ": a kitchen scale"},
	{"*", quantity.Mass, "1 g", common + ": a kitchen scale"},

	{"store.temperature", quantity.Temperature, "1.5 K", "judgement: a charge warms unevenly between freezer and stand"},
	{"store.freezer.*", quantity.Temperature, "2 K", "judgement: freezers swing about their set point"},
	{"store.melting_point", quantity.Temperature, "0.3 K", common + ": data sheets"},
	{"room.temperature", quantity.Temperature, "0.5 K", common + ": a household thermometer"},
	{"*", quantity.Temperature, "1 K", common},

	{"load.engine.*", quantity.TemperatureDifference, "10 %", "judgement: found by trying"},
	{"*", quantity.TemperatureDifference, "0.5 K", common + ": a household thermometer"},

	{"load.engine.still_conductance", quantity.ThermalConductance, "25 %", "judgement: seldom measured well"},
	{"load.generator.*", quantity.ThermalConductance, "10 %", common + ": scatter between modules of one make"},
	{"*", quantity.ThermalConductance, "30 %", "judgement: contacts seldom repeat better"},
	{"*", quantity.HeatPerCycle, "30 %", "judgement: seldom measured"},
	{"load.engine.stall_speed", quantity.Frequency, "10 %", common + ": counted turns"},
	{"*", quantity.Frequency, "20 %", "judgement: a slope drawn through counted turns"},
	{"*", quantity.SeebeckCoefficient, "10 %", common + ": scatter between modules of one make"},
	{"*", quantity.ElectricResistance, "5 %", common},
	{"load.engine.power_swept_volume", quantity.Volume, "5 %", common + ": from bore and stroke"},
	{"load.engine.dead_volume", quantity.Volume, "20 %", "judgement: seldom measured"},
	{"*", quantity.Volume, "5 %", common + ": a kitchen measure"},
	{"*", quantity.Area, "5 %", common + ": from a ruler"},
	{"*", quantity.Power, "5 %", common + ": a household meter"},

	{"stand.contact.wet_coefficient", quantity.HeatTransferCoefficient, "50 %", "judgement: as for its default"},
	{"stand.rim.contact", quantity.HeatTransferCoefficient, "50 %", "judgement: contacts seldom repeat better"},
	{"*", quantity.HeatTransferCoefficient, "30 %", "judgement"},
	{"*", quantity.MassPerArea, "50 %", "judgement: as for its default"},

	{"*", quantity.ThermalConductivity, "10 %", common + ": data sheets of plastics"},
	{"*", quantity.SpecificHeat, "5 %", common + ": data sheets"},
	{"*", quantity.LatentHeat, "5 %", common + ": data sheets"},
	{"*", quantity.Density, "3 %", common + ": data sheets"},

	{"room.humidity", quantity.Fraction, "4 %", common + ": a household hygrometer"},
	{"room.sun_absorptivity", quantity.Fraction, "10 %", "judgement"},
	{"stand.*.infill", quantity.Fraction, "2 %", common + ": slicers round"},
	{"store.packing", quantity.Fraction, "5 %", "judgement"},
	{"materials.*.layer_ratio", quantity.Fraction, "10 %", "judgement"},
	{"model.*", quantity.Fraction, "10 %", "judgement: a factor that somebody fitted"},
	{"print.travel_share", quantity.Fraction, "4 %", "judgement: it differs from part to part"},
	{"*", quantity.Fraction, "0.05", common + ": tables of emissivity"},

	{"print.*", quantity.Velocity, "15 %", "judgement: a printer slows at corners and on short lines"},
	{"*", quantity.Velocity, "50 %", "judgement: draughts come and go"},
	{"*", quantity.HeatFlux, "20 %", "judgement: clouds and windows"},
	{"load.engine.charge_pressure", quantity.Pressure, "2 %", common},
	{"*", quantity.Pressure, "0.5 kPa", common + ": a household barometer"},
	{"print.*", quantity.Time, "20 %", "judgement: seldom timed"},
	{"*", quantity.Angle, "0 deg", exact},
	{"*", quantity.Time, "30 min", "judgement: when the room is warmest"},
}

// parsedRule is a rule with its spread in SI, either relative or absolute.
type parsedRule struct {
	*spreadRule
	relative bool
	amount   float64
}

var parsedRules = sync.OnceValue(func() []parsedRule {
	rules := make([]parsedRule, len(spreadRules))
	for i := range spreadRules {
		s := &spreadRules[i]
		kind := s.kind
		if kind == quantity.Temperature {
			kind = quantity.TemperatureDifference
		}
		// Per cent of a fraction are plain parts of one, not of its value.
		relative := strings.HasSuffix(s.spread, " %") && kind != quantity.Fraction
		if relative {
			kind = quantity.Fraction
		}
		v, err := quantity.Parse(s.spread, kind)
		if err != nil { // the table is part of the program; a test reads it all
			panic(fmt.Sprintf("design: spread of %s %s: %v", s.match, s.kind, err))
		}
		rules[i] = parsedRule{s, relative, v.SI}
	}
	return rules
})

// findSpread returns the rule for a path, nil when none is meant for it.
func findSpread(at string, kind quantity.Kind) *parsedRule {
	rules := parsedRules()
	for i := range rules {
		if rules[i].kind != kind {
			continue
		}
		if rules[i].match == "*" {
			return &rules[i]
		}
		// The patterns are part of the program and well formed.
		if ok, _ := path.Match(strings.ReplaceAll(rules[i].match, ".", "/"), strings.ReplaceAll(at, ".", "/")); ok {
			return &rules[i]
		}
	}
	return nil
}

// statedSpread is the standard uncertainty, in SI, of a value stated without
// one, and where it comes from.
func statedSpread(at string, kind quantity.Kind, si float64) (spread float64, source string) {
	rule := findSpread(at, kind)
	if rule == nil {
		return 0, ""
	}
	spread = rule.amount
	if rule.relative {
		spread *= abs(si)
	}
	return spread, "stated; spread " + rule.spread + ": " + rule.source
}
