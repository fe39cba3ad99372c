package network

import (
	"math"

	"meltspan/transfer"
)

// touching is the gap, m, below which water still bridges plate and store:
// the height of a hanging film or drop (common practice, some tenths of a
// millimetre).
const touching = 0.2e-3

// plateToStore: wet contact where they touch; else conduction (or convection,
// when the store is the warmer and so heats the layer from below) and
// radiation across the gap, and vapour if the warmer face is wet.
func (m *Model) plateToStore(masses []float64, g *geometry) {
	w, s := m.work, &m.store
	plate := m.load.lower.overCup(w.temperature)
	film := max(masses[stateFilm], 0)
	solid, solidVapour := m.gap(lagGapSolid, g.gapSolid, g.areaSolid, plate, m.surfaceTemperature(true), film)
	if m.phase == phaseFreezing && g.areaLiquid > 0 {
		// The solid that grows under the surface adds its own resistance.
		solid, solidVapour = m.gap(lagGapSolid, g.gapLiquid, g.areaLiquid, plate, s.melting, film)
		layer := max(masses[stateFrozenTop], 0) / (s.solidDensity * g.areaLiquid)
		solid = series(solid, s.solidConductivity*g.areaLiquid/max(layer, 1e-6))
	}
	liquid, liquidVapour := 0.0, vapourFlow{}
	if m.phase == phaseMelting || m.phase == phaseLiquid {
		liquid, liquidVapour = m.gap(lagGapLiquid, g.gapLiquid, g.areaLiquid, plate, m.surfaceTemperature(false), film)
		liquid = m.underSurface(liquid, g, plate)
	}
	m.shareAmongPlate(g, solid, liquid)
	m.crossVapour(plate, solidVapour, liquidVapour)
}

// shareAmongPlate gives each part of the plate its share of the conductance to
// solid and to liquid, by area: the solid stands in the middle.
func (m *Model) shareAmongPlate(g *geometry, solid, liquid float64) {
	parts := m.cup.plate
	if len(parts) == 1 {
		m.setConvecting(parts[0].solid, solid, steepUpright)
		m.setConvecting(parts[0].liquid, liquid, steepUpright)
		return
	}
	spread := m.spreadPieces(g.areaSolid)
	for _, p := range parts {
		c := &m.load.lower.cells[p.cell]
		covered := spread.over(c.inside, c.over, p.cover)
		share := c.cup / c.over // of the sector, over the cup's whole area
		ofSolid, ofLiquid := c.cup, c.cup
		if g.areaSolid > 0 {
			whole := g.areaSolid + g.areaLiquid
			ofSolid = share * covered * whole / g.areaSolid
			if g.areaLiquid > 0 {
				ofLiquid = share * (c.over - covered) * whole / g.areaLiquid
			}
		}
		m.setConvecting(p.solid, ofSolid*solid, steepUpright)
		m.setConvecting(p.liquid, ofLiquid*liquid, steepUpright)
	}
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
func (m *Model) crossVapour(plate float64, solid, liquid vapourFlow) {
	w := m.work
	heat := solid.heat + liquid.heat
	flow := &w.massFlows[m.faceCount+flowFilm]
	flow.rate, flow.decay = solid.mass+liquid.mass, solid.decay+liquid.decay
	span := math.Abs(plate - m.at(body))
	for _, p := range m.cup.plate {
		share := m.load.lower.cells[p.cell].cup
		w.q[p.vapour], w.g[p.vapour] = share*heat, 0
		if span > 1e-9 {
			w.g[p.vapour] = share * math.Abs(heat) / span
		}
	}
}

// bridged is how far contact still holds over a gap: it fades out over the
// height touching, since neither a face nor a film lets go all at once.
func bridged(gap float64) float64 {
	ratio := gap / touching
	share := 1 / (1 + ratio*ratio)
	return share * share
}
