package network

import (
	"meltspan/matter"
	"meltspan/transfer"
)

// poolHorizontal is the Nusselt number of a level layer of the store's liquid
// between a lower and an upper temperature. Water has its density maximum;
// other liquids are taken with a constant expansion.
func (m *Model) poolHorizontal(lower, upper, depth float64, fluid *matter.Fluid) float64 {
	if m.store.isWater {
		return transfer.NusseltPoolHorizontal(lower, upper, depth, *fluid)
	}
	if lower <= upper {
		return 1
	}
	return transfer.NusseltHeatedBelowLiquid(transfer.Rayleigh(*fluid, lower-upper, depth), fluid.Prandtl())
}

// poolUpright is the mean Nusselt number of an upright face in the liquid.
func (m *Model) poolUpright(face, pool, height float64, fluid *matter.Fluid) float64 {
	if m.store.isWater {
		return m.poolPlate.Nusselt(transfer.RayleighPoolSide(face, pool, height, *fluid))
	}
	return m.poolPlate.Nusselt(transfer.Rayleigh(*fluid, face-pool, height))
}
