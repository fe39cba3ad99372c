package network

import "math"

// LeastIntake is the heat flow, W, with which the load just keeps running:
// that of the engine at its stall difference and stall speed, of the generator
// at its least difference, of a sample at its limit, or the leak itself.
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
		span := math.Abs(m.room.temperature - l.limit)
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
	return math.Abs(l.leak)
}

// UselessAbove is the store temperature, K, from which on the load cannot run
// however good the contact: the room less what keeps it running, or its limit.
// For a hot store it is the temperature below which it cannot run.
func (m *Model) UselessAbove() float64 {
	l := &m.load
	if l.kind == loadLeak || l.kind == loadSample {
		return l.limit
	}
	return m.room.temperature - l.direction*l.keep
}

// ColdStore reports whether the store is colder than the room.
func (m *Model) ColdStore() bool { return m.load.direction > 0 }

// Warnings says where the model left the range of its sources.
func (m *Model) Warnings() []string { return m.warnings }
