package engine

// Generator is a thermoelectric generator clamped between two plates, with
// properties that do not change with temperature.
type Generator struct {
	ThermalConductance float64 // plate to plate with no current, W/K
	Seebeck            float64 // open-circuit voltage of the whole module, V/K
	InternalResistance float64 // ohm
	LoadResistance     float64 // ohm; +Inf for an open circuit
	LeastDifference    float64 // plate difference below which it is of no use, K
}

// Current returns the current, A, at plate temperatures hot and cold, K. It has
// the sign of the difference, and is 0 when the circuit has no resistance at
// all, which no module has.
func (g Generator) Current(hot, cold float64) float64 {
	total := g.InternalResistance + g.LoadResistance
	if !(total > 0) {
		return 0
	}
	return g.Seebeck * (hot - cold) / total
}

// Flows returns the heat flow into the hot side, that out of the cold side and
// the electric power in the load, all W:
//
//	hot side   K dT + S I Th - I^2 R/2
//	cold side  K dT + S I Tc + I^2 R/2
//
// with half of the Joule heat going to each side (Ioffe, Semiconductor
// Thermoelements, 1957). The first is the sum of the other two. Hot below cold
// is allowed: the flows then turn about.
func (g Generator) Flows(hot, cold float64) (intoHotSide, outOfColdSide, electric float64) {
	current := g.Current(hot, cold)
	conducted := g.ThermalConductance * (hot - cold)
	joule := current * current * g.InternalResistance / 2
	intoHotSide = conducted + g.Seebeck*current*hot - joule
	outOfColdSide = conducted + g.Seebeck*current*cold + joule
	if current != 0 { // an open circuit has infinite resistance and no power
		electric = current * current * g.LoadResistance
	}
	return intoHotSide, outOfColdSide, electric
}
