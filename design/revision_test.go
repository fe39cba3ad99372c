package design

import (
	"regexp"
	"testing"
)

func TestRevisionIgnoresSpelling(t *testing.T) {
	plain := with(t, "name: bench", "name: bench").Revision()
	if !regexp.MustCompile(`^[0-9a-f]{12}$`).MatchString(plain) {
		t.Errorf("%q", plain)
	}
	for _, same := range []struct{ old, new string }{
		{"name: bench", "name: another bench # a comment"},
		{"  outer_diameter: 116 mm", "  outer_diameter: 11.6 cm"},
		{"  humidity: 55 %", "  humidity: 0.55"},
		{"  temperature: -6 degC", "  temperature: 267.15 K"},
		{"  mass: 110 g", "  mass: \"0.110 kg\"\n  form: block"},
		{"  engine: {}", "  engine: {stall_difference: 6.5 K +- 0.8 K}"},
		{"  height: 38 mm", "  height: 38 mm\n  material: PLA"},
		{"  height: 38 mm", "  height: 38 mm\n  pegs: {diameter: 9 mm}"}, // there are none
		{"  engine: {}", "  engine: {mass: 300 g}"},                      // rests on the rim
		{"  temperature: -6 degC", "  temperature: -6 degC\n  melting_point: 0 degC +- 0 K"},
		{"room:\n", "print: {nozzle: 0.4 mm, fill_speed: 90 mm/s, bed: {width: 180 mm}, wall_lines: 2, clearance: 0.2 mm}\nroom:\n"},
	} {
		if got := with(t, same.old, same.new).Revision(); got != plain {
			t.Errorf("%q makes a difference", same.new)
		}
	}
}

func TestRevisionFollowsMeaning(t *testing.T) {
	plain := with(t, "name: bench", "name: bench").Revision()
	for _, other := range []struct{ old, new string }{
		{"  outer_diameter: 116 mm", "  outer_diameter: 116.1 mm"},
		{"    skin: 1.2 mm", "    skin: 1.2 mm +- 0.2 mm"},
		{"    skin: 1.2 mm", "    skin: 1.2 mm\n    cavities: 2"},
		{"    depth: 28 mm", "    depth: 28 mm\n    drains: true"},
		{"  height: 38 mm", "  height: 38 mm\n  material: petg"},
		{"  substance: ice", "  substance: ice\n  support: held"},
		{"  substance: ice", "  substance: ice\n  latent_heat: 330 kJ/kg"},
		{"  substance: ice", "  substance: ice\n  melting_point: -0.05 degC"},
		{"room:\n", "materials:\n  - {name: pla, density: 1200 kg/m3}\nroom:\n"},
		{"  engine: {}", "  leak: {power: 1 W, limit: 8 degC}"},
		{"room:\n", "print: {clearance: 0.3 mm}\nroom:\n"},
		{"room:\n", "print: {nozzle: 0.6 mm}\nroom:\n"},
	} {
		if got := with(t, other.old, other.new).Revision(); got == plain {
			t.Errorf("%q makes no difference", other.new)
		}
	}
}
