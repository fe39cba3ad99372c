package transfer

import (
	"math"

	"meltspan/matter"
)

// MassTransferCoefficient returns the coefficient, m/s, by which water vapour
// passes through the air film of a face whose heat transfer coefficient is
// given, W/(m2 K): h / (rho cp Le^(2/3)) with the Lewis number Le = a/D, the
// analogy of Chilton and Colburn (Industrial and Engineering Chemistry 26
// (1934) 1183; Incropera 7th ed. eq. 6.60). diffusivity is that of vapour in
// air, m2/s. Convection only: leave radiation out of h.
func MassTransferCoefficient(heatTransferCoefficient float64, air matter.Fluid, diffusivity float64) float64 {
	lewis := math.Cbrt(air.Diffusivity() / diffusivity)
	return heatTransferCoefficient / (air.Density * air.SpecificHeat * lewis * lewis)
}

// highestShare caps the share of vapour in the gas: at the boiling point the
// flow is bounded by the heat supply, which this package does not know.
const highestShare = 0.99

// Condensation returns the flow of water vapour from moist air onto a face,
// kg/(m2 s), and the heat it gives up there, W/m2. Positive: dew, or frost
// below the freezing point. Negative: what a face that is wet would lose by
// evaporation; a dry face loses nothing, and the caller knows which it is.
//
// heatTransferCoefficient is the convective one, W/(m2 K); vapourPressure that
// of the room, Pa; temperatures in K; pressure the total one, Pa. Properties
// are those of dry air at the mean of air and face.
//
// The driving force is the difference of partial pressures at the film
// temperature, in the logarithmic form that keeps the drift of the vapour
// itself (Stefan flow): m = beta p/(Rv T) ln((p - p_face)/(p - p_room)); Bird,
// Stewart and Lightfoot, Transport Phenomena, 2nd ed., 18.2. Textbooks often
// take vapour densities, each at its own temperature, instead. That understates
// dew on a cold face by some 10 %, because it books the warmth of the room's
// vapour as a lack of vapour.
func Condensation(heatTransferCoefficient, airTemperature, vapourPressure, faceTemperature, pressure float64) (massFlux, heatFlux float64) {
	film := (airTemperature + faceTemperature) / 2
	beta := MassTransferCoefficient(heatTransferCoefficient, matter.DryAir(film, pressure), matter.VapourDiffusivity(film, pressure))
	massFlux = beta * stefanDrive(matter.SaturationPressure(faceTemperature), vapourPressure, film, pressure)
	return massFlux, massFlux * latentHeat(faceTemperature)
}

// VapourGap returns the flow of vapour, kg/(m2 s), from a wet face (or ice)
// across a still gap to the other face, where it condenses, and the heat it
// carries from one to the other, W/m2: D p/(Rv T d) ln((p - p_other)/(p -
// p_wet)), diffusion with Stefan flow (Incropera 7th ed. eq. 14.77).
// distance in m, temperatures in K, pressure in Pa.
//
// Zero when the other face is the warmer one, since that face is dry and the
// gap then fills with saturated still vapour, and zero when the faces touch.
// Where the gap convects, multiply both by its Nusselt number: mass and heat
// then travel in the same eddies. The latent heat is that of the wet face; the
// few per cent by which it differs at the other are left out.
func VapourGap(distance, wetTemperature, otherTemperature, pressure float64) (massFlux, heatFlux float64) {
	if !(distance > 0) || !(wetTemperature > otherTemperature) {
		return 0, 0
	}
	film := (wetTemperature + otherTemperature) / 2
	drive := stefanDrive(matter.SaturationPressure(otherTemperature), matter.SaturationPressure(wetTemperature), film, pressure)
	massFlux = matter.VapourDiffusivity(film, pressure) / distance * drive
	return massFlux, massFlux * latentHeat(wetTemperature)
}

// stefanDrive is p/(Rv T) ln((p - p_sink)/(p - p_source)), kg/m3, the vapour
// density difference that drives diffusion from source to sink, with the
// drift of the vapour itself. For small shares it tends to
// (p_source - p_sink)/(Rv T).
func stefanDrive(sink, source, film, pressure float64) float64 {
	most := highestShare * pressure
	sink, source = math.Min(sink, most), math.Min(source, most)
	// log1p keeps the digits of a small difference.
	return matter.VapourDensity(pressure, film) * math.Log1p((source-sink)/(pressure-source))
}

// latentHeat is the heat of condensation, or below the freezing point of
// frost formation, J/kg.
func latentHeat(temperature float64) float64 {
	if temperature < matter.MeltingPoint {
		return matter.LatentHeatSublimation(temperature)
	}
	return matter.LatentHeatVaporisation(temperature)
}
