// Package result holds what a run of any depth (network, section field, 3-D)
// reports, so that they can be compared, drawn and kept alike.
package result

import "meltspan/quantity"

// EventKind names something that happens at a moment of a run.
type EventKind string

// The events a run locates in time.
const (
	LoadSet     EventKind = "load set"
	Started     EventKind = "started"
	Stalled     EventKind = "stalled"
	Restarted   EventKind = "restarted"
	MeltStart   EventKind = "melting begins"
	MeltEnd     EventKind = "last of the store melted"
	FreezeStart EventKind = "freezing begins"
	FreezeEnd   EventKind = "all of the store frozen"
	ContactLost EventKind = "contact lost"
	FirstSweat  EventKind = "first sweat"
	Overflow    EventKind = "tray overflows"
	LimitPassed EventKind = "limit passed"
	HorizonEnd  EventKind = "end of the time simulated"
)

// Event is one located event.
type Event struct {
	Kind   EventKind `json:"kind"`
	Time   float64   `json:"time_s"`
	Detail string    `json:"detail,omitempty"`
}

// Channel is one course over time, on the run's common Times.
type Channel struct {
	ID     string        `json:"id"`
	Label  string        `json:"label"`
	Kind   quantity.Kind `json:"kind"`
	Values []float64     `json:"values"` // SI; NaN where it has no meaning
}

// The ends a run can come to.
const (
	EndStalled      = "stalled"       // ran, then fell below stall for good
	EndNeverStarted = "never started" // never reached the start difference
	EndLimit        = "limit passed"  // sample or leak passed its limit
	EndHorizon      = "still running" // the time simulated ran out first
)

// Flow is the heat that passed from one group of parts to another over the
// run time (or, until the end of the simulation, when it never ended).
// From and To are groups: "room", "top plate", "bottom plate", "engine",
// "rim", "wall", "base", "store", "work". Mechanism tells parallel flows
// apart: "convection", "radiation", "condensation", "sun", "conduction",
// "cycle", "contact or gap", "stored heat", ...
type Flow struct {
	From      string  `json:"from"`
	To        string  `json:"to"`
	Mechanism string  `json:"mechanism"`
	Energy    float64 `json:"energy_J"`
}

// Path is one line of the heat budget: heat that reached the store (or left
// it, when hot) by one way, over the run time. Shares add up to 1.
type Path struct {
	ID     string  `json:"id"`
	Label  string  `json:"label"`
	Energy float64 `json:"energy_J"`
	Share  float64 `json:"share"`
}

// Ledger proves conservation over the whole simulation.
type Ledger struct {
	Gained   float64 `json:"gained"`   // across the boundary; J or kg
	Kept     float64 `json:"kept"`     // change of what is stored
	Left     float64 `json:"left"`     // work, drained or overflowed
	Scale    float64 `json:"scale"`    // what the residual is compared with
	Residual float64 `json:"residual"` // (gained - kept - left) / scale
}

// Face is an outer face that may sweat.
type Face struct {
	Name       string  `json:"name"`
	Area       float64 `json:"area_m2"`
	Coldest    float64 `json:"coldest_K"`
	FirstSweat float64 `json:"first_sweat_s"` // NaN: stays dry
	Condensate float64 `json:"condensate_kg"` // all that condensed on it, over the run time
}

// Run is the answer of one deterministic run.
type Run struct {
	Design    string  `json:"design"`
	Revision  string  `json:"revision"`
	Depth     string  `json:"depth"`
	End       string  `json:"end"`
	RunTime   float64 `json:"run_time_s"` // from setting on the load; 0 when it never started
	Start     float64 `json:"start_s"`    // first turning; NaN if never
	LastIce   float64 `json:"last_ice_s"` // NaN when none, or not reached
	Simulated float64 `json:"simulated_s"`

	Times    []float64 `json:"times_s"`
	Channels []Channel `json:"channels"`
	Events   []Event   `json:"events"`

	Flows  []Flow `json:"flows"`
	Budget []Path `json:"budget"`
	Faces  []Face `json:"faces"`

	Energy Ledger `json:"energy_ledger"`
	Water  Ledger `json:"water_ledger"`

	MeanIntake     float64 `json:"mean_intake_W"` // heat into the load while it ran
	PeakIntake     float64 `json:"peak_intake_W"`
	MeanPower      float64 `json:"mean_power_W"` // mechanical or electric, estimated
	PeakPower      float64 `json:"peak_power_W"`
	MeanDifference float64 `json:"mean_difference_K"`
	PeakDifference float64 `json:"peak_difference_K"`
	MeanStoreHeat  float64 `json:"mean_store_heat_W"` // all heat into (out of) the store

	TrayFill   float64 `json:"tray_fill_m3"`
	TrayLeft   float64 `json:"tray_left_m3"`
	LargestGap float64 `json:"largest_gap_m"`

	Section *Section `json:"section,omitempty"` // only of a run on a fine section or in three dimensions
	Round   *Round   `json:"round,omitempty"`   // only of a run in three dimensions

	Steps    int      `json:"steps"`
	Warnings []string `json:"warnings,omitempty"`
}

// FirstStall is when the load stalled for the first time, s; the run time of a
// load that did not. One that stalls near its limit could be set going again, and
// RunTime counts to its last stall; whoever leaves it alone sees the first.
func (r *Run) FirstStall() float64 {
	for i := range r.Events {
		if r.Events[i].Kind == Stalled {
			return r.Events[i].Time
		}
	}
	return r.RunTime
}

// Channel returns the channel with the given ID, or nil.
func (r *Run) Channel(id string) *Channel {
	for i := range r.Channels {
		if r.Channels[i].ID == id {
			return &r.Channels[i]
		}
	}
	return nil
}
