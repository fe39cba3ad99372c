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
	m.evaluateRadiants()
	air, radiant, vapour := m.room.at(time)
	w.q[m.tableLink], w.g[m.tableLink] = m.tableConductance*(air-t[m.table]), m.tableConductance
	for _, s := range m.sun {
		w.q[s.link] = s.heat
	}
	w.dewPoint = m.room.dewPoint(vapour)
	for i := range m.films {
		m.evaluateFilm(&m.films[i], air, radiant, vapour, masses[stateCount:])
	}
	m.evaluateLoad()
	m.evaluateCup(masses, air, radiant, vapour)
}

// evaluateLoad gives the flows through the load. Each part of its
// cross-section carries its share, by its own difference; speed and power follow
// from the mean one.
func (m *Model) evaluateLoad() {
	w, l := m.work, &m.load
	t := w.temperature
	still := l.chamber
	var cycle, work float64 // W/K, W
	switch l.kind {
	case loadLeak:
		for i := range l.between {
			w.q[l.between[i].source] = l.between[i].share * l.leak
		}
		return
	case loadEngine:
		if m.running {
			speed := l.turning(l.difference(t))
			cycle = l.stirling.IntakePerCycle * speed
			hot, cold := l.sides(t)
			work = max(0, engine.West(engine.MeanWestNumber, l.stirling.MeanPressure, l.stirling.PowerSweptVolume, speed, hot, cold))
		}
	case loadGenerator:
		still = l.generator.ThermalConductance
		if hot, cold := l.sides(t); hot != cold {
			var in float64
			in, _, work = l.generator.Flows(hot, cold)
			cycle = in/(hot-cold) - still
		}
	}
	for i := range l.between {
		c := &l.between[i]
		difference := t[c.upper] - t[c.lower]
		w.q[c.still], w.g[c.still] = c.share*still*difference, c.share*still
		if l.kind == loadSample {
			continue
		}
		w.q[c.cycle], w.g[c.cycle] = c.share*cycle*difference, c.share*cycle
		w.q[c.work] = c.share * work
	}
}

// sides returns the temperatures of the warmer and the colder plate, in the
// direction in which the load works.
func (l *load) sides(t []float64) (hot, cold float64) {
	upper, lower := l.upper.temperature(t), l.lower.temperature(t)
	if l.direction > 0 {
		return upper, lower
	}
	return lower, upper
}
