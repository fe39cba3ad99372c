package report

import (
	"math"
	"sort"
	"strings"

	"meltspan/result"
)

// The names a run's flows use that this picture treats apart.
const (
	roomGroup     = "room"
	storedHeat    = "stored heat"
	notAccounted  = "not accounted for"
	leastFlowPart = 0.003 // of the total; flows below it are gathered in the caption
)

// band is one flow as drawn: from and to are indices of nodes.
type band struct {
	from, to  int
	mechanism string
	energy    float64 // J, above zero
	back      bool    // drawn from right to left, to break a cycle
}

// node is one group of parts, or one source or sink.
type node struct {
	name    string
	in, out float64 // J, of the bands drawn
	layer   int
}

// flowGraph is a heat budget as a graph without cycles, once its back flows
// are turned round.
type flowGraph struct {
	nodes []node
	bands []band
	total float64       // J, all that entered
	tiny  []result.Flow // left out, with positive energy
}

// newFlowGraph turns flows into bands. The room becomes one source for each
// mechanism (and one sink for each by which heat returns to it); heat that a
// part gives up from its own store comes from the source "stored heat", and
// what a part keeps goes to the sink "kept in the parts"; a flow from a group
// to itself by any other mechanism (the store's "melting") goes to a sink of
// that name. Negative energies are flows the other way. Flows that are not
// finite or are zero are left out. Where a part's flows do not add up, the
// rest is shown as such.
func newFlowGraph(flows []result.Flow) flowGraph {
	var g flowGraph
	index := map[string]int{}
	find := func(name string) int {
		i, ok := index[name]
		if !ok {
			i = len(g.nodes)
			index[name] = i
			g.nodes = append(g.nodes, node{name: name})
		}
		return i
	}
	all := merged(flows)
	all, g.total = balanced(all)
	for _, f := range all {
		if f.Energy < leastFlowPart*g.total {
			g.tiny = append(g.tiny, plain(f))
			continue
		}
		g.bands = append(g.bands, band{from: find(f.From), to: find(f.To), mechanism: f.Mechanism, energy: f.Energy})
	}
	for i := range g.nodes {
		g.nodes[i].name = unmarked(g.nodes[i].name)
	}
	for _, b := range g.bands {
		g.nodes[b.from].out += b.energy
		g.nodes[b.to].in += b.energy
	}
	g.breakCycles()
	g.setLayers()
	return g
}

// Sources and sinks carry a mark in front of their name while the graph is
// built, so that heat to the room and heat from it never meet in one node.
const (
	sourceMark = ">"
	sinkMark   = "<"
)

func unmarked(name string) string {
	return strings.TrimPrefix(strings.TrimPrefix(name, sourceMark), sinkMark)
}

func plain(f result.Flow) result.Flow {
	f.From, f.To = unmarked(f.From), unmarked(f.To)
	return f
}

// merged gives every flow its end points and a positive energy, adds up flows
// alike, and keeps the order of first appearance.
func merged(flows []result.Flow) []result.Flow {
	type key struct{ from, to, mechanism string }
	at := map[key]int{}
	var out []result.Flow
	for _, f := range flows {
		if !finite(f.Energy) || f.Energy == 0 {
			continue
		}
		f = endPoints(f)
		k := key{f.From, f.To, f.Mechanism}
		if i, ok := at[k]; ok {
			out[i].Energy += f.Energy
			continue
		}
		at[k] = len(out)
		out = append(out, f)
	}
	return out
}

func endPoints(f result.Flow) result.Flow {
	if f.From == f.To {
		if f.Mechanism == storedHeat {
			f.From = storedHeat
		} else {
			f.To = sinkMark + f.Mechanism
		}
	}
	if f.Energy < 0 {
		f.From, f.To, f.Energy = f.To, f.From, -f.Energy
		if strings.HasPrefix(f.From, sinkMark) { // a part's own sink gave heat: it is a source
			f.From = sourceMark + f.From[1:]
		}
	}
	switch f.From {
	case roomGroup:
		f.From = sourceMark + f.Mechanism
	case storedHeat, "":
		f.From = sourceMark + storedHeat
	}
	switch f.To {
	case roomGroup:
		f.To = sinkMark + "to room: " + f.Mechanism
	case storedHeat, "":
		f.To = sinkMark + "kept in the parts"
	}
	return f
}

// balanced adds a flow to or from "not accounted for" at each group that has
// flows both ways which do not add up, and returns the heat that entered in
// all.
func balanced(flows []result.Flow) ([]result.Flow, float64) {
	in, out := map[string]float64{}, map[string]float64{}
	var names []string // in order of appearance, so that the result is stable
	for _, f := range flows {
		for _, n := range []string{f.From, f.To} {
			if _, ok := in[n]; !ok {
				in[n] = 0
				names = append(names, n)
			}
		}
		out[f.From] += f.Energy
		in[f.To] += f.Energy
	}
	total := 0.0
	for _, n := range names {
		total += max(0, out[n]-in[n])
	}
	for _, n := range names {
		rest := in[n] - out[n]
		switch {
		case in[n] == 0 || out[n] == 0 || math.Abs(rest) < leastFlowPart*total:
		case rest > 0:
			flows = append(flows, result.Flow{From: n, To: sinkMark + notAccounted, Mechanism: notAccounted, Energy: rest})
		default:
			flows = append(flows, result.Flow{From: sourceMark + notAccounted, To: n, Mechanism: notAccounted, Energy: -rest})
		}
	}
	return flows, total
}

// breakCycles marks as back flows the smallest bands without which no cycle
// is left: bands are taken from the largest down, and one that would close a
// cycle is turned round.
func (g *flowGraph) breakCycles() {
	order := make([]int, len(g.bands))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return g.bands[order[a]].energy > g.bands[order[b]].energy })
	next := make([][]int, len(g.nodes))
	for _, i := range order {
		b := &g.bands[i]
		if reaches(next, b.to, b.from) {
			b.back = true
			continue
		}
		next[b.from] = append(next[b.from], b.to)
	}
}

func reaches(next [][]int, from, to int) bool {
	seen := make([]bool, len(next))
	stack := []int{from}
	for len(stack) > 0 {
		n := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if n == to {
			return true
		}
		if !seen[n] {
			seen[n] = true
			stack = append(stack, next[n]...)
		}
	}
	return false
}

// setLayers gives each node the length of the longest way to it from any
// source. Sources that feed later layers only are moved up to them, so that
// their bands stay short; sources from the room stay at the left.
func (g *flowGraph) setLayers() {
	for range g.nodes { // the longest way has fewer steps than there are nodes
		for _, b := range g.bands {
			if !b.back {
				g.nodes[b.to].layer = max(g.nodes[b.to].layer, g.nodes[b.from].layer+1)
			}
		}
	}
	for i := range g.nodes {
		if g.nodes[i].name != storedHeat || g.nodes[i].in > 0 {
			continue
		}
		nearest := -1
		for _, b := range g.bands {
			if b.from == i && !b.back && (nearest < 0 || g.nodes[b.to].layer < nearest) {
				nearest = g.nodes[b.to].layer
			}
		}
		g.nodes[i].layer = max(0, nearest-1)
	}
}
