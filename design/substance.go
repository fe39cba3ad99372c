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

// ColdStore reports whether the store is to keep the load below the room, not
// above it.
func (d *Design) ColdStore() bool { return d.Store.Temperature.SI <= d.Room.Temperature.SI }

// frozenAtStart reports whether the charge is solid when the load is set on.
func (d *Design) frozenAtStart() bool {
	switch d.Store.Substance {
	case IceName:
		return true
	case waterName:
		return false
	}
	return d.substance().HasPhaseChange && d.Store.Temperature.SI < d.Store.MeltingPoint.SI
}

// Spreads of the substance that are too small to tell in a run time, beside
// half a kelvin of a room and half a gram of a scale: a thousandth of the
// difference that drives the heat, and of the heat itself.
const (
	idleMeltingSpread = 0.01 // K
	idleLatentSpread  = 1e-3 // of the latent heat
)

// completeSubstance fills in melting point and latent heat from the handbook.
// A spread too small to tell becomes 0, so that it costs no sampling.
func (d *Design) completeSubstance() {
	s, store := d.substance(), &d.Store
	if !store.MeltingPoint.Present() {
		fill(&store.MeltingPoint, s.Melting, "")
		if store.MeltingPoint.Spread <= idleMeltingSpread {
			store.MeltingPoint.Spread = 0
		}
	}
	if !store.LatentHeat.Present() {
		fill(&store.LatentHeat, s.Latent, "")
		if store.LatentHeat.Spread <= idleLatentSpread*store.LatentHeat.SI {
			store.LatentHeat.Spread = 0
		}
	}
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
	melting := d.Store.MeltingPoint.SI
	melts := show(melting, quantity.Temperature)
	switch {
	case d.Store.Substance == IceName && t > melting:
		c.fault("store.temperature", "ice cannot be at "+at, melts+" or less; for cold water write substance: water")
		return
	case d.Store.Substance == waterName && t < melting:
		c.fault("store.temperature", "water at "+at+" is ice", melts+" or more; for ice write substance: ice")
		return
	case !s.HasPhaseChange && t < melting:
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
