// Package quantity reads and prints physical quantities with their units.
//
// Everything inside Meltspan is in SI: metres, kilograms, seconds, kelvins.
// This package stands at the edge: it turns text such as "118 mm",
// "-18 degC" or "0.10 W/K +- 20 %" into SI numbers with a standard
// uncertainty, checks that the unit has the dimension asked for, and turns SI
// numbers back into text that people read.
package quantity

// Kind names what a quantity is, and so which units it may be written in.
// Two kinds may share a dimension (a temperature and a temperature
// difference), because they are read and printed differently.
type Kind string

// The kinds that designs, trials and results use. The SI unit of the stored
// number follows each.
const (
	Length                  Kind = "length"                    // m
	Area                    Kind = "area"                      // m2
	Volume                  Kind = "volume"                    // m3
	Mass                    Kind = "mass"                      // kg
	Time                    Kind = "time"                      // s
	Temperature             Kind = "temperature"               // K, absolute
	TemperatureDifference   Kind = "temperature difference"    // K
	Fraction                Kind = "fraction"                  // 1 (50 % is 0.5)
	Angle                   Kind = "angle"                     // rad
	ThermalConductance      Kind = "thermal conductance"       // W/K
	HeatTransferCoefficient Kind = "heat transfer coefficient" // W/(m2 K)
	ThermalConductivity     Kind = "thermal conductivity"      // W/(m K)
	SpecificHeat            Kind = "specific heat"             // J/(kg K)
	Density                 Kind = "density"                   // kg/m3
	LatentHeat              Kind = "latent heat"               // J/kg
	Power                   Kind = "power"                     // W
	Energy                  Kind = "energy"                    // J
	HeatFlux                Kind = "heat flux"                 // W/m2
	Velocity                Kind = "velocity"                  // m/s
	Pressure                Kind = "pressure"                  // Pa
	Frequency               Kind = "frequency"                 // Hz (60 rpm is 1)
	HeatPerCycle            Kind = "heat per cycle and kelvin" // J/K
	ElectricResistance      Kind = "electric resistance"       // ohm
	SeebeckCoefficient      Kind = "Seebeck coefficient"       // V/K
	MassPerArea             Kind = "mass per area"             // kg/m2
)
