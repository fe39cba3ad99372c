package network

import (
	"meltspan/matter"
	"meltspan/transfer"
)

// spillTime is how fast what stands above the lip, or drains, runs off, s.
const spillTime = 60.0

// evaluateCup gives the flows between store, plate and cup for the geometry of
// the moment.
func (m *Model) evaluateCup(masses []float64, air, radiant, vapour float64) {
	w := m.work
	g := &w.geometry
	if w.fresh {
		w.wet = wetting{g.level, g.bottom, g.top, g.footprint}
	}
	m.plateToStore(masses, g)
	m.floorToStore(masses, g)
	m.wallsToStore(masses, g)
	m.liquidToSolid(g)
	m.openRing(masses[stateLiquid], g, air, radiant, vapour)
	m.rimToPlate(g)
	m.spill(masses, g)
}

// wetting is how the store stands against wall and floor in the state that a
// step starts from. It stays so within the step: a thin cell of the wall that
// became wet half way through would be pulled far past the store's own
// temperature.
type wetting struct{ level, bottom, top, footprint float64 }

// set gives a link its conductance and works out its flow.
func (m *Model) set(link int, conductance float64) { m.setConvecting(link, conductance, 1) }

// setConvecting is set for a link whose flow grows by the factor slope faster
// than its conductance says: the Jacobian needs the slope, and one too small
// makes the integrator creep.
func (m *Model) setConvecting(link int, conductance, slope float64) {
	w := m.work
	w.g[link] = conductance * slope
	if conductance == 0 {
		w.q[link] = 0
		return
	}
	w.q[link] = conductance * (m.ending(w.ends[link].a) - m.ending(w.ends[link].b))
}

// at is the temperature of an end of a link, named as the model names it.
func (m *Model) at(end int) float64 { return m.ending(m.end(end)) }

// ending is the temperature of an end of a link in the present phase.
func (m *Model) ending(end int) float64 {
	if end >= 0 {
		return m.work.temperature[end]
	}
	return m.store.melting
}

// surfaceTemperature is that of the top of the store.
func (m *Model) surfaceTemperature(solid bool) float64 {
	if solid {
		return m.at(body)
	}
	return m.at(m.store.node)
}

// floorToStore: through pegs and whatever lies under the solid, straight to
// it; beside the solid to the liquid.
func (m *Model) floorToStore(masses []float64, g *geometry) {
	w, s := m.work, &m.store
	fluid := s.liquid
	floor := 0.0
	for i := range m.floor {
		floor += w.temperature[m.floor[i].node] * (m.floor[i].share * m.floor[i].ring) / m.cupArea
	}
	// Coefficients, W/(m2 K): to the solid above, to the liquid under it, to
	// the liquid beside it.
	var direct, under, beside, peg float64
	switch {
	case m.phase == phaseFreezing || (m.phase == phaseSolid && s.cast):
		layer := 0.0
		if m.phase == phaseFreezing {
			layer = max(masses[stateFrozenFloor], 0) / (s.solidDensity * m.cupArea)
		}
		direct = 1 / (1/s.wet + layer/s.solidConductivity)
	case g.footprint > 0 && g.height > 0:
		share := m.poolShare(g)
		direct = (1 - share) * m.underSolid(g, floor, &fluid)
		if m.pegConductance > 0 && g.under < m.pegHeight+touching {
			peg = m.pegCoefficient
			if peg == 0 {
				direct += m.pegConductance / g.footprint
			}
		}
		if share > 0 {
			nusselt := m.poolHorizontal(lagFloorUnder, floor, m.at(s.node), g.under/2, &fluid)
			under = share * nusselt * fluid.Conductivity / (g.under / 2) * m.poolFactor
		}
		if m.phase == phaseMelting {
			puddle := g.level / (g.level + touching) // a puddle does not cover the floor
			beside = puddle * fluid.Conductivity / max(g.level/2, touching) * m.poolFactor
		}
	case g.level > 0:
		depth := max(g.level/2, 1e-4)
		beside = m.poolHorizontal(lagFloor, floor, m.at(s.node), depth, &fluid) * fluid.Conductivity / depth * m.poolFactor
	}
	spread := m.spreadPieces(w.wet.footprint)
	for i := range m.floor {
		cell := &m.floor[i]
		solid := spread.over(cell.inside, cell.ring, cell.cover)
		if m.phase == phaseFreezing {
			solid = cell.ring
		}
		m.set(cell.toSolid, cell.share*solid*((1-cell.pegs)*through(direct, m.floorHalf)+cell.pegs*through(peg, m.floorHalf)))
		m.set(cell.toLiquid, cell.share*(solid*(1-cell.pegs)*through(under, m.floorHalf)+(cell.ring-solid)*through(beside, m.floorHalf)))
	}
}

// through puts the resistance of half a layer in front of a coefficient.
func through(coefficient, half float64) float64 { return coefficient / (1 + coefficient*half) }

// wideLayer is the depth, m, of liquid under the solid from which on it mixes
// with the liquid beside it rather than conduct straight up (a judgement: some
// millimetres, the width of the ring of melt).
const wideLayer = 4e-3

// poolShare is the share of the space under the solid that belongs to the pool.
func (m *Model) poolShare(g *geometry) float64 {
	if m.phase != phaseMelting || g.under <= 0 {
		return 0
	}
	return g.underWet * g.under / (g.under + wideLayer)
}

// underSolid is the heat transfer coefficient from floor surface to the
// underside of the solid: wet contact, and as a layer of liquid (stable or
// not by its densities) or of air opens, that layer.
func (m *Model) underSolid(g *geometry, floor float64, fluid *matter.Fluid) float64 {
	s := &m.store
	if g.under < 1e-6 {
		return s.wet
	}
	liquid := m.poolHorizontal(lagUnderSolid, floor, s.melting, g.under, fluid) * fluid.Conductivity / g.under * m.poolFactor
	radiation := transfer.ExchangeParallel(m.cupEmissivity, s.emissivity) * radiationCoefficient(floor, s.melting)
	dry := m.air.Conductivity/g.under + radiation
	open := g.underWet*liquid + (1-g.underWet)*dry
	return s.wet * open / (s.wet + open)
}

// wallsToStore: each band of the cup's wall gives its heat to the liquid where
// that stands against it, to the solid across a dry gap, and above the store
// by radiation and weak convection to plate and store.
func (m *Model) wallsToStore(masses []float64, g *geometry) {
	w, s := m.work, &m.store
	fluid := s.liquid
	surface := body
	if m.phase == phaseLiquid || g.footprint == 0 && m.phase != phaseFreezing {
		surface = s.node
	}
	side := 0.0
	if wetSide := m.phase == phaseMelting || m.phase == phaseLiquid; wetSide && g.level > 0 {
		side = m.poolSide(lagWall, m.wallTemperature(g.level), m.at(s.node), g, &fluid)
	}
	wet := &w.wet
	for i := range m.zones {
		z := &m.zones[i]
		around := z.around
		wetHeight := overlap(z.low, z.high, 0, wet.level)
		toLiquid, toSolid, toPlate := 0.0, 0.0, 0.0
		wall := w.temperature[z.node]
		switch {
		case m.phase == phaseFreezing || (m.phase == phaseSolid && s.cast):
			layer := 0.0
			if m.phase == phaseFreezing {
				layer = max(masses[stateFrozenSide], 0) / (s.solidDensity * max(g.side, 1e-9))
			}
			toSolid = around * wetHeight / (z.half + 1/s.wet + layer/s.solidConductivity)
		case m.phase == phaseSolid:
			toSolid = around * overlap(z.low, z.high, wet.bottom, wet.top) / (z.half + 1/m.dryGap(g.sideGap, wall))
		default:
			if wetHeight > 0 {
				toLiquid = around * wetHeight * through(side, z.half)
			}
			if dry := overlap(z.low, z.high, max(wet.bottom, wet.level), wet.top); dry > 0 && g.footprint > 0 {
				toSolid = around * dry / (z.half + 1/m.dryGap(g.sideGap, wall))
			}
		}
		top := max(wet.level, wet.top)
		if bare := overlap(z.low, z.high, top, max(z.high, top)); bare > 0 {
			h := m.cupEmissivity * radiationCoefficient(wall, w.temperature[z.plate])
			toPlate = h * around * bare / 2 * m.plateEmissivity
			if surface == body {
				toSolid += h * around * bare / 2
			} else {
				toLiquid += h * around * bare / 2
			}
		}
		m.set(z.toLiquid, toLiquid)
		m.set(z.toSolid, toSolid)
		m.set(z.toPlate, toPlate)
	}
}

// wallTemperature is the mean of the cup's wall below a level.
func (m *Model) wallTemperature(level float64) float64 {
	sum, height := 0.0, 0.0
	for i := range m.zones {
		z := &m.zones[i]
		wet := z.share * overlap(z.low, z.high, 0, level)
		sum += wet * m.work.temperature[z.node]
		height += wet
	}
	if height <= 0 {
		return m.work.temperature[m.zones[0].node]
	}
	return sum / height
}

func overlap(low, high, from, to float64) float64 {
	return max(min(high, to)-max(low, from), 0)
}

// dryGap is the coefficient across air between wall and solid, W/(m2 K).
func (m *Model) dryGap(distance, wall float64) float64 {
	radiation := transfer.ExchangeParallel(m.cupEmissivity, m.store.emissivity) * radiationCoefficient(wall, m.store.melting)
	return m.air.Conductivity/distance + radiation
}

// poolSide is the coefficient between an upright face and the bulk of the
// liquid, W/(m2 K): conduction over half of a narrow annulus, convection in a
// wide one, whichever carries more.
func (m *Model) poolSide(slot int, face, pool float64, g *geometry, fluid *matter.Fluid) float64 {
	width := m.cupRadius / 2
	if g.sideGap > 0 {
		width = g.sideGap / 2
	}
	height := max(g.level, 1e-3)
	conduction := fluid.Conductivity / max(width, 1e-4)
	convection := m.poolUpright(slot, face, pool, height, fluid) * fluid.Conductivity / height
	return max(conduction, convection) * m.poolFactor
}

// liquidToSolid: the melt gives its warmth to the solid's sides, and to its
// underside where it stands deep enough below.
func (m *Model) liquidToSolid(g *geometry) {
	conductance, under := 0.0, 0.0
	if m.phase == phaseMelting && g.sideWet > 0 {
		fluid := m.store.liquid
		pool := m.at(m.store.node)
		conductance = g.sideWet * m.poolSide(lagSide, m.store.melting, pool, g, &fluid)
		if share := m.poolShare(g); share > 0 {
			nusselt := m.poolHorizontal(lagUnder, pool, m.store.melting, g.under/2, &fluid)
			under = share * g.footprint * nusselt * fluid.Conductivity / (g.under / 2) * m.poolFactor
		}
	}
	m.set(m.cup.liquidUnder, under)
	m.set(m.cup.liquidSolid, conductance)
}

// spill carries what stands above the lip, and the melt of a cup that drains,
// to the tray.
func (m *Model) spill(masses []float64, g *geometry) {
	w, s := m.work, &m.store
	rate, decay := 0.0, 0.0
	if above := g.level - m.cupDepth; above > 0 && masses[stateLiquid] > 0 {
		rate += above * m.cupArea * s.liquidDensity / spillTime
		decay += 1 / spillTime
	}
	if m.drains {
		rate += max(masses[stateLiquid]-clinging*s.mass, 0) / spillTime // a film stays
		decay += 1 / spillTime
	}
	flow := &w.massFlows[m.faceCount+flowSpill]
	flow.rate, flow.decay = rate, decay
	w.q[m.cup.drained] = rate * s.liquidHeat * (m.at(s.node) - s.melting)
	w.g[m.cup.drained] = rate * s.liquidHeat
}
