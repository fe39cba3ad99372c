package predict

import (
	"math"

	"meltspan/network"
	"meltspan/result"
)

// Loss is one part of a ceiling: what of the store's capacity the run time made
// use of, or what took the rest of it.
type Loss struct {
	ID     string  `json:"id"`
	Label  string  `json:"label"`
	Energy float64 `json:"energy_J"`
	Share  float64 `json:"share"` // of the capacity; the shares of a split add up to 1
}

// The parts of a split that are no path of the heat budget.
const (
	LossReached = "reached"
	LossLoad    = "load"
	LossTail    = "tail"
)

// split says what becomes of the store's capacity C over the run time T, beside
// a ceiling of length T0. That ceiling spends P = C/T0 at every moment: the
// load's least intake q and, where still air is to fill the envelope, its leak.
// The books of the run give
//
//	C = P T + (Eload - q T) + (sum of Eleak - (P - q) T) + (C - Eload - sum of Eleak)
//
// in words: what the ceiling itself would have spent over the run time, whose
// share T/T0 is what the design reaches; what the load drew above its least
// intake; what leaked beyond the ceiling's own leak, shared out among the paths
// in proportion to what each let in; and what the store could still have taken
// up when the run ended. The parts add up to C by definition.
func split(c Ceiling, run *result.Run, ceiling float64) []Loss {
	if !(c.Capacity > 0 && ceiling > 0 && run.RunTime > 0) || math.IsInf(ceiling, 0) {
		return nil
	}
	var load, leak float64
	for _, p := range run.Budget {
		if network.PathOfLoad(p.ID) {
			load += p.Energy
		} else {
			leak += p.Energy
		}
	}
	allowed := (c.Capacity/ceiling - c.LeastIntake) * run.RunTime
	out := []Loss{
		{ID: LossReached, Label: "the run time reached", Energy: c.Capacity * run.RunTime / ceiling},
		{ID: LossLoad, Label: "load above its least intake", Energy: load - c.LeastIntake*run.RunTime},
	}
	for _, p := range run.Budget {
		if !network.PathOfLoad(p.ID) && leak != 0 {
			out = append(out, Loss{ID: p.ID, Label: p.Label, Energy: p.Energy * (1 - allowed/leak)})
		}
	}
	tail := "tail: left in the store at the end"
	if run.End == result.EndHorizon {
		tail = "not used yet when the time simulated ran out"
	}
	out = append(out, Loss{ID: LossTail, Label: tail, Energy: c.Capacity - load - leak})
	for i := range out {
		out[i].Share = out[i].Energy / c.Capacity
	}
	return out
}
