package network

import (
	"math"

	"meltspan/matter"
	"meltspan/transfer"
)

// cavity is a closed air space between two layers of the stand: one layer of
// air with one Nusselt number, that touches several pairs of cells.
type cavity struct {
	width    float64
	aspect   float64 // height over width, for an upright cavity
	ratio    float64 // diameter over height, for a flat one
	flat     bool
	exchange float64 // radiation exchange factor
	filling  float64 // W/(m2 K) of a solid filling; 0 when it holds air
	factor   float64 // on (Nu - 1)
	cells    []cavityCell

	rayleighPerKelvin float64
}

// cavityCell is the part of a cavity between two cells.
type cavityCell struct {
	link, a, b int     // a is the inner or upper cell
	area       float64 // m2
	half       float64 // K/W of the half layers on both sides
	bridge     float64 // W/K of ribs
}

func (m *Model) addCavityCell(c *cavity, a, b int, area, half, bridge float64) {
	link := m.addLink(a, b, m.nodes[a].group, m.nodes[b].group, "cavity", "")
	c.cells = append(c.cells, cavityCell{link, a, b, area, half, bridge})
}

// Slopes of a cavity's flow over its conductance, for the Jacobian. Just above
// its critical number a layer heated from below grows with 1 + 1.44 (Hollands),
// an upright one with 1 + 1/3 at most; half of the flow is radiation.
const (
	steepFlat    = 1.7
	steepUpright = 1.4
)

// nusselt of the cavity from the mean temperatures of its two sides.
func (c *cavity) nusselt(air *matter.Fluid, t []float64) float64 {
	inner, outer, area := 0.0, 0.0, 0.0
	for i := range c.cells {
		cell := &c.cells[i]
		inner += cell.area * t[cell.a]
		outer += cell.area * t[cell.b]
		area += cell.area
	}
	difference := (outer - inner) / area
	rayleigh := c.rayleighPerKelvin * math.Abs(difference)
	nusselt := 1.0
	switch {
	case !c.flat:
		nusselt = transfer.NusseltVerticalLayer(rayleigh, c.aspect, air.Prandtl())
	case difference > 0:
		nusselt = transfer.NusseltHeatedBelowCylinder(rayleigh, c.ratio, false)
	}
	return 1 + c.factor*(nusselt-1)
}

// evaluateCavity gives the flows across a cavity: conduction or convection of
// its air, radiation between its faces, conduction of ribs or a filling.
func (m *Model) evaluateCavity(c *cavity) {
	w := m.work
	t := w.temperature
	h, steep := c.filling, 1.0
	if h == 0 {
		h = c.nusselt(&m.air, t) * m.air.Conductivity / c.width
		steep = steepUpright
		if c.flat {
			steep = steepFlat
		}
	}
	for i := range c.cells {
		cell := &c.cells[i]
		inner := h * cell.area
		if c.filling == 0 {
			inner += c.exchange * radiationCoefficient(t[cell.a], t[cell.b]) * cell.area
		}
		inner += cell.bridge
		g := inner / (1 + inner*cell.half)
		w.q[cell.link], w.g[cell.link] = g*(t[cell.a]-t[cell.b]), g*steep
	}
}
