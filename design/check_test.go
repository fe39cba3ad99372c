package design

import (
	"strings"
	"testing"
)

// impossible are designs whose values are all in range and that cannot be.
var impossible = []struct {
	name, old, new string
	key            string
	what, right    string
}{
	{"cup wider than the body", "    diameter: 80 mm", "    diameter: ^116 mm", "stand.cup.diameter", "leaves no wall in a body of 116 mm", "less than 116 mm"},
	{"cup as deep as the body", "    depth: 28 mm", "    depth: ^38 mm", "stand.cup.depth", "38 mm deep in a body of only 38 mm", "less than 38 mm"},
	{"skins too thick", "    skin: 1.2 mm", "    skin: ^9 mm", "stand.wall.skin", "the wall has 18 mm; two skins of 9 mm", "thinner skins"},
	{"skins and partitions too thick", "    skin: 1.2 mm", "    skin: ^8 mm\n    partition: 2 mm\n    cavities: 2", "stand.wall.skin",
		"the wall has 18 mm; two skins of 8 mm and 1 partition of 2 mm need 18 mm and leave 0 mm for 2 cavities", "a wall of 18.2 mm at least"},
	{"infilled base thinner than its skins", "    skin: 1.2 mm", "    skin: 1.2 mm\n  base:\n    cavities: 0\n    skin: ^5.1 mm", "stand.base.skin", "the base has 10 mm; two skins of 5.1 mm need 10.2 mm", "up to 5 mm"},
	{"rim as high as the body", "    skin: 1.2 mm", "    skin: 1.2 mm\n  rim:\n    thickness: ^40 mm", "stand.rim.thickness", "whole height", "less than 38 mm"},
	{"ribs all round", "    skin: 1.2 mm", "    skin: 1.2 mm\n  ribs:\n    count: ^200\n    thickness: 2 mm", "stand.ribs.count", "200 ribs of 2 mm need 400 mm, and the cup is 251.3 mm round", "fewer"},
	{"pegs do not fit", "    skin: 1.2 mm", "    skin: 1.2 mm\n  pegs:\n    count: ^500\n    diameter: 4 mm", "stand.pegs.count", "500 pegs of 4 mm do not fit a floor of 80 mm", "at most 362"},
	{"peg wider than the cup", "    skin: 1.2 mm", "    skin: 1.2 mm\n  pegs:\n    count: 1\n    diameter: ^90 mm", "stand.pegs.diameter", "wider than the cup", "less than 80 mm"},
	{"pegs out of the cup", "    skin: 1.2 mm", "    skin: 1.2 mm\n  pegs:\n    count: 3\n    height: ^28 mm", "stand.pegs.height", "reach out of the cup", "less than 28 mm"},
	{"layer higher than a line is wide", "room:\n", "print:\n  layer_height: ^0.5 mm\nroom:\n", "print.layer_height", "a layer (0.5 mm) is higher than the line is wide (0.42 mm)", "up to 0.42 mm"},
	{"line too wide for its nozzle", "room:\n", "print:\n  line_width: ^1.2 mm\nroom:\n", "print.line_width", "a nozzle of 0.4 mm lays no line of 1.2 mm", "up to 1 mm"},

	{"block wider than the cup", "  mass: 110 g", "  mass: 110 g\n  diameter: ^81 mm", "store.diameter", "the block (81 mm) does not fit the cup (80 mm)", "up to 80 mm"},
	{"block far above the rim", "  mass: 110 g", "  mass: ^220 g\n  freezer: {mould_depth: 60 mm}", "store.mass", "above the rim", "up to"},
	{"gap below zero without contact", "    skin: 1.2 mm", "    skin: 1.2 mm\n  contact:\n    mode: no_contact\n    starting_gap: ^-1 mm", "stand.contact.starting_gap", "the gap is -1 mm", "0 mm or more"},
	{"plate smaller than the cup", "  bottom_plate:\n    diameter: 92 mm", "  bottom_plate:\n    diameter: ^80 mm", "load.bottom_plate.diameter", "would fall into the cup (80 mm)", "more than 80 mm"},
	{"melt that does not fit", "  mass: 110 g", "  mass: ^170 g", "store.mass", "melts to 170 ml, and cup and tray hold 140.7 ml", "a tray of 29.29 ml at least"},
	{"mould too small", "  mass: 110 g", "  mass: 110 g\n  freezer:\n    mould_depth: ^20 mm", "store.freezer.mould_depth", "the mould holds 98.03 ml", "22.45 mm at least"},
	{"cubes larger than the cup", "  substance: ice", "  substance: ice\n  form: cubes\n  edge: ^85 mm", "store.edge", "do not fit the cup", "less than 80 mm"},

	{"warm ice", "  temperature: -6 degC", "  temperature: ^5 degC", "store.temperature", "ice cannot be at 5 degC", "0 degC or less"},
	{"ice above its own melting point", "  temperature: -6 degC", "  temperature: ^-1 degC\n  melting_point: -2 degC", "store.temperature", "ice cannot be at -1 degC", "-2 degC or less"},
	{"freezing water", "  substance: ice\n  mass: 110 g\n  temperature: -6 degC", "  substance: water\n  mass: 110 g\n  temperature: ^-6 degC", "store.temperature", "water at -6 degC is ice", "write substance: ice"},
	{"freezing brine", "  substance: ice\n  mass: 110 g\n  temperature: -6 degC", "  substance: brine_10\n  mass: 110 g\n  temperature: ^-10 degC", "store.temperature", "begins to freeze at -6.6 degC", "-6.6 degC or more"},
	{"liquid ice", "  substance: ice", "  substance: ice\n  form: ^liquid", "store.form", "is no liquid", "block"},
	{"block of water", "  substance: ice\n  mass: 110 g\n  temperature: -6 degC", "  substance: water\n  form: ^block\n  mass: 110 g\n  temperature: 6 degC", "store.form", "is liquid, not block", "liquid"},
	{"too much water", "  substance: ice\n  mass: 110 g\n  temperature: -6 degC", "  substance: water\n  mass: ^150 g\n  temperature: 6 degC", "store.mass", "150 g of water stands", "up to 140.7 g"},

	{"start below stall", "  engine: {}", "  engine:\n    start_difference: ^5 K", "load.engine.start_difference", "would start at 5 K and stall at 6.5 K", "6.5 K or more"},
	{"ring wall fills the plate", "  engine: {}", "  engine:\n    ring_wall: ^46 mm", "load.engine.ring_wall", "leaves no chamber", "less than 46 mm"},
	{"chamber wider than the plate", "  engine: {}", "  engine:\n    chamber_diameter: ^90 mm", "load.engine.chamber_diameter", "wider than the plate (92 mm)", "up to 88 mm"},
	{"displacer wider than the chamber", "  engine: {}", "  engine:\n    displacer:\n      diameter: ^88 mm", "load.engine.displacer.diameter", "does not fit the chamber", "less than 88 mm"},
	{"displacer as thick as the chamber", "  engine: {}", "  engine:\n    displacer:\n      thickness: ^12 mm", "load.engine.displacer.thickness", "no room to move", "less than 12 mm"},
	{"screws all over", "  engine: {}", "  engine:\n    screws:\n      count: ^100\n      diameter: 10 mm", "load.engine.screws.count", "more than the plate", "fewer"},
}

func TestImpossibleDesignIsPlacedAndExplained(t *testing.T) {
	for _, m := range impossible {
		t.Run(m.name, func(t *testing.T) {
			text, line, column := spoil(t, m.old, m.new)
			for _, p := range problemsOf(t, text) {
				if p.Key == m.key && p.Line == line && p.Column == column && strings.Contains(p.What, m.what) && strings.Contains(p.Right, m.right) {
					return
				}
			}
			t.Errorf("want %d:%d %s %q, right %q; got\n%v", line, column, m.key, m.what, m.right, problemsOf(t, text))
		})
	}
}
