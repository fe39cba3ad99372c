package design

import (
	"fmt"

	"meltspan/matter"
	"meltspan/quantity"
)

// IceName is the name under which the file states frozen water. It is the
// substance "water" of package matter, said to be solid at the start.
const IceName = "ice"

const waterName = "water"

// substance returns the store's substance; nothing of an unknown name.
func (d *Design) substance() *matter.Substance {
	if d.stuff == nil || d.stuffName != d.Store.Substance {
		s, _ := matter.FindSubstance(d.Store.Substance)
		d.stuff, d.stuffName = &s, d.Store.Substance
	}
	return d.stuff
}

// frozenAtStart reports whether the charge is solid when the load is set on.
func (d *Design) frozenAtStart() bool {
	switch d.Store.Substance {
	case IceName:
		return true
	case waterName:
		return false
	}
	s := d.substance()
	return s.HasPhaseChange && d.Store.Temperature.SI < s.Melting.Value
}

// storeDensity is the density, in kg/m3, of the charge as it is at the start.
func (d *Design) storeDensity() float64 {
	if d.Store.Form == FormLiquid {
		return d.substance().Liquid(d.Store.Temperature.SI).Density
	}
	return d.substance().DensityOfSolid(d.Store.Temperature.SI)
}

// meltDensity is the density, in kg/m3, of the charge as poured or melted.
func (d *Design) meltDensity() float64 { return d.substance().LiquidDensity.Value }

// state checks that the substance can be in the form stated.
func (c *checker) state() {
	d := c.d
	s, t := d.substance(), d.Store.Temperature.SI
	at := show(t, quantity.Temperature)
	melts := show(s.Melting.Value, quantity.Temperature)
	switch {
	case d.Store.Substance == IceName && t > s.Melting.Value:
		c.fault("store.temperature", "ice cannot be at "+at, melts+" or less; for cold water write substance: water")
		return
	case d.Store.Substance == waterName && t < s.Melting.Value:
		c.fault("store.temperature", "water at "+at+" is ice", melts+" or more; for ice write substance: ice")
		return
	case !s.HasPhaseChange && t < s.Melting.Value:
		c.fault("store.temperature", fmt.Sprintf("%s begins to freeze at %s, and its freezing is not modelled", d.Store.Substance, melts), melts+" or more")
		return
	}
	frozen, solid := d.frozenAtStart(), d.Store.Form != FormLiquid
	if frozen && !solid {
		c.fault("store.form", fmt.Sprintf("%s at %s is no liquid", d.Store.Substance, at), "block, cubes or crushed; or leave the key out")
	}
	if !frozen && solid {
		c.fault("store.form", fmt.Sprintf("%s at %s is liquid, not %s", d.Store.Substance, at, d.Store.Form), "liquid; or leave the key out")
	}
}
