package design

import "meltspan/quantity"

// Print is how the stand is printed, and what the printer can do. What the
// filament weighs is the density of the stand's material.
type Print struct {
	Nozzle         quantity.Value `yaml:"nozzle" kind:"length" default:"print.nozzle" range:"[0.1 mm, 2 mm]" about:"bore of the nozzle"`
	LineWidth      quantity.Value `yaml:"line_width" kind:"length" range:"[0.1 mm, 5 mm]" about:"width of a printed line; 1.05 of the nozzle when absent"`
	LayerHeight    quantity.Value `yaml:"layer_height" kind:"length" default:"print.layer_height" range:"[0.02 mm, 2 mm]" about:"height of a layer"`
	WallLines      int            `yaml:"wall_lines" default:"print.wall_lines" range:"[1, 50]" about:"lines run along each face of the part before the rest is filled"`
	OuterSpeed     quantity.Value `yaml:"outer_speed" kind:"velocity" default:"print.outer_speed" range:"[1 mm/s, 1 m/s]" about:"mean speed along the outermost line"`
	FillSpeed      quantity.Value `yaml:"fill_speed" kind:"velocity" default:"print.fill_speed" range:"[1 mm/s, 1 m/s]" about:"mean speed along all other lines, inner walls and infill"`
	TravelShare    quantity.Value `yaml:"travel_share" kind:"fraction" default:"print.travel_share" range:"[0 %, 80 %]" about:"share of the time in which the nozzle moves and prints nothing"`
	LayerChange    quantity.Value `yaml:"layer_change" kind:"time" default:"print.layer_change" range:"[0 s, 5 min]" about:"time from one layer to the next"`
	Preparation    quantity.Value `yaml:"preparation" kind:"time" default:"print.preparation" range:"[0 s, 2 h]" about:"warming up and levelling before the first layer"`
	Bed            Bed            `yaml:"bed" about:"the space in which the printer builds"`
	Clearance      quantity.Value `yaml:"clearance" kind:"length" default:"print.clearance" range:"[0 mm, 5 mm]" about:"gap all round between printed parts that fit into each other, on the radius"`
	ChordError     quantity.Value `yaml:"chord_error" kind:"length" default:"print.chord_error" range:"[0.001 mm, 2 mm]" about:"how far the flat faces of the model may lie from the round they stand for"`
	Overhang       quantity.Value `yaml:"overhang" kind:"angle" default:"print.overhang" range:"[0 deg, 85 deg]" about:"largest lean of an overhanging face from the vertical that prints without support"`
	Bridge         quantity.Value `yaml:"bridge" kind:"length" default:"print.bridge" range:"[0 mm, 500 mm]" about:"longest span that prints in the air between two sides"`
	WatertightWall quantity.Value `yaml:"watertight_wall" kind:"length" default:"print.watertight_wall" range:"(0 mm, 20 mm]" about:"thinnest printed wall that holds water"`
}

// Bed is the space in which the printer builds.
type Bed struct {
	Width  quantity.Value `yaml:"width" kind:"length" default:"print.bed.width" range:"(0 mm, 5 m]" about:"from left to right"`
	Depth  quantity.Value `yaml:"depth" kind:"length" default:"print.bed.depth" range:"(0 mm, 5 m]" about:"from front to back"`
	Height quantity.Value `yaml:"height" kind:"length" default:"print.bed.height" range:"(0 mm, 5 m]" about:"highest part"`
}

// shapesPart lists the keys of the print section that change what is printed;
// the others say how, how finely it is drawn, or what is checked.
var shapesPart = map[string]bool{"print.line_width": true, "print.clearance": true}

// usualPrint reports whether a key of the print section has no part in the
// revision: it changes nothing about the part, or it is as the default. So the
// revisions of designs from before there was such a section still hold.
func usualPrint(path string, f *field, v quantity.Value) bool {
	switch {
	case !shapesPart[path]:
		return true
	case path == "print.line_width":
		usual := lineOverNozzle * presetValues()["print.nozzle"].SI
		return abs(v.SI-usual) <= 1e-9*usual
	}
	return v.SI == presetValues()[f.preset].SI
}

// print checks that the lines can be printed at all.
func (c *checker) print() {
	p := &c.d.Print
	if p.LayerHeight.SI > p.LineWidth.SI+slack {
		c.fault("print.layer_height", "a layer ("+mm(p.LayerHeight.SI)+") is higher than the line is wide ("+mm(p.LineWidth.SI)+")",
			"up to "+mm(p.LineWidth.SI)+"; half of the nozzle is usual")
	}
	if widest := widestLine * p.Nozzle.SI; p.LineWidth.SI > widest+slack {
		c.fault("print.line_width", "a nozzle of "+mm(p.Nozzle.SI)+" lays no line of "+mm(p.LineWidth.SI), "up to "+mm(widest))
	}
}

// Ratios of printed lines to the nozzle's bore.
const (
	lineOverNozzle = 1.05 // common practice
	widestLine     = 2.5  // common practice: beyond about twice, lines tear
)
