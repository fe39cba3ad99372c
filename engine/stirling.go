package engine

import "math"

// Stirling is a low-temperature-difference Stirling engine between two plates,
// of the gamma kind: a displacer moves the gas between the plates, and a small
// power piston works at the cold side.
type Stirling struct {
	StillConductance float64 // plate to plate when it stands still, W/K
	IntakePerCycle   float64 // extra heat carried in one turn per kelvin, J/K
	StallDifference  float64 // plate difference below which it stops, K
	StartDifference  float64 // plate difference at which it can be started, K
	StallSpeed       float64 // just before it stalls, Hz
	SpeedPerKelvin   float64 // gain of speed per kelvin above stall, Hz/K

	PowerSweptVolume     float64 // m3
	DisplacerSweptVolume float64 // m3
	DeadVolume           float64 // m3
	MeanPressure         float64 // Pa
}

// Speed returns the speed, Hz, of the running engine at a plate difference, K,
// of either sign (the engine turns the other way round on a hot store): the
// stall speed at the stall difference and a straight line above it, 0 below.
//
// A straight line is common practice for small engines. Theory and experiment
// agree that rotation is lost at a finite speed below a least difference
// (Toyabe and Izumida, Physical Review Research 2 (2020) 033146), hence the
// jump. Whether the engine has stalled for good is for the caller to remember:
// it starts again at StartDifference only.
func (s Stirling) Speed(difference float64) float64 {
	excess := math.Abs(difference) - s.StallDifference
	if !(excess >= 0) {
		return 0
	}
	return s.StallSpeed + s.SpeedPerKelvin*excess
}

// Intake returns the heat flow, W, from the first plate to the second at a
// plate difference, K, and a speed, Hz; it has the sign of the difference. It
// is that of the still engine plus what the moving gas carries from plate to
// plate, taken as proportional to difference and speed. The work drawn off is
// some thousandths of it and is not subtracted from either side.
func (s Stirling) Intake(difference, speed float64) float64 {
	return (s.StillConductance + s.IntakePerCycle*speed) * difference
}
