package engine

import (
	"math"

	"meltspan/transfer"
)

// StillParts are the parts of an engine that conduct from plate to plate when
// it stands still. Lengths in m, conductivities in W/(m K).
type StillParts struct {
	ChamberDiameter       float64 // inside the ring wall
	ChamberHeight         float64 // between the plates
	DisplacerDiameter     float64
	DisplacerThickness    float64
	DisplacerConductivity float64
	GasConductivity       float64
	PlateEmissivity       float64
	DisplacerEmissivity   float64
	MeanTemperature       float64 // K, for radiation
	RingThickness         float64
	RingConductivity      float64
	ScrewCount            int
	ScrewDiameter         float64
	ScrewConductivity     float64
}

// StillConductance returns the plate to plate conductance, W/K, of an engine
// at rest, and its three parallel parts.
//
// Chamber: over the displacer's disc, two gas gaps, taken as equal, and the
// disc in series, each gap carrying conduction and grey radiation between wide
// parallel faces; round it, a ring of gas of the full height. The gas is at
// rest: on a cold store the hot plate is on top, and on a hot one gaps of up to
// some 15 mm at 20 K stay below the critical Rayleigh number. A displacer that
// rests on a plate changes the sum of the gaps not at all, and radiation a
// little.
// Ring: the tube wall between the plates. Screws: their shafts.
//
// A disc wider than the chamber is taken as filling it, one thicker than the
// chamber as touching both plates.
func StillConductance(p StillParts) (total, chamber, ring, screws float64) {
	chamber = chamberConductance(p)
	outer := p.ChamberDiameter + 2*p.RingThickness
	ring = p.RingConductivity * disc(outer, p.ChamberDiameter) / p.ChamberHeight
	screws = float64(p.ScrewCount) * p.ScrewConductivity * disc(p.ScrewDiameter, 0) / p.ChamberHeight
	return chamber + ring + screws, chamber, ring, screws
}

func chamberConductance(p StillParts) float64 {
	black := transfer.RadiationCoefficient(p.MeanTemperature, p.MeanTemperature)
	open := p.GasConductivity / p.ChamberHeight
	diameter := math.Min(p.DisplacerDiameter, p.ChamberDiameter)
	thickness := math.Min(p.DisplacerThickness, p.ChamberHeight)
	if !(diameter > 0 && thickness > 0) { // no displacer: one gap, plate sees plate
		open += black * transfer.ExchangeParallel(p.PlateEmissivity, p.PlateEmissivity)
		return open * disc(p.ChamberDiameter, 0)
	}
	resistance := thickness / p.DisplacerConductivity
	if gap := (p.ChamberHeight - thickness) / 2; gap > 0 {
		radiation := black * transfer.ExchangeParallel(p.PlateEmissivity, p.DisplacerEmissivity)
		resistance += 2 / (p.GasConductivity/gap + radiation)
	}
	return disc(diameter, 0)/resistance + open*disc(p.ChamberDiameter, diameter)
}

// disc is the area of a disc, or ring, of the given diameters.
func disc(outer, inner float64) float64 {
	return math.Pi / 4 * (outer*outer - inner*inner)
}
