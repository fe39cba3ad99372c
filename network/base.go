package network

import (
	"math"

	"meltspan/transfer"
)

// cutFloor divides the floor into rings: a disc and a narrow ring beside the
// wall, or rings of the spacing.
func (b *builder) cutFloor() {
	radius := b.m.cupRadius
	split := radius - min(edgeRing, radius/4)
	n := b.pieces(split)
	for k := range n {
		b.rings = append(b.rings, ring{split * float64(k) / float64(n), split * float64(k+1) / float64(n)})
	}
	n = b.pieces(radius - split)
	for k := range n {
		w := (radius - split) / float64(n)
		b.rings = append(b.rings, ring{split + w*float64(k), split + w*float64(k+1)})
	}
}

// addBase joins the floor's layers to one another and to the wall.
func (b *builder) addBase() {
	m := b.m
	for k, l := range b.floor {
		kt := l.inPlane * l.thickness
		row := b.rowOf(k)
		outwards, _ := b.conductivity(row, 0)
		wall := transfer.ShellConductance(outwards, b.columns[0].in, b.columns[0].middle(), l.thickness)
		for s, r := range b.rings {
			b.joinAround(b.discs[k][s], b.sectors, l.inPlane, r.in, r.out, l.thickness)
			for t, part := range b.sectors {
				if s+1 < len(b.rings) {
					m.addFixed(b.discs[k][s][t], b.discs[k][s+1][t], part.share*series(r.outHalf(kt), b.rings[s+1].inHalf(kt)), "conduction", "")
				} else {
					m.addFixed(b.discs[k][s][t], b.cell(row, 0, t), part.share*series(r.outHalf(kt), wall), "conduction", "")
				}
			}
		}
	}
	for k := 0; k+1 < len(b.floor); k++ {
		l, next := b.floor[k], b.floor[k+1]
		half := l.thickness/2/l.through + next.thickness/2/next.through
		if l.cavity == 0 {
			for s, r := range b.rings {
				for t, part := range b.sectors {
					m.addFixed(b.discs[k][s][t], b.discs[k+1][s][t], part.share*r.area()/half, "conduction", "")
				}
			}
			continue
		}
		cav := b.newCavity(b.d.Stand.Base, l.cavity)
		cav.flat, cav.ratio = true, 2*m.cupRadius/l.cavity
		for s, r := range b.rings {
			for t, part := range b.sectors {
				area := part.share * r.area()
				m.addCavityCell(&cav, b.discs[k][s][t], b.discs[k+1][s][t], area, half/area, 0)
			}
		}
		if b.fine() && cav.filling == 0 {
			cav.exchange = 0
			b.addBaseEnclosure(k)
		} else {
			b.joinCavityCorner(k, &cav)
		}
		m.cavities = append(m.cavities, cav)
	}
}

// addBaseEnclosure lets the faces of the cavity under a layer of the base
// radiate to one another and to the wall round them.
func (b *builder) addBaseEnclosure(above int) {
	l, next := b.floor[above], b.floor[above+1]
	first, last := b.rowOf(above+1)+1, b.rowOf(above)-1
	low, high := b.rows[first].low, b.rows[last].high
	var floor, side, roof []enclosureFace
	for s, r := range b.rings {
		floor = append(floor, enclosureFace{transfer.Band{R0: r.in, Z0: low, R1: r.out, Z1: low}, b.discs[above+1][s], next.thickness / 2 / next.through})
	}
	for s := len(b.rings) - 1; s >= 0; s-- {
		r := b.rings[s]
		roof = append(roof, enclosureFace{transfer.Band{R0: r.out, Z0: high, R1: r.in, Z1: high}, b.discs[above][s], l.thickness / 2 / l.through})
	}
	c := b.columns[0]
	for i := first; i <= last; i++ {
		side = append(side, enclosureFace{transfer.Band{R0: c.in, Z0: b.rows[i].low, R1: c.in, Z1: b.rows[i].high}, b.cells[i][0], (c.out - c.in) / 2 / b.wall[0].through})
	}
	volume := b.m.cupArea * (high - low)
	b.addEnclosure(&enclosure{[][]enclosureFace{floor, side, roof}}, 0, b.d.Stand.Base.Emissivity.SI, volume*airHeat, groupBase)
}

// outHalf is the conductance from the middle of a disc or ring to its outer
// edge, W/K, for the product kt of conductivity and thickness. A disc fed over
// its face has the mean resistance 1/(8 pi k t) to its edge: Carslaw and Jaeger,
// Conduction of Heat in Solids, 2nd ed., section 7.2 (cylinder with heat source,
// mean of the parabola).
func (r ring) outHalf(kt float64) float64 {
	if r.in == 0 {
		return 8 * math.Pi * kt
	}
	return 2 * math.Pi * kt / math.Log(r.out/math.Sqrt(r.in*r.out))
}

// inHalf is that from the inner edge of a ring to its middle.
func (r ring) inHalf(kt float64) float64 {
	return 2 * math.Pi * kt / math.Log(math.Sqrt(r.in*r.out)/r.in)
}

// edgeShape is the conduction shape factor of the edge of two adjoining walls,
// per length (Incropera, Fundamentals of Heat and Mass Transfer, 7th ed., Table
// 4.1, case 8).
const edgeShape = 0.54

// cornerExchange is the coefficient, W/(m2 K), between the wall beside a flat
// cavity and the floor above or below it: mostly radiation.
const cornerExchange = 5

// joinCavityCorner joins the wall beside a cavity of the base to the floor
// above and below it: by half of its face to each, or through a filling by
// the shape factor of an edge. The floor is met over the height of the
// cavity, from the wall inwards.
func (b *builder) joinCavityCorner(above int, cav *cavity) {
	m := b.m
	around := 2 * math.Pi * m.cupRadius
	whole := cornerExchange * around * cav.width / 2
	if cav.filling > 0 {
		whole = edgeShape * cav.filling * cav.width * around
	}
	near := max(m.cupRadius-cav.width, 0)
	seen := math.Pi * (m.cupRadius*m.cupRadius - near*near)
	first, last := b.rowOf(above+1)+1, b.rowOf(above)-1
	for i := first; i <= last; i++ {
		share := whole * b.rows[i].height() / cav.width
		for s, r := range b.rings {
			part := ring{max(r.in, near), r.out}
			if part.out <= part.in {
				continue
			}
			g := share * part.area() / seen
			for t, sector := range b.sectors {
				m.addFixed(b.cell(i, 0, t), b.discs[above][s][t], sector.share*g, "radiation", "")
				m.addFixed(b.cell(i, 0, t), b.discs[above+1][s][t], sector.share*g, "radiation", "")
			}
		}
	}
}
