package network

import (
	"math"

	"meltspan/result"
)

// balance is what the device holds at a moment.
type balance struct {
	solid  float64
	water  float64 // in cup, films and held by faces, kg
	tray   float64
	vapour float64
	stored float64 // all energy, latent included, J
}

func (r *runner) balance() balance {
	m, w := r.m, r.m.work
	masses := w.y[len(m.nodes):]
	b := balance{solid: masses[stateSolid], tray: masses[stateTray], vapour: masses[stateVapour]}
	b.water = masses[stateSolid] + masses[stateLiquid] + masses[stateFilm]
	for _, held := range masses[stateCount:] {
		b.water += held
	}
	for _, e := range w.y[:len(m.nodes)] {
		b.stored += e
	}
	b.stored -= m.store.latent * b.solid
	return b
}

// mark keeps the books of the moment a run ends, for the budget.
func (r *runner) mark() {
	w := r.m.work
	copy(w.atStall, w.energy)
	copy(w.stateAtStall, w.y)
	r.stallSet = r.best
	r.marked = true
}

// ledgers compare what crossed the boundary with what changed inside.
func (r *runner) ledgers() (energy, water result.Ledger) {
	m, w := r.m, r.m.work
	end := r.balance()
	through := 0.0
	for i, l := range m.links {
		if l.a == outside {
			energy.Gained += w.energy[i]
			through += math.Abs(w.energy[i])
		}
		if l.b == outside {
			energy.Left += w.energy[i]
			through += math.Abs(w.energy[i])
		}
	}
	energy.Kept = end.stored - r.start.stored
	energy.Scale = max(through, m.store.mass*max(m.store.latent, m.store.liquidHeat)*1e-3)
	energy.Residual = (energy.Gained - energy.Kept - energy.Left) / energy.Scale

	water.Gained = end.vapour - r.start.vapour
	water.Kept = end.water - r.start.water
	water.Left = end.tray - r.start.tray
	water.Scale = m.store.mass
	water.Residual = (water.Gained - water.Kept - water.Left) / water.Scale
	return energy, water
}

// trayFill is the volume in the tray: what drained and overflowed, and the
// condensate that no longer clings to its face, m3.
func (m *Model) trayFill() float64 {
	masses := m.work.y[len(m.nodes):]
	volume := masses[stateTray] / m.store.liquidDensity
	m.eachFace(func(f *face) {
		volume += max(masses[stateCount+f.moisture]-holdLimit*f.area, 0) / waterDensity
	})
	return volume
}

// waterDensity is that of condensate, kg/m3.
const waterDensity = 1000
