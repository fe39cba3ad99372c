package network

import "math"

// gamma makes ROS2 L-stable with small error constants: 1 - 1/sqrt(2).
const gamma = 0.29289321881345254

// advance takes one ROS2 step of length h from w.y at the given time and
// leaves the new state in w.trial and each link's heat of the step in
// w.stage2. It returns the estimated local error relative to the tolerance.
// w.y is untouched. prepare must have been called for w.y.
func (m *Model) advance(time, h float64) float64 {
	w := m.work
	nodes := len(m.nodes)

	// First stage: (1 - gamma h A) k1 = f(y), in terms of link flows.
	w.linear.assemble(w.first.capacity, w.ends, w.first.g, gamma*h)
	m.gather(w.first.q, nil)
	copy(w.z, w.zFirst)
	w.linear.solve(w.rhs, w.z)
	copy(w.zFirst, w.z)
	m.flows(w.stage1, w.k1, w.first.q, nil, h)
	for i := range w.massFlows {
		w.massFlows[i].rate = w.first.rate[i]
	}
	m.massRates(w.k1[nodes:], w.massStage, nil, h)
	for i := range w.y {
		w.trial[i] = w.y[i] + h*w.k1[i]
	}
	// The Jacobian stays that of the first stage; the flows are those of the
	// second.
	m.evaluate(w.trial, time+h)
	m.gather(w.q, w.stage1)
	for i, z := range w.z { // smooth flows leave f - 2 k1 near -k1
		w.z[i] = -z
	}
	w.linear.solve(w.rhs, w.z)
	m.flows(w.stage2, w.k2, w.q, w.stage1, h)
	m.massRates(w.k2[nodes:], w.massSecond, w.massStage, h)

	worst := 0.0
	for i := range w.y {
		first := w.trial[i]
		w.trial[i] = w.y[i] + h*(1.5*w.k1[i]+0.5*w.k2[i])
		difference := math.Abs(w.trial[i] - first)
		switch {
		case i < nodes:
			difference /= m.toleranceTemperature * max(w.first.capacity[i], 0.02*m.store.mass*m.store.liquidHeat)
		case i == nodes+stateSolid:
			difference /= m.toleranceMass * m.store.mass
		case i == nodes+stateRadius:
			difference /= m.toleranceMass * m.cupRadius
		default:
			difference /= 3 * m.toleranceMass * m.store.mass
		}
		worst = max(worst, difference)
	}
	for i := range w.stage2 {
		w.stage2[i] = h * (1.5*w.stage1[i] + 0.5*w.stage2[i])
	}
	return worst
}

// prepare evaluates the state that the next steps start from, and keeps the
// result: a step that is repeated with another length starts from the same.
func (m *Model) prepare(time float64) {
	w := m.work
	w.fresh = true
	m.evaluate(w.y, time)
	w.fresh = false
	f := &w.first
	copy(f.q, w.q)
	copy(f.g, w.g)
	for i := range w.massFlows {
		f.rate[i], f.decay[i] = w.massFlows[i].rate, w.massFlows[i].decay
	}
	copy(f.capacity, w.capacity)
	f.side = w.geometry.side
}

// gather sums the flows into each node, less twice the first stage's when
// given, as the right-hand side.
func (m *Model) gather(flow, first []float64) {
	w := m.work
	clear(w.rhs)
	for i := range w.ends {
		q := flow[i]
		if first != nil {
			q -= 2 * first[i]
		}
		if q == 0 {
			continue
		}
		if a := w.ends[i].a; a >= 0 {
			w.rhs[a] -= q
		}
		if b := w.ends[i].b; b >= 0 {
			w.rhs[b] += q
		}
	}
}

// flows completes a stage's link flows with their implicit part and turns them
// into the rates k of energies, solid and liquid. Every node's energy and the
// melt follow from these flows, so nothing can be lost. first holds the flows
// of the first stage when the second is worked out.
func (m *Model) flows(out, k, flow, first []float64, h float64) {
	w, s := m.work, &m.store
	nodes := len(m.nodes)
	clear(k)
	scale := gamma * h
	heat := 0.0 // into the two-phase body
	for i, e := range w.ends {
		q := flow[i]
		if first != nil {
			q -= 2 * first[i]
		}
		g := scale * w.first.g[i]
		if e.a >= 0 {
			q += g * w.z[e.a]
		}
		if e.b >= 0 {
			q -= g * w.z[e.b]
		}
		out[i] = q
		if e.a >= 0 {
			k[e.a] -= q
		} else if e.a == body {
			heat -= q
		}
		if e.b >= 0 {
			k[e.b] += q
		} else if e.b == body {
			heat += q
		}
	}
	melt := heat / s.latent
	switch m.phase {
	case phaseMelting:
		k[nodes+stateSolid], k[nodes+stateLiquid] = -melt, melt
		k[nodes+stateRadius] = m.radiusRate(out, first)
	case phaseFreezing:
		k[nodes+stateSolid], k[nodes+stateLiquid] = -melt, melt
		m.frozenRates(k[nodes:], out)
	}
}

// radiusRate is how fast the block's side recedes, m/s. It is not linear in
// the flows, so the second stage takes back the first's rate, not its flows.
func (m *Model) radiusRate(flow, first []float64) float64 {
	w, s := m.work, &m.store
	side := w.first.side
	if first != nil {
		side = w.geometry.side
	}
	if s.pieces.count > 0 || side <= 0 {
		return 0
	}
	heat := m.sideHeat(flow)
	taken := 0.0
	if first != nil {
		heat += 2 * m.sideHeat(first)
		taken = 2 * w.radiusFirst
	}
	rate := -heat/(s.latent*s.solidDensity*side) - taken
	if first == nil {
		w.radiusFirst = rate
	}
	return rate
}

// sideHeat is the heat that reaches the solid's sides, W.
func (m *Model) sideHeat(flow []float64) float64 {
	heat := flow[m.cup.liquidSolid]
	for i := range m.zones {
		heat += flow[m.zones[i].toSolid]
	}
	return heat
}

// frozenRates shares the growth of solid among the faces it grows on.
func (m *Model) frozenRates(masses, flow []float64) {
	s := &m.store
	side := 0.0
	for i := range m.zones {
		side += flow[m.zones[i].toSolid] + flow[m.zones[i].toLiquid]
	}
	c := &m.cup
	masses[stateFrozenSide] = -side / s.latent
	floor := 0.0
	for i := range m.floor {
		floor += flow[m.floor[i].toSolid] + flow[m.floor[i].toLiquid]
	}
	masses[stateFrozenFloor] = -floor / s.latent
	top := flow[c.openConvection] + flow[c.openLatent]
	for _, p := range c.plate {
		top += flow[p.solid] + flow[p.liquid] + flow[p.vapour]
	}
	masses[stateFrozenTop] = -top / s.latent
}
