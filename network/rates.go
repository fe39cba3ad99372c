package network

import (
	"meltspan/engine"
)

// evaluate works out, for a state and a moment, the flow of every link, its
// conductance (for the Jacobian) and the rates of the masses.
func (m *Model) evaluate(y []float64, time float64) {
	w := m.work
	m.setTemperatures(y)
	masses := y[len(m.nodes):]
	m.place(masses[stateSolid], masses[stateLiquid], masses[stateRadius], &w.geometry)

	t := w.temperature
	for i := range m.fixed {
		f := &m.fixed[i]
		w.q[f.link], w.g[f.link] = f.conductance*(t[f.a]-t[f.b]), f.conductance
	}
	for i := range m.cavities {
		m.evaluateCavity(&m.cavities[i])
	}
	air, radiant, vapour := m.room.at(time)
	w.q[m.tableLink], w.g[m.tableLink] = m.tableConductance*(air-t[m.table]), m.tableConductance
	if m.sunHeat > 0 {
		w.q[m.sunLink] = m.sunHeat
	}
	w.dewPoint = m.room.dewPoint(vapour)
	for i := range m.films {
		m.evaluateFilm(&m.films[i], air, radiant, vapour, masses[stateCount:])
	}
	m.evaluateLoad()
	m.evaluateCup(masses, air, radiant, vapour)
}

// evaluateLoad gives the flows through the load.
func (m *Model) evaluateLoad() {
	w, l := m.work, &m.load
	t := w.temperature
	switch l.kind {
	case loadLeak:
		w.q[l.source] = l.leak
	case loadSample:
		w.q[l.still], w.g[l.still] = l.chamber*(t[l.top]-t[l.bottom]), l.chamber
	case loadEngine:
		w.q[l.still], w.g[l.still] = l.chamber*(t[l.top]-t[l.bottom]), l.chamber
		w.q[l.cycle], w.g[l.cycle], w.q[l.work] = 0, 0, 0
		if !m.running {
			return
		}
		difference := l.difference(t)
		speed := l.turning(difference)
		g := l.stirling.IntakePerCycle * speed
		w.q[l.cycle], w.g[l.cycle] = l.direction*g*difference, g
		hot, cold := l.sides(t)
		w.q[l.work] = max(0, engine.West(engine.MeanWestNumber, l.stirling.MeanPressure, l.stirling.PowerSweptVolume, speed, hot, cold))
	case loadGenerator:
		hot, cold := l.sides(t)
		if hot == cold {
			w.q[l.still], w.g[l.still] = l.generator.ThermalConductance*(t[l.top]-t[l.bottom]), l.generator.ThermalConductance
			w.q[l.cycle], w.g[l.cycle], w.q[l.work] = 0, 0, 0
			return
		}
		in, _, electric := l.generator.Flows(hot, cold)
		still := l.generator.ThermalConductance * (hot - cold)
		w.q[l.still], w.g[l.still] = l.direction*still, l.generator.ThermalConductance
		w.q[l.cycle], w.g[l.cycle] = l.direction*(in-still), (in-still)/(hot-cold)
		w.q[l.work] = electric
	}
}

// sides returns the temperatures of the warmer and the colder plate, in the
// direction in which the load works.
func (l *load) sides(t []float64) (hot, cold float64) {
	if l.direction > 0 {
		return t[l.top], t[l.bottom]
	}
	return t[l.bottom], t[l.top]
}
