package network

import (
	"math"

	"meltspan/design"
	"meltspan/transfer"
)

// The stand's section is cut into rows (heights) and columns (radii) where
// its parts meet, with narrow rows at the ends of the cup's wall: a wet thin
// skin takes up what flows along it within a millimetre or two.
const (
	endRow   = 2e-3 // m
	nextRow  = 4e-3 // m
	edgeRing = 4e-3 // m, of the floor beside the wall
)

// column is one ring of the wall's section. A void column is a cavity; it
// holds material only in the closed rows, at the rim and at the foot.
type column struct {
	in, out float64
	layer   int // of the wall; of the last solid layer for a void
	void    bool
	cavity  float64 // radius of the middle of a void's cavity, m
}

func (c column) middle() float64 { return math.Sqrt(c.in * c.out) }
func (c column) area(from, to float64) float64 {
	low, high := max(c.in, from), min(c.out, to)
	if high <= low {
		return 0
	}
	return math.Pi * (high*high - low*low)
}

// row is one height band of the section.
type row struct {
	low, high float64 // from the underside of the body
	closed    bool    // solid from cup to outside
	base      int     // layer of the base beside it, or -1
}

func (r row) height() float64 { return r.high - r.low }

// ring is one disc or ring of the floor.
type ring struct{ in, out float64 }

func (r ring) area() float64 { return math.Pi * (r.out*r.out - r.in*r.in) }

// builder gathers what the parts of the stand need from one another.
type builder struct {
	d *design.Design
	m *Model

	spacing             float64 // widest cell, m; infinite for the network
	sectors             []sector
	copies              float64 // of the sectors that make the circle
	direction           float64 // of the load, when the design's own is not to decide
	outer, base, height float64
	rimThickness        float64
	wall, floor         []layer
	columns             []column
	rows                []row     // from the bottom
	cells               [][][]int // node by row, column and sector; -1 where there is none
	rings               []ring    // of the floor
	discs               [][][]int // node by layer of the base, ring and sector
	foot, rim           int       // last closed row of the foot, first of the rim
}

// cutSection divides wall, rim and base into rows, columns and rings.
func (b *builder) cutSection() {
	b.wall = b.refined(shellLayers(b.d, b.d.Stand.Wall, b.outer-b.m.cupRadius, true))
	b.floor = b.refined(shellLayers(b.d, b.d.Stand.Base, b.base, false))
	b.cutColumns()
	b.cutRows()
	b.cutFloor()
}

// addSection makes the nodes of wall, rim and base and joins them.
func (b *builder) addSection() {
	b.addCells()
	b.joinUpwards()
	b.joinOutwards()
	b.addWallCavities()
	b.addBase()
}

// pieces is how many cells of the spacing a length takes.
func (b *builder) pieces(length float64) int {
	return max(int(math.Ceil(length/b.spacing-1e-9)), 1)
}

// refined cuts layers into layers of at most the spacing.
func (b *builder) refined(layers []layer) []layer {
	var out []layer
	for i, l := range layers {
		n := b.pieces(l.thickness)
		for k := range n {
			part := withThickness(l, l.thickness/float64(n))
			part.part, part.last = i, i == len(layers)-1
			if k < n-1 {
				part.cavity = 0
			}
			out = append(out, part)
		}
	}
	return out
}

// cutColumns lists the wall's rings. A cavity is cut at the edge of the plate,
// because the rim above it is warm outside and cold under the plate.
func (b *builder) cutColumns() {
	plate := b.d.Load.BottomPlate.Diameter.SI / 2
	r := b.m.cupRadius
	void := func(from, to float64, layer int, cavity float64) {
		n := b.pieces(to - from)
		for k := range n {
			low, high := from+(to-from)*float64(k)/float64(n), from+(to-from)*float64(k+1)/float64(n)
			b.columns = append(b.columns, column{low, high, layer, true, cavity})
		}
	}
	for i, l := range b.wall {
		b.columns = append(b.columns, column{in: r, out: r + l.thickness, layer: i})
		r += l.thickness
		if l.cavity == 0 {
			continue
		}
		edge := r + l.cavity
		cut := math.Sqrt(r * edge)
		if plate > r+1e-3 && plate < edge-1e-3 {
			cut = plate
		}
		void(r, cut, i, (r+edge)/2)
		void(cut, edge, i, (r+edge)/2)
		r = edge
	}
	b.columns[len(b.columns)-1].out = b.outer // against rounding
}

// cutRows lists the height bands: the layers and cavities of the base, the
// cup's wall, and the rim.
func (b *builder) cutRows() {
	z := 0.0
	add := func(height float64, closed bool, base int) {
		n := 1
		if base < 0 {
			n = b.pieces(height)
		}
		for range n {
			b.rows = append(b.rows, row{z, z + height/float64(n), closed, base})
			z += height / float64(n)
		}
	}
	for k := len(b.floor) - 1; k >= 0; k-- {
		add(b.floor[k].thickness, b.floor[k].last, k)
		if b.floor[k].last {
			b.foot = len(b.rows) - 1
		}
		if k > 0 && b.floor[k-1].cavity > 0 {
			add(b.floor[k-1].cavity, false, -1)
		}
	}
	open := b.m.cupDepth - b.rimThickness
	end, next := min(endRow, 0.1*open), min(nextRow, 0.2*open)
	for _, h := range []float64{end, next, open - 2*end - 2*next, next, end} {
		add(h, false, -1)
	}
	b.rim = len(b.rows)
	add(b.rimThickness, true, -1)
}

func (b *builder) cell(row, column, sector int) int { return b.cells[row][column][sector] }

// rowOf is the row beside a layer of the base.
func (b *builder) rowOf(layer int) int {
	for i, r := range b.rows {
		if r.base == layer {
			return i
		}
	}
	panic("network: a layer of the base has no row")
}

// conductivities of a cell, outwards and upwards. Closed rows, and the ribs in
// a cavity, are solid right across.
func (b *builder) conductivity(row, col int) (outwards, upwards float64) {
	c := b.columns[col]
	l := b.wall[c.layer]
	if c.void || b.rows[row].closed {
		l = layerOf(b.d, 0, 1, true)
		share := 1.0
		if !b.rows[row].closed {
			share = b.ribShare(c)
		}
		return share * l.through * b.d.Model.Bypass.SI, share * l.inPlane
	}
	return l.through, l.inPlane
}

// solidAt reports whether there is material in a cell of the wall: everywhere
// but in the open rows of a cavity, and there in its ribs.
func (b *builder) solidAt(row, col, sector int) bool {
	c := b.columns[col]
	return !c.void || b.rows[row].closed || b.inRib(c, b.sectors[sector])
}

// addCells makes the nodes row by row from the table upwards, the floor's
// rings before the wall's, so that neighbours have near numbers and
// elimination fills in little.
func (b *builder) addCells() {
	b.m.table = b.m.addNode("table", groupBase, b.tableCapacity())
	closed := layerOf(b.d, 0, 1, true)
	b.discs = make([][][]int, len(b.floor))
	for i, r := range b.rows {
		if k := r.base; k >= 0 {
			l := b.floor[k]
			for _, ring := range b.rings {
				ids := make([]int, len(b.sectors))
				for t, s := range b.sectors {
					ids[t] = b.m.addNode("base", groupBase, s.share*ring.area()*l.thickness*l.heat)
					b.show(Cell{ids[t], t, ring.in, ring.out, r.low, r.high, l.inPlane, l.through, b.m.nodes[ids[t]].capacity}, i)
				}
				b.discs[k] = append(b.discs[k], ids)
			}
		}
		group, name := groupWall, "wall"
		switch {
		case i >= b.rim:
			group, name = groupRim, "rim"
		case i <= b.foot:
			group, name = groupBase, "foot"
		}
		line := make([][]int, len(b.columns))
		for j, c := range b.columns {
			line[j] = make([]int, len(b.sectors))
			heat := b.wall[c.layer].heat
			if r.closed {
				heat = closed.heat
			} else if c.void {
				heat = closed.heat * b.ribShare(c)
			}
			outwards, upwards := b.conductivity(i, j)
			for t, s := range b.sectors {
				line[j][t] = -1
				if !b.solidAt(i, j, t) {
					continue
				}
				line[j][t] = b.m.addNode(name, group, s.share*c.area(0, b.outer)*r.height()*heat)
				b.show(Cell{line[j][t], t, c.in, c.out, r.low, r.high, outwards, upwards, b.m.nodes[line[j][t]].capacity}, i)
			}
		}
		b.cells = append(b.cells, line)
	}
}

// joinUpwards joins each cell to the one above it.
func (b *builder) joinUpwards() {
	for i := 0; i+1 < len(b.rows); i++ {
		for j, c := range b.columns {
			_, k1 := b.conductivity(i, j)
			_, k2 := b.conductivity(i+1, j)
			area := c.area(0, b.outer)
			for t, s := range b.sectors {
				low, high := b.cell(i, j, t), b.cell(i+1, j, t)
				if low >= 0 && high >= 0 {
					b.m.addFixed(low, high, s.share*area/(b.rows[i].height()/2/k1+b.rows[i+1].height()/2/k2), "conduction", "")
				}
			}
		}
	}
}

// joinOutwards joins neighbouring rings that touch, and each ring's sectors.
func (b *builder) joinOutwards() {
	for i, r := range b.rows {
		for j := range b.columns {
			k1, _ := b.conductivity(i, j)
			left := b.columns[j]
			around := b.wall[left.layer].through
			if left.void || r.closed {
				around = layerOf(b.d, 0, 1, true).through
			}
			b.joinAround(b.cells[i][j], b.sectors, around, left.in, left.out, r.height())
			if j+1 == len(b.columns) {
				continue
			}
			k2, _ := b.conductivity(i, j+1)
			right := b.columns[j+1]
			g := series(transfer.ShellConductance(k1, left.middle(), left.out, r.height()),
				transfer.ShellConductance(k2, right.in, right.middle(), r.height()))
			for t, s := range b.sectors {
				if a, c := b.cell(i, j, t), b.cell(i, j+1, t); a >= 0 && c >= 0 {
					b.m.addFixed(a, c, s.share*g, "conduction", "")
				}
			}
		}
	}
}

// addWallCavities makes each cavity of the wall: one convecting layer of air,
// touching its two skins in every open row.
func (b *builder) addWallCavities() {
	d, m := b.d, b.m
	for j, c := range b.columns {
		if c.void || b.wall[c.layer].cavity == 0 {
			continue
		}
		k := j + 1
		for b.columns[k].void {
			k++
		}
		inner, outer := c.out, b.columns[k].in
		mean := (outer - inner) / math.Log(outer/inner)
		cav := b.newCavity(d.Stand.Wall, outer-inner)
		height := 0.0
		for i, r := range b.rows {
			if r.closed {
				continue
			}
			height += r.height()
			half := 1/transfer.ShellConductance(b.wall[c.layer].through, c.middle(), c.out, r.height()) +
				1/transfer.ShellConductance(b.wall[c.layer+1].through, outer, b.columns[k].middle(), r.height())
			bridge := 0.0
			if ribs := d.Stand.Ribs; ribs.Count > 0 && !b.round() {
				bridge = b.wall[c.layer].through * float64(ribs.Count) * ribs.Thickness.SI * r.height() / (outer - inner) * d.Model.Bypass.SI
			}
			for t, s := range b.sectors {
				if !b.solidAt(i, j+1, t) {
					m.addCavityCell(&cav, b.cell(i, j, t), b.cell(i, k, t), s.share*2*math.Pi*mean*r.height(), half/s.share, bridge)
				}
			}
		}
		cav.aspect = height / (outer - inner)
		// The exchange factor refers to the inner face; the area is that of
		// the mean cylinder.
		cav.exchange *= inner / mean
		if b.fine() && cav.filling == 0 {
			cav.exchange = 0
			b.addWallEnclosure(j, k)
		} else {
			b.joinCavityEnd(&cav, j, k, b.rim, -1)
			b.joinCavityEnd(&cav, j, k, b.foot, +1)
		}
		m.cavities = append(m.cavities, cav)
	}
}

// addWallEnclosure lets the faces of the cavity between the layers in two columns
// radiate to one another.
func (b *builder) addWallEnclosure(inner, outer int) {
	low, high := b.rows[b.foot].high, b.rows[b.rim].low
	in, out := b.columns[inner].out, b.columns[outer].in
	// The sectors of ribs have no cavity.
	open := func(nodes []int) []int {
		kept := append([]int(nil), nodes...)
		for t := range kept {
			if b.solidAt(b.foot+1, inner+1, t) {
				kept[t] = -1
			}
		}
		return kept
	}
	var foot, side, rim, core []enclosureFace
	for j := inner + 1; j < outer; j++ {
		c := b.columns[j]
		_, k := b.conductivity(b.foot, j)
		foot = append(foot, enclosureFace{transfer.Band{R0: c.in, Z0: low, R1: c.out, Z1: low}, open(b.cells[b.foot][j]), b.rows[b.foot].height() / 2 / k})
	}
	for j := outer - 1; j > inner; j-- {
		c := b.columns[j]
		_, k := b.conductivity(b.rim, j)
		rim = append(rim, enclosureFace{transfer.Band{R0: c.out, Z0: high, R1: c.in, Z1: high}, open(b.cells[b.rim][j]), b.rows[b.rim].height() / 2 / k})
	}
	half := func(col int) float64 {
		c := b.columns[col]
		return (c.out - c.in) / 2 / b.wall[c.layer].through
	}
	for i := b.foot + 1; i < b.rim; i++ {
		side = append(side, enclosureFace{transfer.Band{R0: out, Z0: b.rows[i].low, R1: out, Z1: b.rows[i].high}, open(b.cells[i][outer]), half(outer)})
	}
	for i := b.rim - 1; i > b.foot; i-- {
		core = append(core, enclosureFace{transfer.Band{R0: in, Z0: b.rows[i].high, R1: in, Z1: b.rows[i].low}, open(b.cells[i][inner]), half(inner)})
	}
	volume := math.Pi * (out*out - in*in) * (high - low)
	b.addEnclosure(&enclosure{[][]enclosureFace{foot, side, rim, core}}, in, b.d.Stand.Wall.Emissivity.SI, volume*airHeat, groupWall)
}

// joinCavityEnd joins the closed end of a wall cavity (rim or foot, between the
// layers in columns inner and outer) to both skins: by half of its face to each,
// or through a filling by half the shape factor of an edge, over the height that the
// end sees: the width of the cavity.
func (b *builder) joinCavityEnd(cav *cavity, inner, outer, end, step int) {
	reach := cav.width
	total := math.Pi * (b.columns[outer].in*b.columns[outer].in - b.columns[inner].out*b.columns[inner].out)
	for j := inner + 1; j < outer; j++ {
		c := b.columns[j]
		area := c.area(0, b.outer)
		g := cornerExchange * area / 2
		if cav.filling > 0 {
			g = area / total * edgeShape / 2 * cav.filling * cav.width * 2 * math.Pi * c.middle()
		}
		seen := 0.0
		for i := end + step; i > b.foot && i < b.rim && seen < reach; i += step {
			part := min(b.rows[i].height(), reach-seen)
			seen += part
		}
		left := seen
		for i := end + step; i > b.foot && i < b.rim && left > 1e-9; i += step {
			part := min(b.rows[i].height(), left)
			left -= part
			for t, s := range b.sectors {
				if !b.solidAt(i, j, t) {
					b.m.addFixed(b.cell(end, j, t), b.cell(i, inner, t), s.share*g*part/seen, "radiation", "")
					b.m.addFixed(b.cell(end, j, t), b.cell(i, outer, t), s.share*g*part/seen, "radiation", "")
				}
			}
		}
	}
}

// newCavity makes the parts of a cavity that wall and base share.
func (b *builder) newCavity(s design.Shell, width float64) cavity {
	cav := cavity{
		width:             width,
		exchange:          transfer.ExchangeParallel(s.Emissivity.SI, s.Emissivity.SI),
		factor:            b.d.Model.Cavity.SI,
		rayleighPerKelvin: transfer.Rayleigh(b.m.air, 1, width),
	}
	if s.Filling != airFilling {
		cav.filling = b.d.MaterialByName(s.Filling).Conductivity.SI / width
	}
	return cav
}
