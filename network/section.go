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

// builder gathers what the parts of the stand need from one another.
type builder struct {
	d *design.Design
	m *Model

	outer, base, height float64
	rimThickness        float64
	wall, floor         []layer
	columns             []column
	rows                []row    // from the bottom
	cells               [][]int  // node by row and column; -1 where there is none
	discs               [][2]int // node by layer of the base, inner disc and ring beside the wall
	rim, foot           int      // rows
}

// addSection makes the nodes of wall, rim and base and joins them.
func (b *builder) addSection() {
	b.wall = shellLayers(b.d, b.d.Stand.Wall, b.outer-b.m.cupRadius, true)
	b.floor = shellLayers(b.d, b.d.Stand.Base, b.base, false)
	b.cutColumns()
	b.cutRows()
	// Nodes are numbered from the table upwards, so that neighbours have near
	// numbers and elimination fills in little.
	b.addDiscs()
	b.addCells()
	b.joinUpwards()
	b.joinOutwards()
	b.addWallCavities()
	b.addBase()
}

// cutColumns lists the wall's rings. A cavity is cut once more at the edge of
// the plate, because the rim above it is warm outside and cold under the
// plate.
func (b *builder) cutColumns() {
	plate := b.d.Load.BottomPlate.Diameter.SI / 2
	r := b.m.cupRadius
	for i, l := range b.wall {
		b.columns = append(b.columns, column{in: r, out: r + l.thickness, layer: i})
		r += l.thickness
		if l.cavity == 0 {
			continue
		}
		edge := r + l.cavity
		if i == len(b.wall)-2 {
			edge = b.outer - b.wall[i+1].thickness // against rounding
		}
		if plate > r+1e-3 && plate < edge-1e-3 {
			b.columns = append(b.columns, column{r, plate, i, true}, column{plate, edge, i, true})
		} else {
			half := math.Sqrt(r * edge)
			b.columns = append(b.columns, column{r, half, i, true}, column{half, edge, i, true})
		}
		r = edge
	}
}

// cutRows lists the height bands: the layers and cavities of the base, the
// cup's wall, and the rim.
func (b *builder) cutRows() {
	z := 0.0
	add := func(height float64, closed bool, base int) {
		b.rows = append(b.rows, row{z, z + height, closed, base})
		z += height
	}
	for k := len(b.floor) - 1; k >= 0; k-- {
		add(b.floor[k].thickness, k == len(b.floor)-1, k)
		if k > 0 && b.floor[k-1].cavity > 0 {
			add(b.floor[k-1].cavity, false, -1)
		}
	}
	open := b.m.cupDepth - b.rimThickness
	end, next := min(endRow, 0.1*open), min(nextRow, 0.2*open)
	for _, h := range []float64{end, next, open - 2*end - 2*next, next, end} {
		add(h, false, -1)
	}
	add(b.rimThickness, true, -1)
	b.foot, b.rim = 0, len(b.rows)-1
}

func (b *builder) cell(row, column int) int { return b.cells[row][column] }

// conductivities of a cell, outwards and upwards. Closed rows are solid
// right across.
func (b *builder) conductivity(row, col int) (outwards, upwards float64) {
	l := b.wall[b.columns[col].layer]
	if b.columns[col].void || b.rows[row].closed {
		l = layerOf(b.d, 0, 1, true)
		return l.through * b.d.Model.Bypass.SI, l.inPlane
	}
	return l.through, l.inPlane
}

func (b *builder) addCells() {
	for i, r := range b.rows {
		group, name := groupWall, "wall"
		switch {
		case i == b.rim:
			group, name = groupRim, "rim"
		case i == b.foot:
			group, name = groupBase, "foot"
		}
		line := make([]int, len(b.columns))
		for j, c := range b.columns {
			line[j] = -1
			if c.void && !r.closed {
				continue
			}
			heat := b.wall[c.layer].heat
			if r.closed {
				heat = layerOf(b.d, 0, 1, true).heat
			}
			line[j] = b.m.addNode(name, group, c.area(0, b.outer)*r.height()*heat)
		}
		b.cells = append(b.cells, line)
	}
}

// joinUpwards joins each cell to the one above it.
func (b *builder) joinUpwards() {
	for i := 0; i+1 < len(b.rows); i++ {
		for j, c := range b.columns {
			low, high := b.cell(i, j), b.cell(i+1, j)
			if low < 0 || high < 0 {
				continue
			}
			_, k1 := b.conductivity(i, j)
			_, k2 := b.conductivity(i+1, j)
			area := c.area(0, b.outer)
			b.m.addFixed(low, high, area/(b.rows[i].height()/2/k1+b.rows[i+1].height()/2/k2), "conduction", "")
		}
	}
}

// joinOutwards joins neighbouring rings that touch.
func (b *builder) joinOutwards() {
	for i, r := range b.rows {
		for j := 0; j+1 < len(b.columns); j++ {
			a, c := b.cell(i, j), b.cell(i, j+1)
			if a < 0 || c < 0 {
				continue
			}
			k1, _ := b.conductivity(i, j)
			k2, _ := b.conductivity(i, j+1)
			left, right := b.columns[j], b.columns[j+1]
			g := series(transfer.ShellConductance(k1, left.middle(), left.out, r.height()),
				transfer.ShellConductance(k2, right.in, right.middle(), r.height()))
			b.m.addFixed(a, c, g, "conduction", "")
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
			if ribs := d.Stand.Ribs; ribs.Count > 0 {
				bridge = b.wall[c.layer].through * float64(ribs.Count) * ribs.Thickness.SI * r.height() / (outer - inner) * d.Model.Bypass.SI
			}
			m.addCavityCell(&cav, b.cell(i, j), b.cell(i, k), 2*math.Pi*mean*r.height(), half, bridge)
		}
		cav.aspect = height / (outer - inner)
		// The exchange factor refers to the inner face; the area is that of
		// the mean cylinder.
		cav.exchange *= inner / mean
		m.cavities = append(m.cavities, cav)
		b.joinCavityEnd(&cav, j, k, b.rim, -1)
		b.joinCavityEnd(&cav, j, k, b.foot, +1)
	}
}

// joinCavityEnd joins the closed end of a wall cavity (rim or foot, between
// the layers in columns inner and outer) to both skins, in the nearest row that
// is high enough to be seen from the end.
func (b *builder) joinCavityEnd(cav *cavity, inner, outer, end, step int) {
	row := end + step
	for next := row + step; b.rows[row].height() < cav.width/3 && next > b.foot && next < b.rim && !b.rows[next].closed; next += step {
		row = next
	}
	for j := inner + 1; j < outer; j++ {
		c := b.columns[j]
		share := c.area(0, b.outer) / (math.Pi * (b.columns[outer].in*b.columns[outer].in - b.columns[inner].out*b.columns[inner].out))
		g := cornerExchange * c.area(0, b.outer) / 2
		if cav.filling > 0 {
			g = share * 0.54 * cav.filling * cav.width * 2 * math.Pi * c.middle()
		}
		b.m.addFixed(b.cell(end, j), b.cell(row, inner), g, "radiation", "")
		b.m.addFixed(b.cell(end, j), b.cell(row, outer), g, "radiation", "")
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

// splitFloor divides the floor into an inner disc and a ring beside the wall:
// the radius between them, and their areas.
func (b *builder) splitFloor() (radius float64, areas [2]float64) {
	radius = b.m.cupRadius - min(edgeRing, b.m.cupRadius/4)
	inner := math.Pi * radius * radius
	return radius, [2]float64{inner, b.m.cupArea - inner}
}

// addDiscs makes the nodes of the table and of the floor's layers, each an
// inner disc and a ring beside the wall.
func (b *builder) addDiscs() {
	b.m.table = b.m.addNode("table", groupBase, b.tableCapacity())
	_, areas := b.splitFloor()
	b.discs = make([][2]int, len(b.floor))
	for k := len(b.floor) - 1; k >= 0; k-- {
		for s, area := range areas {
			b.discs[k][s] = b.m.addNode("base", groupBase, area*b.floor[k].thickness*b.floor[k].heat)
		}
	}
}

// addBase joins the floor's layers to one another and to the wall.
func (b *builder) addBase() {
	d, m := b.d, b.m
	split, areas := b.splitFloor()
	middle := math.Sqrt(split * m.cupRadius)
	rowOf := map[int]int{}
	for i, r := range b.rows {
		if r.base >= 0 {
			rowOf[r.base] = i
		}
	}
	for k, l := range b.floor {
		disc := b.discs[k]
		// A disc fed over its face has the mean resistance 1/(8 pi k t) to
		// its edge: Carslaw and Jaeger, Conduction of Heat in Solids, 2nd
		// ed., section 7.2 (cylinder with heat source, mean of the parabola).
		kt := l.inPlane * l.thickness
		m.addFixed(disc[0], disc[1], series(8*math.Pi*kt, 2*math.Pi*kt/math.Log(middle/split)), "conduction", "")
		outwards, _ := b.conductivity(rowOf[k], 0)
		m.addFixed(disc[1], b.cell(rowOf[k], 0), series(2*math.Pi*kt/math.Log(m.cupRadius/middle),
			transfer.ShellConductance(outwards, b.columns[0].in, b.columns[0].middle(), l.thickness)), "conduction", "")
	}
	for k := 0; k+1 < len(b.floor); k++ {
		l, next := b.floor[k], b.floor[k+1]
		half := l.thickness/2/l.through + next.thickness/2/next.through
		if l.cavity == 0 {
			for s, area := range areas {
				m.addFixed(b.discs[k][s], b.discs[k+1][s], area/half, "conduction", "")
			}
			continue
		}
		cav := b.newCavity(d.Stand.Base, l.cavity)
		cav.flat, cav.ratio = true, 2*m.cupRadius/l.cavity
		for s, area := range areas {
			m.addCavityCell(&cav, b.discs[k][s], b.discs[k+1][s], area, half/area, 0)
		}
		m.cavities = append(m.cavities, cav)
		b.joinCavityCorner(k, rowOf[k]-1, &cav)
	}
}

// cornerExchange is the coefficient, W/(m2 K), between the wall beside a flat
// cavity and the floor above or below it: mostly radiation.
const cornerExchange = 5

// joinCavityCorner joins the wall beside a cavity of the base to the floor
// above and below it: by half of its face to each, or through a filling by the
// shape factor of an edge (0.54 per length; Incropera, Fundamentals of Heat and
// Mass Transfer, 7th ed., Table 4.1).
func (b *builder) joinCavityCorner(above, row int, cav *cavity) {
	m := b.m
	around := 2 * math.Pi * m.cupRadius
	g := cornerExchange * around * b.rows[row].height() / 2
	if cav.filling > 0 {
		g = 0.54 * cav.filling * cav.width * around
	}
	m.addFixed(b.cell(row, 0), b.discs[above][1], g, "radiation", "")
	m.addFixed(b.cell(row, 0), b.discs[above+1][1], g, "radiation", "")
}
