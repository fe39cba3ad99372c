// Package predict turns the network model into the answer a builder needs
// before printing: a run time with its band, what it depends on, how far it
// is from what physics allows, and a fair comparison of two designs.
package predict

import (
	"meltspan/quantity"
	"meltspan/result"
)

// Answer is all that is said about one design.
type Answer struct {
	Design       string        `json:"design"`
	Revision     string        `json:"revision"`
	Criterion    string        `json:"criterion"` // what ends the run, in words
	Nominal      *result.Run   `json:"nominal"`
	Band         Band          `json:"band"`
	StalledEarly float64       `json:"share_stalled_early"` // of the samples: the load stopped well before the store was spent
	LastIce      Band          `json:"last_ice_band"`       // of the samples in which the store melted (or froze) right through
	Inputs       []Influence   `json:"inputs"`              // all uncertain inputs, most influential first
	Residual     float64       `json:"variance_not_linear"` // share of the band's variance that no single input explains linearly
	Power        []PowerFigure `json:"power,omitempty"`     // estimates of what the load gives; none is a measurement
	Ceiling      Ceiling       `json:"ceiling"`
	Freezing     *Freezing     `json:"freezing,omitempty"` // nil when the store is not frozen
	Learned      *Learned      `json:"learned,omitempty"`  // what trials taught, where that was taken in
	Cautions     []string      `json:"cautions"`
}

// Band is a distribution of one time or ratio over the input uncertainties.
// Samples that never end carry the simulated horizon, samples that never
// start carry zero; both are counted.
type Band struct {
	Probability  float64       `json:"probability"` // 0.9: 5 % lie below Low, 5 % above High
	Low          float64       `json:"low"`
	Median       float64       `json:"median"`
	High         float64       `json:"high"`
	Mean         float64       `json:"mean"`
	Kind         quantity.Kind `json:"kind"`
	Samples      int           `json:"samples"`
	Asked        int           `json:"samples_asked"` // more than Samples when interrupted
	Seed         uint64        `json:"seed"`
	NeverStarted float64       `json:"share_never_started"`
	StillRunning float64       `json:"share_still_running"`
}

// Influence is what one uncertain input does to the run time.
type Influence struct {
	Of            string         `json:"of,omitempty"` // in a comparison, the design that alone has this input: A or B; empty when shared
	Path          string         `json:"path"`
	About         string         `json:"about"`
	Kind          quantity.Kind  `json:"kind"`
	Value         quantity.Value `json:"value"`
	Step          float64        `json:"step"`           // +10 % of the input, SI; for temperatures 10 % of the difference between room and store
	Change        float64        `json:"change"`         // relative change of run time for that step
	VarianceShare float64        `json:"variance_share"` // of the band's variance, first order
}

// Ceiling is the best that this charge and load could do.
type Ceiling struct {
	Capacity    float64 `json:"capacity_J"`     // what the store can take up from start to stall
	LeastIntake float64 `json:"least_intake_W"` // of the load, just above stall
	NoLeak      float64 `json:"no_leak_s"`      // all heat through the load at its least intake
	StillAir    float64 `json:"still_air_s"`    // the envelope outside the cup filled with ideal still air, no radiation
	AirLeak     float64 `json:"still_air_leak_W"`
	Reached     float64 `json:"reached_of_no_leak"`
	ReachedAir  float64 `json:"reached_of_still_air"`
	Split       []Loss  `json:"split_of_no_leak,omitempty"`
	SplitAir    []Loss  `json:"split_of_still_air,omitempty"`
}

// PowerFigure is one way to estimate a load's power while it ran, W; NaN where
// it does not apply, and the note says why.
type PowerFigure struct {
	Name string  `json:"name"`
	Mean float64 `json:"mean_W"` // at the mean plate difference
	Peak float64 `json:"peak_W"` // at the largest
	Note string  `json:"note"`
}

// Freezing is what the freezer must do beforehand.
type Freezing struct {
	Time      float64 `json:"time_s"`
	Low       float64 `json:"low_s"`
	High      float64 `json:"high_s"`
	Method    string  `json:"method"`
	Film      float64 `json:"film_W_m2K"` // from mould to freezer air
	FilmFrom  string  `json:"film_from"`
	Expansion float64 `json:"expansion"`  // relative growth of volume on freezing
	Poured    float64 `json:"poured_m"`   // depth of water as poured
	Frozen    float64 `json:"frozen_m"`   // height once frozen
	Headroom  float64 `json:"headroom_m"` // from frozen height to the top of the mould; negative jams or spills
	InMould   bool    `json:"in_mould"`   // false: the cup itself serves as mould
}

// Comparison is two designs under the same unknowns.
type Comparison struct {
	A           string      `json:"a"`
	RevisionA   string      `json:"revision_a"`
	RevisionB   string      `json:"revision_b"`
	B           string      `json:"b"`
	BandA       Band        `json:"band_a"`
	BandB       Band        `json:"band_b"`
	Ratio       Band        `json:"ratio"`      // run time of B over that of A
	Difference  Band        `json:"difference"` // B minus A
	Longer      float64     `json:"probability_b_longer"`
	NominalA    float64     `json:"nominal_a_s"`
	NominalB    float64     `json:"nominal_b_s"`
	Shared      int         `json:"inputs_shared"`
	OnlyA       int         `json:"inputs_only_a"`
	OnlyB       int         `json:"inputs_only_b"`
	RatioInputs []Influence `json:"ratio_inputs"` // what the ratio's band comes from: VarianceShare and, in Change, the change of the ratio
	Residual    float64     `json:"ratio_variance_not_linear"`
	Cautions    []string    `json:"cautions,omitempty"`
	RunA        *result.Run `json:"run_a"`
	RunB        *result.Run `json:"run_b"`
}
