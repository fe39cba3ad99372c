package network

import (
	"meltspan/engine"
)

// LeastIntake is the heat flow, W, with which the load just keeps running:
// that of the engine at its stall difference and stall speed, of the generator
// at its least difference, of a sample at its limit, or the leak itself. Not
// above zero where nothing would ever end the run.
func (m *Model) LeastIntake() float64 {
	l := &m.load
	switch l.kind {
	case loadEngine:
		return l.stirling.Intake(l.keep, l.stirling.StallSpeed)
	case loadGenerator:
		hot := m.room.temperature
		in, _, _ := l.generator.Flows(hot, hot-l.keep)
		return in
	case loadSample:
		span := l.direction * (m.room.temperature - l.limit)
		for i := range m.films {
			f := &m.films[i]
			if f.faces[0].name != "sample" {
				continue
			}
			h := f.coefficient(&m.air, m.airPlate, l.limit, m.room.temperature) +
				f.faces[0].emissivity*radiationCoefficient(l.limit, m.room.temperature)
			g := h * f.area
			if l.cover > 0 {
				g = series(g, l.cover)
			}
			return g * span
		}
		return 0
	}
	return l.direction * l.leak
}

// UselessAbove is the store temperature, K, from which on the load cannot run
// however good the contact: the room less what keeps it running, or its limit.
// For a hot store it is the temperature below which it cannot run.
func (m *Model) UselessAbove() float64 {
	l := &m.load
	if l.kind == loadLeak || l.kind == loadSample {
		return l.limit
	}
	return m.room.temperature + m.solar() - l.direction*l.keep
}

// solar is how far above the air the sun and warmer surroundings can lift the
// upper plate, K: absorbed sun over the sum of its film and radiation (some 9
// W/(m2 K) indoors, ISO 6946), and half of the surroundings' excess.
func (m *Model) solar() float64 {
	const surface = 9.0
	return max(m.room.sun/surface+m.room.radiantOffset/2, 0) + m.room.swing
}

// Warnings says where the model left the range of its sources.
func (m *Model) Warnings() []string { return m.warnings }

// EnginePower estimates the shaft power of an engine that turns between plates
// at the given temperatures, K; hot and cold are the warmer and the colder
// plate. ok is false for other loads.
func (m *Model) EnginePower(hot, cold float64) (estimate engine.PowerEstimate, ok bool) {
	if m.load.kind != loadEngine {
		return engine.PowerEstimate{}, false
	}
	return m.load.stirling.Power(hot, cold, m.load.turning(hot-cold)), true
}
