package designtest

import "meltspan/design"

func (g *generator) load() {
	plate := g.cup + g.between("plate overhang", 4, 60)
	if g.mode == design.ContactPressed && g.maybe("plate within the cup") {
		plate = g.cup - 2
	}
	g.line(0, "load:")
	g.line(1, "bottom_plate:")
	g.plate("bottom", plate)
	kind := g.pick("load", "engine", "generator", "leak", "sample")
	if kind == "engine" || kind == "generator" || g.maybe("top plate") {
		g.line(1, "top_plate:")
		g.plate("top", plate+g.between("larger top plate", 0, 20))
	}
	switch kind {
	case "engine":
		g.engine()
	case "generator":
		g.line(1, "generator:")
		g.line(2, "thermal_conductance: %s W/K", g.tenths("module conductance", 1, 20))
		g.line(2, "seebeck: %g mV/K", g.between("seebeck", 10, 80))
		g.line(2, "internal_resistance: %s ohm", g.tenths("module resistance", 5, 80))
		g.line(2, "least_difference: %s K", g.tenths("least difference", 5, 80))
	case "leak":
		g.line(1, "leak:")
		g.line(2, "power: %s W", g.tenths("leak", -20, 50))
		g.line(2, "limit: %g degC", g.between("leak limit", -10, 40))
	case "sample":
		g.sample()
	}
}

func (g *generator) plate(which string, diameter float64) {
	g.line(2, "diameter: %g mm", diameter)
	g.line(2, "thickness: %s mm", g.tenths(which+" plate thickness", 5, 50))
	g.line(2, "material: %s", g.pick(which+" plate material", "aluminium", "copper", "steel", "glass"))
}

func (g *generator) engine() {
	if g.maybe("default engine") {
		g.line(1, "engine: {}")
		return
	}
	g.line(1, "engine:")
	g.line(2, "stall_difference: %s K", g.tenths("stall", 5, 150))
	g.line(2, "chamber_height: %g mm", g.between("chamber height", 6, 25))
	g.line(2, "stall_speed: %g rpm", g.between("stall speed", 5, 60))
	g.line(2, "intake_per_cycle: %s J/K", g.tenths("intake", 0, 1))
	if g.maybe("stated conductance") {
		g.line(2, "still_conductance: %s W/K", g.tenths("still conductance", 1, 5))
	}
	g.line(2, "screws:")
	g.line(3, "count: %g", g.between("screws", 0, 8))
	g.line(3, "material: %s", g.pick("screw material", "nylon", "steel"))
}

func (g *generator) sample() {
	g.line(1, "sample:")
	g.line(2, "mass: %g g", g.between("sample mass", 5, 200))
	g.line(2, "contact: %s W/K", g.tenths("sample contact", 1, 30))
	g.line(2, "exposed_area: %g cm2", g.between("exposed area", 0, 100))
	if g.maybe("cover") {
		g.line(2, "cover: %g W/(m2 K)", g.between("cover coefficient", 1, 20))
	}
	g.line(2, "limit: %g degC", g.between("sample limit", 5, 60))
	if g.maybe("sample temperature") {
		g.line(2, "temperature: %g degC", g.between("sample start", 2, 30))
	}
}
