// Package matter holds the properties of what a passive thermal device is
// made of and filled with: air, water, ice and vapour, solids and printed
// composites, and the substances that can serve as a store.
//
// All arguments and results are in SI; temperatures are in kelvin. Functions
// of temperature stay finite outside their stated range by continuing their
// own equation, unless they say otherwise; NaN gives NaN. None of them
// allocates, keeps state or does I/O.
package matter

// Physical constants.
const (
	// MolarGasConstant in J/(mol K): CODATA 2018, exact.
	MolarGasConstant = 8.314462618
	// StandardPressure is one standard atmosphere in Pa, exact.
	StandardPressure = 101325.0
	// StandardGravity in m/s2 (CGPM 1901, exact by convention).
	StandardGravity = 9.80665
	// MolarMassWater in kg/mol: IAPWS-95 release (R6-95(2018)), 18.015268 g/mol.
	MolarMassWater = 18.015268e-3
	// MolarMassDryAir in kg/mol: ASHRAE Handbook Fundamentals 2017, chapter 1.
	// (The nitrogen-oxygen-argon mixture of Lemmon et al. 2000 has 28.9586;
	// real air also carries carbon dioxide.)
	MolarMassDryAir = 28.966e-3
	// GasConstantDryAir in J/(kg K).
	GasConstantDryAir = MolarGasConstant / MolarMassDryAir
	// GasConstantWaterVapour in J/(kg K).
	GasConstantWaterVapour = MolarGasConstant / MolarMassWater
	// IcePoint is 0 degC in K: where ice and air-saturated water are in
	// equilibrium at one atmosphere.
	IcePoint = 273.15
	// TriplePoint of water in K (IAPWS R10-06, R14-08).
	TriplePoint = 273.16
	// TriplePointPressure of water in Pa (IAPWS R14-08).
	TriplePointPressure = 611.657
)
