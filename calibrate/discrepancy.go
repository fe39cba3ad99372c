package calibrate

import "math"

// Discrepancy is how far bench and model differ beyond what the unknown inputs
// explain, and how well sensors read where their series do not say. All are
// assumed, not measured; every result repeats them. Values are one standard
// deviation.
type Discrepancy struct {
	Design      float64 `json:"pace_of_a_design"`       // relative, of all times of all trials of one design
	Repeat      float64 `json:"pace_of_a_trial"`        // relative, of all times of one trial: what repeats scatter
	Stall       float64 `json:"stall_difference_K"`     // of one trial, beside the difference at which its load stalls on average: friction, and the plates' own deviation
	LastIce     float64 `json:"last_ice"`               // relative, of that moment beside the run time
	Temperature float64 `json:"temperature_K"`          // of a plate's course, slowly varying
	Correlation float64 `json:"correlation_share"`      // of the predicted run time over which a course's deviation lasts
	Speed       float64 `json:"speed"`                  // relative, slowly varying
	Melt        float64 `json:"melt"`                   // relative, of a melted mass
	Sensor      float64 `json:"sensor_K"`               // constant error of a sensor whose series states none
	Tachometer  float64 `json:"tachometer"`             // relative, constant error of a speed
	Scale       float64 `json:"scale_kg"`               // of a weighing
	Stopwatch   float64 `json:"stopwatch_s"`            // of an event that states none
	Lid         float64 `json:"lid_W_per_K"`            // conductance of the lid of a blank melt, known to half of itself
	Heater      float64 `json:"heater_power,omitempty"` // relative, of a heater whose series states none
}

// DefaultDiscrepancy is assumed unless told otherwise. The pace of a design is
// what network and section differ by (docs/section-agreement.md) with as much
// again for what both leave out; the others are judgement, and common practice
// for household sensors.
func DefaultDiscrepancy() Discrepancy {
	return Discrepancy{
		Design: 0.04, Repeat: 0.03, Stall: 0.3, LastIce: 0.03,
		Temperature: 0.3, Correlation: 0.3, Speed: 0.08, Melt: 0.03,
		Sensor: 0.25, Tachometer: 0.02, Scale: 0.5e-3, Stopwatch: 60, Lid: 0.006, Heater: 0.02,
	}
}

// matern is the correlation of a slowly varying deviation between two moments,
// of the Matérn family with smoothness 3/2: continuous with its slope, so that a
// short piece of a course says little of what is to come (Rasmussen and
// Williams, Gaussian Processes for Machine Learning (2006), eq. 4.17, from
// memory).
func matern(separation, length float64) float64 {
	r := math.Sqrt(3) * math.Abs(separation) / length
	return (1 + r) * math.Exp(-r)
}
