// Package designtest draws random valid designs for property tests.
package designtest

import (
	"fmt"
	"math"
	"strings"

	"pgregory.net/rapid"

	"meltspan/design"
)

// Valid draws a design that reads, completes and checks without a fault, over
// all loads, substances, forms, supports, contact modes, and walls with none
// to four cavities.
func Valid(t *rapid.T) *design.Design {
	text := Text(t)
	d, err := design.Parse("random.yaml", []byte(text), nil)
	if err != nil {
		t.Fatalf("the generator wrote a design that is not valid:\n%v\n%s", err, text)
	}
	return d
}

// Text draws the file of such a design.
func Text(t *rapid.T) string {
	g := &generator{t: t}
	g.line(0, "meltspan: 1")
	g.line(0, "name: random")
	g.chooseStore()
	g.load()
	g.store()
	g.stand()
	g.room()
	if g.maybe("own material") {
		g.line(0, "materials:")
		g.line(1, "- name: pla")
		g.line(2, "conductivity: %s W/(m K)", g.tenths("pla conductivity", 1, 4))
	}
	if g.maybe("model") {
		g.line(0, "model:")
		g.line(1, "cavity: 1.2 +- 10 %%")
	}
	return g.text.String()
}

// generator writes a design line by line. Lengths are in mm, masses in g.
type generator struct {
	t    *rapid.T
	text strings.Builder

	kind                      charge
	form, mode                string
	cup, depth                float64 // inside diameter and depth of the cup
	block                     float64 // diameter of a block
	mass, temperature, volume float64 // of the charge; volume in ml as it is at the start
	pegs                      int
	pegHeight                 float64
	drains                    bool
	tray                      float64 // ml
}

const pegDiameter = 3.0

// charge is a substance in a state, with its temperature range and densities
// in g/ml, rounded; the margins below allow for the rounding.
type charge struct {
	substance string
	frozen    bool
	low, high int // degC
	density   float64
	melted    float64
}

var charges = []charge{
	{"ice", true, -20, 0, 0.918, 1.0},
	{"water", false, 1, 10, 1.0, 1.0},
	{"water", false, 50, 90, 0.975, 1.0},
	{"brine_10", false, -5, 5, 1.077, 1.077},
	{"octadecane", true, 5, 25, 0.85, 0.78},
	{"paraffin", false, 65, 85, 0.76, 0.78},
}

func (g *generator) line(level int, format string, args ...any) {
	g.text.WriteString(strings.Repeat("  ", level))
	fmt.Fprintf(&g.text, format, args...)
	g.text.WriteByte('\n')
}

func (g *generator) between(label string, low, high int) float64 {
	return float64(rapid.IntRange(low, high).Draw(g.t, label))
}

// tenths draws a number from low/10 to high/10 as text.
func (g *generator) tenths(label string, low, high int) string {
	return fmt.Sprintf("%.1f", g.between(label, low, high)/10)
}

func (g *generator) maybe(label string) bool { return rapid.Bool().Draw(g.t, label) }

func (g *generator) pick(label string, words ...string) string {
	return rapid.SampledFrom(words).Draw(g.t, label)
}

// chooseStore settles charge and cup together, so that the charge fits.
func (g *generator) chooseStore() {
	g.kind = rapid.SampledFrom(charges).Draw(g.t, "charge")
	g.mode = g.pick("mode", design.ContactPressed, design.ContactOnRim, design.ContactNone)
	g.form = design.FormLiquid
	if g.kind.frozen {
		g.form = g.pick("form", design.FormBlock, design.FormCubes, design.FormCrushed)
	}
	g.temperature = g.between("store temperature", g.kind.low, g.kind.high)
	g.cup = g.between("cup diameter", 40, 130)
	g.block = g.cup - g.between("block clearance", 1, 4)
	g.mass = g.between("mass", 30, 400)
	g.volume = g.mass / g.kind.density
	if g.maybe("pegs") {
		g.pegs = int(g.between("peg count", 3, 20))
		g.pegHeight = g.between("peg height", 1, 5)
	}
	g.drains = g.form != design.FormLiquid && g.maybe("drains")

	top := g.top()
	gap := g.between("gap", 1, 8)
	if g.form != design.FormLiquid && g.mode != design.ContactNone && top > 15 && g.maybe("proud") {
		gap = -gap
	}
	// Two per cent of height cover the rounding of the densities.
	g.depth = max(math.Ceil((top*1.02+gap)*10)/10, g.pegHeight+2)
	g.tray = g.between("tray", 0, 50)
	if melted := g.mass / g.kind.melted * 1.02; !g.drains {
		g.tray = math.Ceil(max(g.tray, melted-area(g.cup)*g.depth/1e3+g.pegVolume()))
	}
}

func area(diameter float64) float64 { return math.Pi / 4 * diameter * diameter }

func (g *generator) pegVolume() float64 {
	return float64(g.pegs) * area(pegDiameter) * g.pegHeight / 1e3
}

// top is the height of the charge above the floor.
func (g *generator) top() float64 {
	switch g.form {
	case design.FormBlock:
		return g.volume*1e3/area(g.block) + g.pegHeight
	case design.FormCubes, design.FormCrushed:
		const packing = 0.6 // the default of store.packing
		return g.volume*1e3/packing/area(g.cup) + g.pegHeight
	}
	return (g.volume + g.pegVolume()) * 1e3 / area(g.cup)
}

func (g *generator) store() {
	g.line(0, "store:")
	g.line(1, "substance: %s", g.kind.substance)
	g.line(1, "form: %s", g.form)
	g.line(1, "mass: %g g", g.mass)
	g.line(1, "temperature: %g degC", g.temperature)
	switch g.form {
	case design.FormBlock:
		g.line(1, "diameter: %g mm", g.block)
	case design.FormCubes:
		g.line(1, "edge: %g mm", g.between("edge", 10, 30))
	case design.FormCrushed:
		g.line(1, "edge: %g mm", g.between("grain", 2, 8))
	}
	g.line(1, "support: %s", g.pick("support", design.SupportFloats, design.SupportRests, design.SupportHeld))
}
