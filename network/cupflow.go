package network

import (
	"math"

	"meltspan/matter"
	"meltspan/transfer"
)

// touching is the gap, m, below which water still bridges plate and store:
// the height of a hanging film or drop (common practice, some tenths of a
// millimetre).
const touching = 0.2e-3

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
	m.openRing(g, air, radiant, vapour)
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

// plateToStore: wet contact where they touch; else conduction (or convection,
// when the store is the warmer and so heats the layer from below) and
// radiation across the gap, and vapour if the warmer face is wet.
func (m *Model) plateToStore(masses []float64, g *geometry) {
	w, s := m.work, &m.store
	plate := w.temperature[m.load.bottom]
	film := max(masses[stateFilm], 0)

	w.q[m.cup.plateVapour], w.g[m.cup.plateVapour] = 0, 0
	solid, solidVapour := m.gap(lagGapSolid, g.gapSolid, g.areaSolid, plate, m.surfaceTemperature(true), film)
	if m.phase == phaseFreezing && g.areaLiquid > 0 {
		// The solid that grows under the surface adds its own resistance.
		solid, solidVapour = m.gap(lagGapSolid, g.gapLiquid, g.areaLiquid, plate, s.melting, film)
		layer := max(masses[stateFrozenTop], 0) / (s.solidDensity * g.areaLiquid)
		solid = series(solid, s.solidConductivity*g.areaLiquid/max(layer, 1e-6))
	}
	m.setConvecting(m.cup.plateSolid, solid, steepUpright)
	liquid, liquidVapour := 0.0, vapourFlow{}
	if m.phase == phaseMelting || m.phase == phaseLiquid {
		liquid, liquidVapour = m.gap(lagGapLiquid, g.gapLiquid, g.areaLiquid, plate, m.surfaceTemperature(false), film)
		liquid = m.underSurface(liquid, g, plate)
	}
	m.setConvecting(m.cup.plateLiquid, liquid, steepUpright)
	m.crossVapour(solidVapour, liquidVapour)
}

// underSurface puts the water's own resistance below its surface in series.
func (m *Model) underSurface(conductance float64, g *geometry, plate float64) float64 {
	if conductance <= 0 || g.level <= 0 {
		return conductance
	}
	pool := m.surfaceTemperature(false)
	depth := max(g.level/2, 1e-4)
	surface := pool + (plate-pool)*0.2
	fluid := m.store.liquid
	nusselt := m.poolHorizontal(lagSurface, pool, surface, depth, &fluid)
	return series(conductance, nusselt*fluid.Conductivity/depth*g.areaLiquid*m.poolFactor)
}

// vapourFlow is what crosses a gap: kg/s and W, from plate to store.
type vapourFlow struct {
	mass, heat float64
	decay      float64 // 1/s, of the mass with the film it leaves
}

// gap returns the conductance, W/K, between the plate and a part of the
// store's surface, and the vapour that crosses.
func (m *Model) gap(slot int, distance, area, plate, surface, film float64) (float64, vapourFlow) {
	if area <= 0 {
		return 0, vapourFlow{}
	}
	s := &m.store
	wet := s.wet * area
	if distance < 1e-6 {
		return wet, vapourFlow{}
	}
	nusselt := m.gapNusselt(slot, distance, plate, surface)
	radiation := transfer.ExchangeParallel(m.plateEmissivity, s.emissivity) * radiationCoefficient(plate, surface) *
		m.plateView(m.opening(&m.work.geometry))
	open := m.gapFactor * (nusselt*m.air.Conductivity/distance + radiation) * area
	bridge := bridged(distance)
	total := open*(1-bridge) + series(wet, open+wet)*bridge
	total = min(total, wet)

	var v vapourFlow
	if !s.evaporates {
		return total, v
	}
	if surface < plate && film > 0 {
		mass, heat := transfer.VapourGap(max(distance, touching), plate, surface, m.pressure)
		left, slope := remaining(film, 0.05*s.film*m.cupArea)
		scale := area * m.vapourFactor
		return total, vapourFlow{mass * scale * left, heat * scale * left, mass * scale * slope}
	}
	v.heat = (plate - surface) * m.heatPipe(slot+lagVapour, distance, plate, surface) * area * nusselt * m.vapourFactor
	return total, v
}

// evenly is the difference, K, within which plate and store count as equally
// warm: what depends on which is the warmer must not switch to and fro.
const evenly = 1.0

// gapNusselt is that of the air between plate and store: at rest under a
// warmer plate, heated from below by a warmer store.
func (m *Model) gapNusselt(slot int, distance, plate, surface float64) float64 {
	near := math.Abs(surface-plate) < evenly
	if kept, ok := m.lagged(slot); ok && near {
		return kept
	}
	nusselt := 1.0
	if surface > plate {
		nusselt = transfer.NusseltHeatedBelowCylinder(m.rayleighGap*distance*distance*distance*(surface-plate), 2*m.cupRadius/distance, false)
	}
	m.work.lag[slot] = nusselt
	return nusselt
}

// heatPipe is the coefficient, W/(m2 K), with which vapour from the store's
// surface carries heat to a colder plate and drips back; none to a warmer one.
func (m *Model) heatPipe(slot int, distance, plate, surface float64) float64 {
	if kept, ok := m.lagged(slot); ok && math.Abs(surface-plate) < evenly {
		return kept
	}
	const none = 1e-12 // a slot's zero means that it is empty
	coefficient := none
	if surface > plate+1e-9 {
		_, heat := transfer.VapourGap(max(distance, touching), surface, plate, m.pressure)
		coefficient = max(heat/(surface-plate), none)
	}
	m.work.lag[slot] = coefficient
	return coefficient
}

// crossVapour books what crosses the gap. What evaporates from a warm store
// condenses on the plate and drips back: heat moves, water stays. What
// evaporates from a wet plate goes to the store.
func (m *Model) crossVapour(solid, liquid vapourFlow) {
	w := m.work
	heat := solid.heat + liquid.heat
	link := m.cup.plateVapour
	w.q[link] = heat
	flow := &w.massFlows[m.faceCount+flowFilm]
	flow.rate, flow.decay = solid.mass+liquid.mass, solid.decay+liquid.decay
	if span := math.Abs(m.at(m.links[link].a) - m.at(m.links[link].b)); span > 1e-9 {
		w.g[link] = math.Abs(heat) / span
	}
}

// floorToStore: through pegs and whatever lies under the solid, straight to
// it; beside the solid to the liquid.
func (m *Model) floorToStore(masses []float64, g *geometry) {
	w, s := m.work, &m.store
	fluid := s.liquid
	floor := 0.0
	for i := range m.floor {
		floor += w.temperature[m.floor[i].node] * m.floor[i].area / m.cupArea
	}
	// Coefficients, W/(m2 K): to the solid above, to the liquid under it, to
	// the liquid beside it.
	var direct, under, beside float64
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
			direct += m.pegConductance / g.footprint
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
	footprint, covered := w.wet.footprint, 0.0 // of the floor, from the middle outwards
	for i := range m.floor {
		cell := &m.floor[i]
		solid := min(max(footprint-covered, 0), cell.area)
		if m.phase == phaseFreezing {
			solid = cell.area
		}
		covered += cell.area
		m.set(cell.toSolid, solid*through(direct, m.floorHalf))
		m.set(cell.toLiquid, solid*through(under, m.floorHalf)+(cell.area-solid)*through(beside, m.floorHalf))
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
		around := 2 * math.Pi * m.cupRadius
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
			h := m.cupEmissivity * radiationCoefficient(wall, w.temperature[m.load.bottom])
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
		wet := overlap(z.low, z.high, 0, level)
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

// openRing is where the room meets the store: the part of the cup that the
// plate leaves uncovered, and the opening round a plate that is held clear of
// the rim.
func (m *Model) openRing(g *geometry, air, radiant, vapour float64) {
	w, c := m.work, &m.cup
	clear := m.opening(g)
	proud := 2 * math.Sqrt(math.Pi*g.footprint) * max(g.top-m.rimTop, 0) // side of the solid above the rim
	around := 2 * math.Pi * min(m.cupRadius, math.Sqrt(m.plateArea/math.Pi)) * clear
	convecting := g.openArea + min(around, m.cupArea-g.openArea) + proud
	flow := &w.massFlows[m.faceCount+flowOpen]
	if convecting <= 0 {
		w.q[c.openConvection], w.g[c.openConvection], w.q[c.openLatent], w.g[c.openLatent], flow.rate = 0, 0, 0, 0, 0
		return
	}
	seen := g.openArea + (m.cupArea-g.openArea)*(1-m.plateView(clear)) + proud
	surface := m.ending(w.ends[c.openConvection].b)
	difference := max(math.Abs(air-surface), 0.01)
	length := m.cupRadius / 2
	rayleigh := m.rayleighGap * length * length * length * difference
	nusselt := transfer.NusseltHorizontalStable(rayleigh, m.air.Prandtl())
	if surface > air {
		nusselt = transfer.NusseltHorizontalUnstable(rayleigh)
	}
	h := nusselt * m.air.Conductivity / length
	radiation := m.store.emissivity * radiationCoefficient(radiant, surface) * seen
	w.g[c.openConvection] = h*convecting + radiation
	w.q[c.openConvection] = h*convecting*(air-surface) + radiation*(radiant-surface)
	flux, latent, slope := m.vapourToFace(h, surface, air, vapour)
	flux, slope = flux*convecting, slope*convecting
	if flux < 0 && (!m.store.evaporates || g.level <= 0) {
		flux, slope = 0, 0
	}
	w.q[c.openLatent], w.g[c.openLatent] = flux*latent, slope*latent
	flow.rate = flux
}

// opening is the free height between the plate and whatever stands highest
// below it, m, beyond leastOpening.
func (m *Model) opening(g *geometry) float64 {
	return max(g.plate-max(m.rimTop, max(g.top, g.level))-leastOpening, 0)
}

// leastOpening is the clearance, m, below which the air under a plate that is
// clear of the rim stays its own (a judgement: viscous within a millimetre).
const leastOpening = 1e-3

// plateView is the share of the store's view that the plate fills from a
// distance: two coaxial discs of the cup's and the plate's radius.
func (m *Model) plateView(distance float64) float64 {
	if distance < 1e-4 {
		return 1
	}
	return transfer.ViewFactorCoaxialDiscs(m.cupRadius, math.Sqrt(m.plateArea/math.Pi), distance)
}

// rimToPlate: touching when the plate rests on the rim, a thin layer of air
// when it does not.
func (m *Model) rimToPlate(g *geometry) {
	clear := max(g.plate-m.rimTop, 0)
	air := m.air.Conductivity/max(clear, 1e-3) + 0.8*radiationCoefficient(m.room.temperature, m.room.temperature-10)
	for i := range m.rim {
		cell := &m.rim[i]
		h := min(cell.wet, air)
		if m.store.contact != contactNone {
			h += (cell.wet - h) * bridged(clear)
		}
		m.set(cell.link, cell.area*through(h, cell.half))
	}
}

// bridged is how far contact still holds over a gap: it fades out over the
// height touching, since neither a face nor a film lets go all at once.
func bridged(gap float64) float64 {
	ratio := gap / touching
	share := 1 / (1 + ratio*ratio)
	return share * share
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
