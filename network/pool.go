package network

import (
	"meltspan/matter"
	"meltspan/transfer"
)

// The Nusselt numbers of the liquid are those of the state that a step starts
// from. A layer of water that is heated from below conducts tenfold what the
// same layer does a tenth of a kelvin later, when it lies the other way up:
// inside a step no linear method can follow that, and the liquid is a small
// resistance among the others. Each place has its slot.
const (
	lagGapSolid = iota // the air above the store, near balance only
	lagGapLiquid
	lagVapourSolid
	lagVapourLiquid
	lagSurface
	lagFloor
	lagFloorUnder
	lagUnderSolid
	lagUnder
	lagSide
	lagWall
	lagCount

	lagVapour = lagVapourSolid - lagGapSolid // from a gap's slot to that of its vapour
)

// lagged returns the value kept in a slot, or none while the state that a step
// starts from is being evaluated.
func (m *Model) lagged(slot int) (float64, bool) {
	kept := m.work.lag[slot]
	return kept, kept > 0 && !m.work.fresh
}

// poolHorizontal is the Nusselt number of a level layer of the store's liquid
// between a lower and an upper temperature. Water has its density maximum;
// other liquids are taken with a constant expansion.
func (m *Model) poolHorizontal(slot int, lower, upper, depth float64, fluid *matter.Fluid) float64 {
	if kept, ok := m.lagged(slot); ok {
		return kept
	}
	nusselt := 1.0
	switch {
	case m.store.isWater:
		nusselt = transfer.NusseltPoolHorizontal(lower, upper, depth, *fluid)
	case lower > upper:
		nusselt = transfer.NusseltHeatedBelowLiquid(transfer.Rayleigh(*fluid, lower-upper, depth), fluid.Prandtl())
	}
	return m.keep(slot, nusselt)
}

// keep puts a value into a slot, half way from the one before, so that it does
// not swing from step to step.
func (m *Model) keep(slot int, nusselt float64) float64 {
	if before := m.work.lag[slot]; before > 0 {
		nusselt = (before + nusselt) / 2
	}
	m.work.lag[slot] = nusselt
	return nusselt
}

// poolUpright is the mean Nusselt number of an upright face in the liquid.
func (m *Model) poolUpright(slot int, face, pool, height float64, fluid *matter.Fluid) float64 {
	if kept, ok := m.lagged(slot); ok {
		return kept
	}
	var rayleigh float64
	if m.store.isWater {
		rayleigh = transfer.RayleighPoolSide(face, pool, height, *fluid)
	} else {
		rayleigh = transfer.Rayleigh(*fluid, face-pool, height)
	}
	return m.keep(slot, m.poolPlate.Nusselt(rayleigh))
}
