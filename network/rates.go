package network

import (
	"math"

	"meltspan/engine"
	"meltspan/matter"
	"meltspan/transfer"
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
		c := &m.cavities[i]
		g := c.conductance(&m.air, t[c.a], t[c.b])
		w.q[c.link], w.g[c.link] = g*(t[c.a]-t[c.b]), g*c.steep
	}
	air, radiant, vapour := m.room.at(time)
	w.q[m.tableLink], w.g[m.tableLink] = m.tableConductance*(air-t[m.table]), m.tableConductance
	if m.sunHeat > 0 {
		w.q[m.sunLink] = m.sunHeat
	}
	for i := range m.faces {
		m.evaluateFace(&m.faces[i], air, radiant, vapour, masses[stateCount:])
	}
	m.evaluateLoad()
	m.evaluateCup(masses, air, vapour)
}

// steepFilm: the flow of a free film grows with the power 5/4 to 4/3 of its
// difference.
const steepFilm = 1.3

func (m *Model) evaluateFace(f *face, air, radiant, vapour float64, held []float64) {
	w := m.work
	surface := w.temperature[f.node]
	h := f.kept
	if m.work.fresh || math.Abs(air-surface) >= evenly {
		h = f.coefficient(&m.air, m.airPlate, surface, air)
		f.kept = h
	}
	w.q[f.convection], w.g[f.convection] = h*f.area*(air-surface), steepFilm*h*f.area

	emissivity := f.emissivity
	water := max(held[f.moisture], 0)
	if f.film == filmUp && emissivity < wetEmissivity && water > 0 {
		film := water / f.area
		emissivity += (wetEmissivity - emissivity) * film / (film + 0.01)
	}
	radiation := emissivity * radiationCoefficient(radiant, surface) * f.area
	w.q[f.radiation], w.g[f.radiation] = radiation*(radiant-surface), radiation

	mass, latent, slope := m.vapourToFace(h, surface, air, vapour)
	mass, slope = mass*f.area, slope*f.area
	decay := 0.0
	if mass < 0 {
		// Only what clings to the face can evaporate.
		left, scale := remaining(water, lastFilm*f.area)
		decay = -mass * scale
		mass, slope = mass*left, slope*left
	}
	w.q[f.latent], w.g[f.latent] = mass*latent, slope*latent
	flow := &w.massFlows[f.moisture]
	flow.rate, flow.decay = -mass, decay
}

// lastFilm is the film, kg/m2, below which a drying face no longer evaporates
// at its full rate: it has dried in part.
const lastFilm = 0.002

// remaining is the share of a drying face that is still wet when it holds the
// given mass, with half at the scale, and the slope of that share.
func remaining(mass, scale float64) (share, slope float64) {
	sum := mass + scale
	return mass / sum, scale / (sum * sum)
}

// vapourToFace is the flux of vapour from the room onto a face, kg/(m2 s), by
// the heat-mass analogy, with the latent heat (J/kg) that it brings and its
// slope with the temperature of the face (positive, kg/(m2 s K)). It is
// transfer.Condensation with the coefficient of the run's mean air and without
// Stefan flow, which at room temperature is one per cent.
func (m *Model) vapourToFace(h, surface, air, vapour float64) (flux, latent, slope float64) {
	saturation := matter.SaturationPressure(surface)
	latent = matter.LatentHeatVaporisation(surface)
	if surface < matter.MeltingPoint {
		latent = matter.LatentHeatSublimation(surface)
	}
	gas := matter.GasConstantWaterVapour * (surface + air) / 2
	beta := h * m.lewis * m.vapourFactor
	flux = beta * (vapour - saturation) / gas
	slope = beta * saturation / gas * latent / (matter.GasConstantWaterVapour * surface * surface)
	return flux, latent, slope
}

func radiationCoefficient(a, b float64) float64 {
	return transfer.StefanBoltzmann * (a*a + b*b) * (a + b)
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
		w.q[l.work] = math.Max(0, engine.West(engine.MeanWestNumber, l.stirling.MeanPressure, l.stirling.PowerSweptVolume, speed, hot, cold))
	case loadGenerator:
		hot, cold := l.sides(t)
		if hot <= cold {
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
