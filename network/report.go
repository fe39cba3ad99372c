package network

import (
	"math"
	"sort"

	"meltspan/result"
)

// report makes the result of a finished run. Budget, flows and condensate are
// those of the run time; where the load never ran, of the whole time
// simulated.
func (r *runner) report() *result.Run {
	m := r.m
	out := &result.Run{
		Design: m.design.Name, Depth: m.depth,
		End: r.summary.End, RunTime: r.summary.RunTime, Start: r.summary.Start,
		LastIce: r.summary.LastSolid, Simulated: r.summary.Simulated,
		Events: append([]result.Event(nil), r.events...),
		Steps:  r.summary.Steps, Warnings: m.warnings,
	}
	if !m.drawn {
		out.Revision = m.design.Revision()
	}
	sort.SliceStable(out.Events, func(i, j int) bool { return out.Events[i].Time < out.Events[j].Time })
	if m.running {
		out.Events = append(out.Events, result.Event{Kind: result.HorizonEnd, Time: r.time})
	}
	if r.reel != nil {
		out.Section, out.Round = r.section()
	}
	if r.stalls > mostStalls {
		out.Warnings = append(append([]string(nil), out.Warnings...),
			"It stalls again and again near its limit, and each time could be set going anew.")
	}
	if r.cut {
		out.Warnings = append(append([]string(nil), out.Warnings...),
			"The store hangs between melting and freezing; the run was followed only as far as shown.")
	}
	if r.tooCold {
		out.Warnings = append(append([]string(nil), out.Warnings...),
			"Plate or store falls below -100 degC: the model ends there, and so does this run.")
	}
	if r.boiled {
		out.Warnings = append(append([]string(nil), out.Warnings...),
			"The store comes to the boil: the model ends there, and so does this run.")
	}
	out.Energy, out.Water = r.ledgers()
	out.TrayFill = m.trayFill()
	out.TrayLeft = m.trayCapacity - out.TrayFill
	if r.record != nil {
		out.Times, out.Channels = r.record.times, r.record.shown()
	}
	if r.largestGap > leastGap {
		out.LargestGap = r.largestGap
	}
	if !r.marked {
		r.mark()
	}
	t := r.stallSet
	if t.time > 0 {
		out.MeanIntake, out.PeakIntake = t.intake/t.time, t.peakIntake
		out.MeanPower, out.PeakPower = t.power/t.time, t.peakPower
		out.MeanDifference, out.PeakDifference = t.difference/t.time, t.peakDifference
	}
	if r.stalls == 0 && !m.running {
		out.PeakDifference = r.largestDifference
	}
	out.Budget = r.budget()
	out.Flows = r.heatFlows()
	span := r.summary.RunTime
	if span <= 0 {
		span = r.time
	}
	for _, p := range out.Budget {
		out.MeanStoreHeat += p.Energy / span
	}
	out.Faces = r.parts()
	return out
}

// leastGap is the gap, m, below which plate and store touch.
const leastGap = 1e-6

// parts gathers the faces of each name, in the order in which they first come.
func (r *runner) parts() []result.Face {
	m, w := r.m, r.m.work
	var out []result.Face
	m.eachFace(func(f *face) {
		i := 0
		for i < len(out) && out[i].Name != f.name {
			i++
		}
		if i == len(out) {
			out = append(out, result.Face{Name: f.name, Coldest: math.Inf(1), FirstSweat: math.NaN()})
		}
		p := &out[i]
		p.Area += f.area
		p.Coldest = min(p.Coldest, r.coldest[f.moisture])
		p.Condensate += max(w.stateAtStall[len(m.nodes)+stateCount+f.moisture], 0)
		if t := r.wetted[f.moisture]; !math.IsNaN(t) && !(p.FirstSweat < t) {
			p.FirstSweat = t
		}
	})
	return out
}

func inner(group string) bool { return group == groupBottomPlate || group == groupStore }

// budget sums the heat that entered lower plate and store by each path (for a
// hot store: left them).
func (r *runner) budget() []result.Path {
	m, w := r.m, r.m.work
	sums := map[string]float64{}
	for i, l := range m.links {
		switch {
		case inner(l.from) == inner(l.to):
		case inner(l.to):
			sums[l.path] += w.atStall[i]
		default:
			sums[l.path] -= w.atStall[i]
		}
	}
	sums[pathStored] = 0
	for _, c := range m.load.lower.cells {
		sums[pathStored] += r.startEnergy(c.node) - w.stateAtStall[c.node]
	}
	total, gross := 0.0, 0.0
	for _, id := range pathOrder {
		total += sums[id]
		gross += math.Abs(sums[id])
	}
	var out []result.Path
	for _, id := range pathOrder {
		e, used := sums[id]
		if !used || e == 0 {
			continue
		}
		p := result.Path{ID: id, Label: pathLabel[id], Energy: m.load.direction * e}
		p.Share = e / total
		if math.Abs(total) < leastNet*gross {
			p.Share = math.NaN()
		}
		out = append(out, p)
	}
	return out
}

// storeWords say what a store does with the heat it takes up, or gives.
type storeWords struct{ latent, sensible string }

// leastNet is the share of all that flowed below which the net heat is too
// small to be shared out among its paths.
const leastNet = 0.05

// startEnergy is a node's energy when the load was set on.
func (r *runner) startEnergy(node int) float64 { return r.m.work.stateAtStart[node] }

// heatFlows sums the links by group, and closes every group with the heat it
// gave from or kept in its own mass.
func (r *runner) heatFlows() []result.Flow {
	m, w := r.m, r.m.work
	type key struct{ from, to, mechanism string }
	sums := map[key]float64{}
	var order []key
	add := func(k key, energy float64) {
		if _, known := sums[k]; !known {
			order = append(order, k)
		}
		sums[k] += energy
	}
	for i, l := range m.links {
		if l.from != l.to {
			add(key{l.from, l.to, l.mechanism}, w.atStall[i])
		}
	}
	for i, n := range m.nodes {
		if n.group != groupStore {
			add(key{groupStored, n.group, "stored heat"}, r.startEnergy(i)-w.stateAtStall[i])
		}
	}
	words := storeWords{"melting", "warming"}
	if m.load.direction < 0 {
		words = storeWords{"freezing", "cooling"}
	}
	masses := len(m.nodes) + stateSolid
	latent := m.store.latent * (w.stateAtStart[masses] - w.stateAtStall[masses])
	if latent != 0 {
		add(key{groupStore, groupStore, words.latent}, latent)
	}
	add(key{groupStore, groupStore, words.sensible}, w.stateAtStall[m.store.node]-r.startEnergy(m.store.node))
	out := make([]result.Flow, 0, len(order))
	for _, k := range order {
		if e := sums[k]; e != 0 {
			out = append(out, result.Flow{From: k.from, To: k.to, Mechanism: k.mechanism, Energy: e})
		}
	}
	return out
}
