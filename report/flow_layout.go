package report

import (
	"sort"

	"meltspan/report/sheet"
)

// Sizes of the heat-flow picture, in pixels.
const (
	boxWidth   = 104.0
	boxGap     = 108.0 // between layers, where the bands run
	blockSpace = 10.0  // between blocks of a layer
	flowMargin = 16.0
	labelLine  = 13.0
	leastTall  = 470.0
)

// block takes up room in a layer: a node with its label above it, or a band
// passing through.
type block struct {
	node   int // -1: a band passes through
	layer  int
	bar    float64 // height of the bar
	label  []string
	centre float64 // of label and bar together
}

func (b *block) height() float64 { return b.bar + labelLine*float64(len(b.label)) + blockSpace }
func (b *block) barTop() float64 {
	return b.centre - b.height()/2 + blockSpace/2 + labelLine*float64(len(b.label))
}

// flowLayout is the graph with places for everything.
type flowLayout struct {
	flowGraph
	blocks []block
	chain  [][]int // of each band: its blocks from left to right
	layers [][]int // blocks of each layer, from the top down
	perJ   float64 // pixels for each joule
	tall   float64
	// ports: the top of each band at the left and right side of each block
	portIn, portOut [][]float64 // by band, by position in its chain
}

func layOut(g flowGraph, label func(node) []string) *flowLayout {
	l := &flowLayout{flowGraph: g}
	for i, n := range g.nodes {
		l.blocks = append(l.blocks, block{node: i, layer: n.layer, label: label(n)})
	}
	for _, b := range g.bands {
		left, right := b.ends()
		chain := []int{left}
		for layer := g.nodes[left].layer + 1; layer < g.nodes[right].layer; layer++ {
			chain = append(chain, len(l.blocks))
			l.blocks = append(l.blocks, block{node: -1, layer: layer})
		}
		l.chain = append(l.chain, append(chain, right))
	}
	for i, b := range l.blocks {
		for b.layer >= len(l.layers) {
			l.layers = append(l.layers, nil)
		}
		l.layers[b.layer] = append(l.layers[b.layer], i)
	}
	l.setHeights()
	l.order()
	l.place()
	l.setPorts()
	return l
}

// ends returns the nodes at the left and right end of a band.
func (b band) ends() (left, right int) {
	if b.back {
		return b.to, b.from
	}
	return b.from, b.to
}

// loads returns what leaves to the right of each block and enters from the
// left, J.
func (l *flowLayout) loads() (left, right []float64) {
	left, right = make([]float64, len(l.blocks)), make([]float64, len(l.blocks))
	for i, c := range l.chain {
		for k, b := range c {
			if k > 0 {
				left[b] += l.bands[i].energy
			}
			if k < len(c)-1 {
				right[b] += l.bands[i].energy
			}
		}
	}
	return left, right
}

// setHeights finds the one scale at which every layer fits.
func (l *flowLayout) setHeights() {
	left, right := l.loads()
	l.tall = leastTall
	fixed, energy := make([]float64, len(l.layers)), make([]float64, len(l.layers))
	for k, layer := range l.layers {
		for _, b := range layer {
			fixed[k] += l.blocks[b].height()
			energy[k] += max(left[b], right[b])
		}
		l.tall = max(l.tall, fixed[k]+0.5*leastTall)
	}
	for k := range l.layers {
		if fit := (l.tall - fixed[k]) / energy[k]; l.perJ == 0 || fit < l.perJ {
			l.perJ = fit
		}
	}
	for i := range l.blocks {
		l.blocks[i].bar = max(left[i], right[i]) * l.perJ
	}
}

// neighbours returns, for each block, the blocks joined to it on one side and
// by how much.
func (l *flowLayout) neighbours(side int) []map[int]float64 {
	out := make([]map[int]float64, len(l.blocks))
	for i := range out {
		out[i] = map[int]float64{}
	}
	for i, c := range l.chain {
		for k := range len(c) - 1 {
			a, b := c[k], c[k+1]
			if side < 0 {
				a, b = b, a
			}
			out[a][b] += l.bands[i].energy
		}
	}
	return out
}

// order sorts each layer by the weighted mean place of its neighbours, to and
// fro, so that few bands cross (the barycentre method: Sugiyama, Tagawa &
// Toda, IEEE Trans. Syst. Man Cybern. 11 (1981) 109-125).
func (l *flowLayout) order() {
	rank := make([]float64, len(l.blocks))
	renumber := func(layer []int) {
		for i, b := range layer {
			rank[b] = (float64(i) + 0.5) / float64(len(layer))
		}
	}
	for _, layer := range l.layers {
		renumber(layer)
	}
	l.sweep(12, func(layer []int, joined []map[int]float64) {
		want := make(map[int]float64, len(layer))
		for _, b := range layer {
			want[b] = mean(joined[b], rank, rank[b])
		}
		sort.SliceStable(layer, func(i, j int) bool { return want[layer[i]] < want[layer[j]] })
		renumber(layer)
	})
}

// place sets the height of every block near its neighbours', in the order
// found, without overlap.
func (l *flowLayout) place() {
	centre, height := make([]float64, len(l.blocks)), make([]float64, len(l.blocks))
	for i := range l.blocks {
		height[i] = l.blocks[i].height()
		centre[i] = l.tall / 2
	}
	settle := func(layer []int, joined []map[int]float64) {
		want := make([]float64, len(l.blocks))
		for _, b := range layer {
			want[b] = mean(joined[b], centre, centre[b])
		}
		placed := spreadInOrder(layer, want, height, 0, l.tall)
		for _, b := range layer {
			centre[b] = placed[b]
		}
	}
	nobody := make([]map[int]float64, len(l.blocks))
	for _, layer := range l.layers {
		settle(layer, nobody)
	}
	l.sweep(16, settle)
	for i := range l.blocks {
		l.blocks[i].centre = centre[i]
	}
}

// sweep visits the layers from left to right with the neighbours on the left,
// then from right to left with those on the right, and so on.
func (l *flowLayout) sweep(times int, visit func(layer []int, joined []map[int]float64)) {
	left, right := l.neighbours(-1), l.neighbours(1)
	for i := range times {
		for k := range l.layers {
			if i%2 == 0 {
				visit(l.layers[k], left)
			} else {
				visit(l.layers[len(l.layers)-1-k], right)
			}
		}
	}
}

// mean is the weighted mean place of the blocks joined; otherwise when none
// is. It adds up in order of the blocks, so that it is the same every time.
func mean(joined map[int]float64, place []float64, otherwise float64) float64 {
	keys := make([]int, 0, len(joined))
	for k := range joined {
		keys = append(keys, k)
	}
	sort.Ints(keys)
	sum, weight := 0.0, 0.0
	for _, k := range keys {
		sum += joined[k] * place[k]
		weight += joined[k]
	}
	if weight == 0 {
		return otherwise
	}
	return sum / weight
}

// setPorts stacks the bands at each side of each block in the order of where
// they come from or go to.
func (l *flowLayout) setPorts() {
	type end struct{ band, at int }
	ins, outs := make([][]end, len(l.blocks)), make([][]end, len(l.blocks))
	l.portIn, l.portOut = make([][]float64, len(l.bands)), make([][]float64, len(l.bands))
	for i, c := range l.chain {
		l.portIn[i], l.portOut[i] = make([]float64, len(c)), make([]float64, len(c))
		for k, b := range c {
			if k > 0 {
				ins[b] = append(ins[b], end{i, k})
			}
			if k < len(c)-1 {
				outs[b] = append(outs[b], end{i, k})
			}
		}
	}
	stack := func(b int, ends []end, step int, ports [][]float64) {
		sort.SliceStable(ends, func(x, y int) bool {
			ex, ey := ends[x], ends[y]
			return l.blocks[l.chain[ex.band][ex.at+step]].centre < l.blocks[l.chain[ey.band][ey.at+step]].centre
		})
		y := l.blocks[b].barTop()
		for _, e := range ends {
			ports[e.band][e.at] = y
			y += l.bands[e.band].energy * l.perJ
		}
	}
	for b := range l.blocks {
		stack(b, ins[b], -1, l.portIn)
		stack(b, outs[b], 1, l.portOut)
	}
}

// outline is a band's shape, with (x0, y0) the top left corner of the layout.
func (l *flowLayout) outline(band int, x0, y0 float64) []sheet.Step {
	var p sheet.Path
	w := l.bands[band].energy * l.perJ
	c := l.chain[band]
	type gap struct{ xa, ya, xb, yb float64 }
	var gaps []gap
	for k := range len(c) - 1 {
		xa := x0 + float64(l.blocks[c[k]].layer)*(boxWidth+boxGap) + boxWidth
		gaps = append(gaps, gap{xa, y0 + l.portOut[band][k], xa + boxGap, y0 + l.portIn[band][k+1]})
	}
	p.Move(gaps[0].xa, gaps[0].ya)
	for k, g := range gaps {
		if k > 0 {
			p.Line(g.xa, g.ya)
		}
		mid := (g.xa + g.xb) / 2
		p.Curve(sheet.Point{X: mid, Y: g.ya}, sheet.Point{X: mid, Y: g.yb}, sheet.Point{X: g.xb, Y: g.yb})
	}
	for k := len(gaps) - 1; k >= 0; k-- {
		g := gaps[k]
		p.Line(g.xb, g.yb+w)
		mid := (g.xa + g.xb) / 2
		p.Curve(sheet.Point{X: mid, Y: g.yb + w}, sheet.Point{X: mid, Y: g.ya + w}, sheet.Point{X: g.xa, Y: g.ya + w})
	}
	return p.Close().Steps
}
