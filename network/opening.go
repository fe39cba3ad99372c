package network

import (
	"math"

	"meltspan/transfer"
)

// openRing is where the room meets the store: the part of the cup that the
// plate leaves uncovered, and the opening round a plate that is held clear of
// the rim.
func (m *Model) openRing(liquid float64, g *geometry, air, radiant, vapour float64) {
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
	if flux < 0 {
		// Only liquid evaporates; what little ice would give off is left out.
		left := 0.0
		if m.store.evaporates {
			left, _ = remaining(max(liquid, 0), clinging*m.store.mass)
		}
		flux, slope = flux*left, slope*left
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
