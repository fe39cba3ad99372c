package designtest

import (
	"fmt"
	"math"

	"meltspan/design"
)

func (g *generator) stand() {
	wall, wallThickness := g.shell("wall")
	base, baseThickness := g.shell("base")
	g.line(0, "stand:")
	g.line(1, "material: %s", g.pick("stand material", "pla", "petg", "abs", "asa"))
	g.line(1, "outer_diameter: %.1f mm", g.cup+2*wallThickness)
	g.line(1, "height: %.1f mm", g.depth+baseThickness)
	g.line(1, "cup:")
	g.line(2, "diameter: %g mm", g.cup)
	g.line(2, "depth: %.1f mm", g.depth)
	g.line(2, "drains: %t", g.drains)
	g.line(1, "wall:")
	g.lines(wall)
	g.line(1, "base:")
	g.lines(base)
	if g.maybe("gasket") {
		g.line(1, "rim:")
		g.line(2, "gasket: %g mm", g.between("gasket thickness", 1, 4))
	}
	if g.maybe("ribs") {
		g.line(1, "ribs:")
		g.line(2, "count: %g", g.between("rib count", 1, 12))
	}
	if g.pegs > 0 {
		g.line(1, "pegs:")
		g.line(2, "count: %d", g.pegs)
		g.line(2, "diameter: %g mm", pegDiameter)
		g.line(2, "height: %g mm", g.pegHeight)
	}
	if g.maybe("feet") {
		g.line(1, "feet:")
		g.line(2, "height: %g mm", g.between("feet height", 1, 20))
	}
	g.line(1, "tray:")
	g.line(2, "capacity: %g ml", g.tray)
	g.line(1, "contact:")
	g.line(2, "mode: %s", g.mode)
	if g.mode == design.ContactNone {
		g.line(2, "starting_gap: %s mm", g.tenths("clear gap", 2, 60))
	}
}

func (g *generator) lines(lines []string) {
	for _, line := range lines {
		g.line(2, "%s", line)
	}
}

// shell draws the lines of a wall or a base and its thickness in mm.
func (g *generator) shell(which string) (lines []string, thickness float64) {
	cavities := g.between(which+" cavities", 0, 4)
	skin, partition := g.between(which+" skin", 4, 20)/10, g.between(which+" partition", 4, 12)/10
	add := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }
	add("cavities: %g", cavities)
	add("skin: %g mm", skin)
	add("partition: %g mm", partition)
	if cavities == 0 {
		add("infill: %g %%", g.between(which+" infill", 0, 100))
	} else {
		add("filling: %s", g.pick(which+" filling", design.FillingAir, design.FillingAir, "cork", "pu_foam"))
		if g.maybe(which + " foil") {
			add("cavity_emissivity: 0.05")
		}
	}
	each := g.between(which+" cavity width", 10, 100) / 10
	thickness = 2*skin + max(cavities-1, 0)*partition + max(cavities, 1)*each
	return lines, math.Ceil(thickness*10) / 10
}

func (g *generator) room() {
	g.line(0, "room:")
	g.line(1, "temperature: %g degC", g.between("room temperature", 12, 35))
	g.line(1, "humidity: %g %%", g.between("humidity", 10, 95))
	g.line(1, "air_speed: %s m/s", g.tenths("air speed", 0, 10))
	if g.maybe("radiant") {
		g.line(1, "radiant_temperature: %g degC", g.between("radiant temperature", 10, 40))
	}
	if g.maybe("sun") {
		g.line(1, "sun: %g W/m2", g.between("sun heat flux", 0, 800))
	}
	if g.maybe("daily") {
		g.line(1, "daily:")
		g.line(2, "swing: %s K", g.tenths("swing", 0, 60))
		g.line(2, "warmest_after: %g h", g.between("warmest after", 0, 24))
	}
}
