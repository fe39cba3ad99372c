package design

import (
	"fmt"

	"meltspan/quantity"
)

// mostProud is how far, in m, a store may stand above the rim: the range of
// stand.contact.starting_gap.
const mostProud = 20e-3

// store checks that the charge fits the cup, as a solid and as melt.
func (c *checker) store() {
	d := c.d
	s, cup := &d.Store, &d.Stand.Cup
	c.state()
	switch s.Form {
	case FormBlock:
		if s.Diameter.SI > cup.Diameter.SI+slack {
			c.fault("store.diameter", fmt.Sprintf("the block (%s) does not fit the cup (%s)", mm(s.Diameter.SI), mm(cup.Diameter.SI)), "up to "+mm(cup.Diameter.SI))
			return
		}
	case FormLiquid:
		if cup.Drains {
			c.fault("stand.cup.drains", "a liquid store runs out of a cup that drains", "drains: false, or a store that is solid at the start")
		}
	case FormCubes, FormCrushed:
		if !s.Edge.Present() {
			c.fault("store.edge", "store.edge is missing", "add the edge of one cube, or the mean grain of crushed ice, such as edge: 25 mm")
		} else if s.Edge.SI > cup.Diameter.SI {
			c.fault("store.edge", fmt.Sprintf("the cubes (%s) do not fit the cup (%s)", mm(s.Edge.SI), mm(cup.Diameter.SI)), "less than "+mm(cup.Diameter.SI))
		}
	}
	if cup.Depth.SI >= d.Stand.Height.SI || s.Diameter.SI <= 0 {
		return // reported already
	}
	c.level()
	c.melt()
	c.mould()
}

// level checks how high the charge stands in the cup.
func (c *checker) level() {
	d := c.d
	top, depth := d.StoreTop(), d.Stand.Cup.Depth.SI
	mayStandProud := d.Store.Form != FormLiquid && d.Stand.Contact.Mode != ContactNone
	switch {
	case top <= depth+slack:
	case !mayStandProud:
		c.fault("store.mass", fmt.Sprintf("%s of %s stands %s high in a cup of %s depth", show(d.Store.Mass.SI, quantity.Mass), d.Store.Substance, mm(top), mm(depth)),
			c.massThatFits(depth))
	case top > depth+mostProud:
		c.fault("store.mass", fmt.Sprintf("%s of %s stands %s above the rim", show(d.Store.Mass.SI, quantity.Mass), d.Store.Substance, mm(top-depth)),
			c.massThatFits(depth+mostProud))
	}
}

func (c *checker) massThatFits(top float64) string {
	room := top - (c.d.StoreTop() - c.d.StoreHeight())
	if room <= 0 {
		return "a deeper cup, or lower pegs"
	}
	return fmt.Sprintf("up to %s, or a deeper or wider cup", atMost(c.d.Store.Mass.SI*room/c.d.StoreHeight(), quantity.Mass))
}

// melt checks that the melt stays in the cup, or in the tray.
func (c *checker) melt() {
	d := c.d
	if d.Stand.Cup.Drains || d.Store.Form == FormLiquid {
		return
	}
	volume := d.Store.Mass.SI / d.meltDensity()
	room := discArea(d.Stand.Cup.Diameter.SI)*d.Stand.Cup.Depth.SI - d.pegVolume() + d.Stand.Tray.Capacity.SI
	if volume > room {
		c.fault("store.mass", fmt.Sprintf("the charge melts to %s, and cup and tray hold %s", show(volume, quantity.Volume), show(room, quantity.Volume)),
			fmt.Sprintf("a tray of %s at least, or a larger cup, or less charge", atLeast(d.Stand.Tray.Capacity.SI+volume-room, quantity.Volume)))
	}
}

// mould checks that the water poured for a block fits its mould.
func (c *checker) mould() {
	d := c.d
	if d.Store.Form != FormBlock {
		return
	}
	f := &d.Store.Freezer
	volume, room := d.Store.Mass.SI/d.meltDensity(), discArea(f.MouldDiameter.SI)*f.MouldDepth.SI
	if volume > room*(1+1e-9) {
		c.fault("store.freezer.mould_depth", fmt.Sprintf("the mould holds %s, and the charge is %s when poured", show(room, quantity.Volume), show(volume, quantity.Volume)),
			fmt.Sprintf("a depth of %s at least", atLeast(volume/discArea(f.MouldDiameter.SI), quantity.Length)))
	}
}

// contact checks what lies between plate and store.
func (c *checker) contact() {
	k := &c.d.Stand.Contact
	plate, cup := c.d.Load.BottomPlate.Diameter.SI, c.d.Stand.Cup.Diameter.SI
	if k.Mode == ContactOnRim && plate <= cup {
		c.fault("load.bottom_plate.diameter", fmt.Sprintf("the plate (%s) would fall into the cup (%s) instead of resting on its rim", mm(plate), mm(cup)),
			fmt.Sprintf("more than %s, or stand.contact.mode: pressed", mm(cup)))
	}
	if k.Mode == ContactNone && k.StartingGap.SI < 0 {
		c.fault("stand.contact.starting_gap", fmt.Sprintf("the gap is %s, though the plate is held clear of the store", mm(k.StartingGap.SI)),
			"0 mm or more, or another contact mode")
	}
}
