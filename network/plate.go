package network

import (
	"math"

	"meltspan/design"
)

// plate is one of the load's plates: a single temperature in the network, rings
// (and sectors) that conduct among themselves in the finer depths. Across its
// thickness it has one temperature everywhere: a film of 10 W/(m2 K) on 3 mm of
// steel is a Biot number of 1e-3.
type plate struct{ cells []plateCell }

// plateCell is a part of a plate. Shares are of the whole plate's and add up
// to 1.
type plateCell struct {
	node   int
	ring   ring
	sector sector
	face   float64 // share of the plate's face
	cup    float64 // share of what lies over the cup
	load   float64 // share of the load's cross-section
	inside float64 // m2 of the cup's disc inside the ring
	over   float64 // m2 of the ring over the cup, all sectors together
}

// temperature of a plate as the load feels it: the mean over its cross-section.
func (p *plate) temperature(t []float64) float64 {
	mean := 0.0
	for i := range p.cells {
		mean += p.cells[i].load * t[p.cells[i].node]
	}
	return mean
}

// overCup is the mean temperature of the part over the cup.
func (p *plate) overCup(t []float64) float64 {
	mean := 0.0
	for i := range p.cells {
		mean += p.cells[i].cup * t[p.cells[i].node]
	}
	return mean
}

// none reports a load without this plate.
func (p *plate) none() bool { return len(p.cells) == 0 }

// plateRing is the widest ring that a plate is cut into on a finer section, m.
// Metal evens out over centimetres.
const plateRing = 3e-3

// cutPlate lists the rings of a plate: one in the network, else cut at the edge
// of cup, body and load.
func (b *builder) cutPlate(radius float64) []ring {
	if math.IsInf(b.spacing, 1) {
		return []ring{{0, radius}}
	}
	var rings []ring
	in := 0.0
	for in < radius-1e-9 {
		out := radius
		for _, mark := range []float64{b.m.cupRadius, b.outer, b.loadRadius()} {
			if mark > in+1e-9 && mark < out {
				out = mark
			}
		}
		n := max(int(math.Ceil((out-in)/max(plateRing, b.spacing)-1e-9)), 1)
		for k := range n {
			rings = append(rings, ring{in + (out-in)*float64(k)/float64(n), in + (out-in)*float64(k+1)/float64(n)})
		}
		in = out
	}
	return rings
}

// loadRadius is that of the load's cross-section between the plates.
func (b *builder) loadRadius() float64 {
	lower := b.d.Load.BottomPlate.Diameter.SI / 2
	if upper := b.d.Load.TopPlate; upper != nil {
		lower = min(lower, upper.Diameter.SI/2)
	}
	if e := b.d.Load.Engine; e != nil {
		return min(lower, e.ChamberDiameter.SI/2)
	}
	return lower
}

// within is the part of a ring inside a disc, m2.
func (r ring) within(radius float64) float64 {
	if r.in >= radius {
		return 0
	}
	return ring{r.in, min(r.out, radius)}.area()
}

// addPlate makes the cells of a plate and joins them. Their sectors are no
// shorter than its rings are wide: metal evens out faster than the body under it.
func (b *builder) addPlate(p *design.Plate, name, group string) plate {
	m := b.m
	material := b.d.MaterialByName(p.Material)
	radius, thickness := p.Diameter.SI/2, p.Thickness.SI
	rings, load, inside := b.cutPlate(radius), b.loadRadius(), 0.0
	whole := ring{0, radius}
	kt := material.Conductivity.SI * thickness
	var out plate
	var before []plateCell
	for i, r := range rings {
		volume := math.Pi / 4 * p.Diameter.SI * p.Diameter.SI * thickness * r.area() / whole.area()
		sectors := b.merged((r.in+r.out)/2, r.out-r.in)
		if i == 0 {
			sectors = b.merged(0, 1)
		}
		nodes := make([]int, len(sectors))
		first := len(out.cells)
		for t, s := range sectors {
			nodes[t] = m.addNode(name, group, s.share*volume*material.Density.SI*material.SpecificHeat.SI)
			out.cells = append(out.cells, plateCell{
				node: nodes[t], ring: r, sector: s, inside: inside, over: r.within(m.cupRadius),
				face: s.share * (r.area() / whole.area()),
				cup:  s.share * (r.within(m.cupRadius) / whole.within(m.cupRadius)),
				load: s.share * (r.within(load) / whole.within(load)),
			})
			for _, c := range before {
				if both := s.overlap(c.sector); both > 0 {
					m.addFixed(c.node, nodes[t], both*series(rings[i-1].outHalf(kt), r.inHalf(kt)), "conduction", "")
				}
			}
		}
		before = out.cells[first:]
		inside += r.within(m.cupRadius)
		b.joinAround(nodes, sectors, material.Conductivity.SI, r.in, r.out, thickness)
	}
	return out
}

// plateAt returns, for every sector, the cell of a plate over a radius: the
// outermost where the plate ends before.
func (b *builder) plateAt(p *plate, radius float64) []plateCell {
	out := make([]plateCell, len(b.sectors))
	for t, s := range b.sectors {
		for _, c := range p.cells {
			if (c.ring.in <= radius || c.ring.in == 0) && c.sector.overlap(s) > 0 {
				out[t] = c
			}
		}
	}
	return out
}

// plateOver lists the cells of a plate over a ring of the wall in a sector, with
// the area of each over it, m2.
func (b *builder) plateOver(p *plate, c column, s sector, visit func(node int, area float64)) {
	for _, cell := range p.cells {
		if area := s.overlap(cell.sector) * c.area(cell.ring.in, cell.ring.out); area > 0 {
			visit(cell.node, area)
		}
	}
}

// addPlateFaces gives each ring of a plate a face for its share of the upper
// face and of what overhangs; the edge counts with the outermost ring.
func (b *builder) addPlateFaces(f *film, name string, p *plate, path string, emissivity float64, area func(r ring, outermost bool) float64) {
	last := p.cells[len(p.cells)-1].ring
	for _, c := range p.cells {
		b.m.addFace(f, name, c.node, c.sector.share*area(c.ring, c.ring == last), emissivity, path)
	}
}

// beyond is the part of a ring outside a disc, m2.
func (r ring) beyond(radius float64) float64 {
	if r.out <= radius {
		return 0
	}
	return math.Pi * (r.out*r.out - max(r.in, radius)*max(r.in, radius))
}
