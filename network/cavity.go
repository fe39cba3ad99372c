package network

import (
	"math"

	"meltspan/matter"
	"meltspan/transfer"
)

// cavity is a closed air space between two layers of the stand.
type cavity struct {
	link     int
	a, b     int // a is the inner or upper layer
	area     float64
	width    float64
	aspect   float64 // height over width, for an upright cavity
	ratio    float64 // diameter over height, for a flat one
	flat     bool
	exchange float64 // radiation exchange factor
	bridge   float64 // W/K in parallel: ribs, and a solid filling
	half     float64 // K/W of the half layers on both sides
	factor   float64 // on (Nu - 1)
	steep    float64 // slope of its flow over its conductance, for the Jacobian
	filled   bool

	rayleighPerKelvin float64
}

// conductance of the cavity between layers at temperatures ta and tb, W/K.
// The air carries heat by conduction or enclosure convection, the faces by
// radiation, the ribs by conduction.
func (c *cavity) conductance(air *matter.Fluid, ta, tb float64) float64 {
	inner := c.bridge
	if !c.filled {
		rayleigh := c.rayleighPerKelvin * math.Abs(ta-tb)
		nusselt := 1.0
		switch {
		case !c.flat:
			nusselt = transfer.NusseltVerticalLayer(rayleigh, c.aspect, air.Prandtl())
		case tb > ta:
			nusselt = transfer.NusseltHeatedBelowCylinder(rayleigh, c.ratio, false)
		}
		nusselt = 1 + c.factor*(nusselt-1)
		h := nusselt*air.Conductivity/c.width + c.exchange*transfer.RadiationCoefficient(ta, tb)
		inner += h * c.area
	}
	return inner / (1 + inner*c.half)
}
