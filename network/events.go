package network

import (
	"math"

	"meltspan/result"
)

// Triggers: functions of the state whose zero ends a step, because what
// happens there changes the equations.
const (
	triggerLoad  = iota // rises through 0: starts; falls through 0: stalls
	triggerPhase        // falls through 0: the phase is over
	triggerBack         // falls through 0: back to the phase before
	triggerCold         // falls through 0: colder than the model reaches
	triggerCount
)

// leastStart is how far above what keeps it running a load is set going at least,
// K. Values drawn near a design's may put its start below that: it would be set
// going again each time it stalls, and so run on below its stall difference.
const leastStart = 0.01

// supercooling is how far a liquid store cools below its melting point before
// solid forms, K: a little at least is always seen (common practice; quiet
// water and salt hydrates can do several kelvins).
const supercooling = 0.5

// triggers evaluates them for a state. It leaves the temperatures of plates
// and store of that state in the work space.
func (r *runner) triggers(y []float64) [triggerCount]float64 {
	m, w, s := r.m, r.m.work, &r.m.store
	m.glance(y)
	masses := y[len(m.nodes):]
	var out [triggerCount]float64

	out[triggerLoad] = m.load.margin(w.temperature) + r.options.Beyond
	if !m.running {
		out[triggerLoad] = max(m.load.start-m.load.keep, leastStart) + max(r.options.Beyond, 0) - out[triggerLoad]
	}
	out[triggerPhase], out[triggerBack] = 1, 1
	out[triggerCold] = min(m.load.lower.temperature(w.temperature), w.temperature[s.node]) - coldest
	if !s.changesPhase {
		return out
	}
	switch m.phase {
	case phaseSolid:
		out[triggerPhase] = s.melting - w.temperature[s.node]
	case phaseMelting:
		out[triggerPhase] = (masses[stateSolid] - lastShare*(max(masses[stateLiquid], 0)+clinging*s.mass)) / s.mass
		out[triggerBack] = (masses[stateLiquid] + lastShare*masses[stateSolid]) / s.mass
	case phaseLiquid:
		if masses[stateLiquid] > emptied*s.mass {
			out[triggerPhase] = w.temperature[s.node] - (s.melting - supercooling)
		}
	case phaseFreezing:
		out[triggerPhase] = masses[stateLiquid]/s.mass - lastShare
		out[triggerBack] = masses[stateSolid]/s.mass + lastShare
	}
	return out
}

// crossed returns the trigger that fell through zero, or -1.
func (r *runner) crossed(before, after [triggerCount]float64) int {
	for i := range before {
		if before[i] > 0 && after[i] <= 0 {
			return i
		}
	}
	return -1
}

// An event is located to locateTime, s, or until its trigger is within
// locateValue of zero (K, or share of the charge).
const (
	locateTime  = 0.05
	locateValue = 2e-5
)

// locate shortens the step until it ends just past the trigger's zero
// (Illinois variant of false position), and returns its length. The trial
// state is that of the step returned.
func (r *runner) locate(which int, start, h float64) float64 {
	m, w := r.m, r.m.work
	low, high := 0.0, h
	fLow, fHigh := start, r.triggers(w.trial)[which]
	side := 0
	at := h // the step whose state is in w.trial
	for range 40 {
		if high-low <= locateTime {
			break
		}
		at = high - fHigh*(high-low)/(fHigh-fLow)
		// Keep off the ends, so that the bracket shrinks from both sides.
		margin := 1e-3 * (high - low)
		at = min(max(at, low+margin), high-margin)
		m.advance(r.time, at)
		f := r.triggers(w.trial)[which]
		if f <= 0 {
			high, fHigh = at, f
			if side == 1 {
				fLow /= 2
			}
			side = 1
			if f > -locateValue {
				break
			}
		} else {
			low, fLow = at, f
			if side == -1 {
				fHigh /= 2
			}
			side = -1
		}
	}
	if at != high {
		m.advance(r.time, high)
	}
	return high
}

// leastDrop is the volume, m3, from which a spill counts: two drops.
const leastDrop = 1e-7

// act carries out what the state just reached asks for, and reports whether
// that changed the state or its equations.
func (r *runner) act() bool {
	m, w := r.m, r.m.work
	trigger := r.triggers(w.y)
	changed := false
	if trigger[triggerLoad] <= 0 {
		r.toggle()
		changed = true
	}
	if trigger[triggerPhase] <= 0 || trigger[triggerBack] <= 0 {
		r.changePhase(trigger[triggerPhase] <= 0)
		changed = true
	}
	changed = r.watchGap() || changed
	fill := m.trayFill()
	if limit := m.trayCapacity + leastDrop; !r.spilled && fill > limit {
		r.spilled = true
		detail := "no tray stated: it wets the table"
		if m.trayCapacity > 0 {
			detail = ""
		}
		r.event(result.Overflow, r.within(r.fillBefore, fill, limit), detail)
	}
	r.fillBefore = fill
	return changed
}

// toggle starts or stops the load.
func (r *runner) toggle() {
	m := r.m
	if !m.running {
		m.running = true
		kind := result.Started
		if !math.IsNaN(r.summary.Start) {
			kind = result.Restarted
		} else {
			r.summary.Start = r.time
		}
		r.event(kind, r.time, "")
		return
	}
	m.running = false
	r.stalls++
	r.summary.SolidLeft = max(m.work.y[len(m.nodes)+stateSolid], 0) / m.store.mass
	r.summary.End, r.summary.RunTime = result.EndStalled, r.time
	kind := result.Stalled
	if m.load.kind == loadLeak || m.load.kind == loadSample {
		kind = result.LimitPassed
		r.summary.End = result.EndLimit
	}
	r.event(kind, r.time, "")
	r.mark()
}

// changePhase moves the store to its next phase, or back. The books of energy
// and mass stay exact: what is left of the vanishing phase is converted.
func (r *runner) changePhase(forward bool) {
	m, w, s := r.m, r.m.work, &r.m.store
	masses := w.y[len(m.nodes):]
	convert := func(solidLeft float64) {
		w.y[s.node] -= s.latent * solidLeft
		masses[stateLiquid] += solidLeft
		masses[stateSolid] -= solidLeft
	}
	switch {
	case m.phase == phaseSolid:
		m.setPhase(phaseMelting)
		r.event(result.MeltStart, r.time, "")
	case m.phase == phaseMelting && forward:
		convert(masses[stateSolid])
		m.setPhase(phaseLiquid)
		r.summary.LastSolid = r.time
		r.event(result.MeltEnd, r.time, "")
	case m.phase == phaseMelting:
		convert(-masses[stateLiquid])
		m.setPhase(phaseSolid)
		r.event(result.FreezeEnd, r.time, "")
	case m.phase == phaseLiquid:
		m.setPhase(phaseFreezing)
		s.cast = true
		// The energy below the melting point, if any, is already solid.
		convert(w.y[s.node] / s.latent)
		w.y[s.node] = 0
		r.event(result.FreezeStart, r.time, "")
	case m.phase == phaseFreezing && forward:
		convert(-masses[stateLiquid])
		m.setPhase(phaseSolid)
		masses[stateRadius] = m.cupRadius
		r.summary.LastSolid = r.time
		r.event(result.FreezeEnd, r.time, "")
	default:
		convert(masses[stateSolid])
		m.setPhase(phaseLiquid)
		masses[stateFrozenTop], masses[stateFrozenSide], masses[stateFrozenFloor] = 0, 0, 0
		r.event(result.MeltEnd, r.time, "")
	}
}

// watchGap notes when the store first lets go of the plate. A film of water
// stays on the plate and evaporates from there.
func (r *runner) watchGap() bool {
	m, w := r.m, r.m.work
	g := &w.geometry
	if m.phase != phaseMelting || g.areaSolid <= 0 || r.lost {
		return false
	}
	if g.gapSolid < touching {
		r.touched = true
		return false
	}
	if !r.touched {
		return false
	}
	r.lost = true
	masses := w.y[len(m.nodes):]
	film := min(m.store.film*g.areaSolid, max(masses[stateLiquid], 0)/2)
	masses[stateFilm] += film
	masses[stateLiquid] -= film
	r.event(result.ContactLost, r.time, "")
	return true
}

func (r *runner) watchFaces() {
	m, w := r.m, r.m.work
	m.eachFace(func(f *face) {
		i := f.moisture
		r.coldest[i] = min(r.coldest[i], w.temperature[f.node])
		limit, held := 1e-3*f.area*sweatFilm, w.y[len(m.nodes)+stateCount+i]
		if math.IsNaN(r.wetted[i]) && held > limit {
			r.wetted[i] = r.within(r.heldBefore[i], held, limit)
			if !r.named(f.name) {
				r.event(result.FirstSweat, r.wetted[i], f.name)
			}
		}
		r.heldBefore[i] = held
	})
}

// within is when in the step just taken a value that grew from before to after
// passed a limit, s, by a straight line: what changes no equation needs no step
// of its own.
func (r *runner) within(before, after, limit float64) float64 {
	share := 1.0
	if after > before {
		share = min(max((limit-before)/(after-before), 0), 1)
	}
	return r.time - (1-share)*r.lastStep
}

// named reports whether a part has sweated before: faces of one name are one
// part to the user.
func (r *runner) named(name string) bool {
	for _, e := range r.events {
		if e.Kind == result.FirstSweat && e.Detail == name {
			return true
		}
	}
	return false
}

// sweatFilm is the film, in g/m2, from which a face counts as sweating: a
// micrometre of water, a breath that is plain to see (common practice).
const sweatFilm = 1.0
