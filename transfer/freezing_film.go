package transfer

import (
	"math"

	"meltspan/matter"
)

// FreezerFilmSpread is one standard uncertainty of FreezerFilm as a share:
// judgement, from the scatter of its correlations (some 20 %) and the places
// in a freezer that the air passes by.
const FreezerFilmSpread = 0.25

// FreezerFilm returns the heat transfer coefficient, W/(m2 K), between a
// charge in its mould and the air of a freezer, radiation included: the mean
// over side and both ends of an upright cylinder of that diameter and height
// (m), free convection and a stream across it (air speed, m/s) joined by the
// cube rule. Free convection: NusseltVerticalCylinder on the side,
// NusseltHorizontalUnstable above, NusseltHorizontalStable below. Forced:
// NusseltCrossflow on the side, NusseltForcedPlate along the ends.
//
// air and charge are temperatures, K. While it freezes, the face of the mould
// lies between the two, by its films and its wall: their mean is taken, to
// which free convection is little sensitive (power 1/4). The walls of the
// freezer are taken to be as cold as its air. emissivity is the mould's;
// pressure in Pa.
func FreezerFilm(airSpeed, air, charge, diameter, height, emissivity, pressure float64) float64 {
	face := (air + charge) / 2
	f := matter.DryAir((air+face)/2, pressure)
	prandtl := f.Prandtl()
	reynolds := f.Density * positive(airSpeed) * diameter / f.Viscosity
	end := diameter / 4 // area over perimeter
	side := f.Conductivity * Mixed(
		NusseltVerticalCylinder(Rayleigh(f, face-air, height), prandtl, height, diameter)/height,
		NusseltCrossflow(reynolds, prandtl)/diameter)
	along := NusseltForcedPlate(reynolds, prandtl) / diameter
	rayleigh := Rayleigh(f, face-air, end)
	upper := f.Conductivity * Mixed(NusseltHorizontalUnstable(rayleigh)/end, along)
	lower := f.Conductivity * Mixed(NusseltHorizontalStable(rayleigh, prandtl)/end, along)
	sideArea, endArea := math.Pi*diameter*height, math.Pi/4*diameter*diameter
	convection := (sideArea*side + endArea*(upper+lower)) / (sideArea + 2*endArea)
	return convection + emissivity*RadiationCoefficient(face, air)
}
