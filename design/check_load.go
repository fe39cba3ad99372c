package design

import (
	"fmt"

	"meltspan/quantity"
)

// load checks the parts of an engine against each other.
func (c *checker) load() {
	l := &c.d.Load
	if l.Engine == nil || l.TopPlate == nil {
		return
	}
	e := l.Engine
	if e.StartDifference.SI < e.StallDifference.SI {
		c.fault("load.engine.start_difference", fmt.Sprintf("the engine would start at %s and stall at %s",
			show(e.StartDifference.SI, quantity.TemperatureDifference), show(e.StallDifference.SI, quantity.TemperatureDifference)),
			show(e.StallDifference.SI, quantity.TemperatureDifference)+" or more")
	}
	plate := min(l.BottomPlate.Diameter.SI, l.TopPlate.Diameter.SI)
	if outer := e.ChamberDiameter.SI + 2*e.RingWall.SI; e.ChamberDiameter.SI <= 0 {
		c.fault("load.engine.ring_wall", fmt.Sprintf("the ring wall (%s) leaves no chamber between plates of %s", mm(e.RingWall.SI), mm(plate)), "less than "+mm(plate/2))
		return
	} else if outer > plate+slack {
		c.fault("load.engine.chamber_diameter", fmt.Sprintf("chamber and ring wall (%s) are wider than the plate (%s)", mm(outer), mm(plate)),
			"up to "+mm(plate-2*e.RingWall.SI))
	}
	if e.Displacer.Diameter.SI >= e.ChamberDiameter.SI {
		c.fault("load.engine.displacer.diameter", fmt.Sprintf("the displacer (%s) does not fit the chamber (%s)", mm(e.Displacer.Diameter.SI), mm(e.ChamberDiameter.SI)),
			"less than "+mm(e.ChamberDiameter.SI))
	}
	if e.Displacer.Thickness.SI >= e.ChamberHeight.SI {
		c.fault("load.engine.displacer.thickness", fmt.Sprintf("the displacer (%s) has no room to move in a chamber of %s height", mm(e.Displacer.Thickness.SI), mm(e.ChamberHeight.SI)),
			"less than "+mm(e.ChamberHeight.SI))
	}
	if need := float64(e.Screws.Count) * discArea(e.Screws.Diameter.SI); need >= discArea(plate) {
		c.fault("load.engine.screws.count", fmt.Sprintf("%d screws of %s are more than the plate (%s) has room for", e.Screws.Count, mm(e.Screws.Diameter.SI), mm(plate)),
			"fewer or thinner screws")
	}
}
