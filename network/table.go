package network

import (
	"math"

	"meltspan/matter"
	"meltspan/transfer"
)

// The bench top under the stand, where the design says nothing else: 20 mm of
// wood (common practice), warmed by the room from above around the stand and
// from below.
const (
	tableThickness  = 0.02   // m
	tableContactGap = 0.3e-3 // m, mean air gap under a printed base that stands flat (guessed)
	tableRoomFilm   = 8      // W/(m2 K), convection and radiation on indoor faces, ISO 6946:2017 order of size
	openFeet        = 15e-3  // m, height of feet at which half of the underside meets the room's air (a judgement)
)

// addTable joins the underside to the bench top, and that to the room. On
// feet, a part of the underside meets the room's air instead.
func (b *builder) addTable() {
	d, m := b.d, b.m
	area := math.Pi * b.outer * b.outer

	feet := d.Stand.Feet.Height.SI
	open := feet / (feet + openFeet)
	h := b.underside(feet)
	under := b.floor[len(b.floor)-1]
	down := m.newFilm(filmDown, b.outer/2, 2*b.outer, d.Model.SideFilm.SI)
	emissivity := d.Stand.Emissivity.SI * d.Model.Radiation.SI
	join := func(node int, area, half float64) {
		m.addFixed(node, m.table, (1-open)*area/(1/h+half), "conduction", "")
		m.addFace(&down, "underside", node, open*area, emissivity, "")
	}
	for t, part := range b.sectors {
		for s, r := range b.rings {
			join(b.discs[len(b.discs)-1][s][t], part.share*r.area(), under.thickness/2/under.through)
		}
		for j, c := range b.columns {
			_, upwards := b.conductivity(0, j)
			join(b.cell(0, j, t), part.share*c.area(0, b.outer), b.rows[0].height()/2/upwards)
		}
	}
	m.addFilm(down)

	// Sideways the wood spreads the heat as an annular fin that loses heat on
	// both faces; to its edge the disc itself has the mean resistance
	// 1/(8 pi k t). Downwards it conducts through half its thickness.
	k := wood.Conductivity.Value
	reach := b.outer + 4/math.Sqrt(2*tableRoomFilm/(k*tableThickness))
	fin := transfer.AnnularFinEfficiency(k, tableThickness, b.outer, reach, tableRoomFilm) *
		2 * tableRoomFilm * math.Pi * (reach*reach - b.outer*b.outer)
	sideways := series(8*math.Pi*k*tableThickness, fin)
	through := series(k*area/(tableThickness/2), tableRoomFilm*area)
	m.tableLink = m.addLink(outside, m.table, groupRoom, groupBase, "table", "")
	m.tableConductance = (sideways + through) * d.Model.Table.SI
}

// wood is what the bench top is made of.
var wood = func() matter.Solid {
	s, ok := matter.FindSolid("wood")
	if !ok {
		panic("network: the handbook has no wood")
	}
	return s
}()

// tableCapacity is the heat capacity of the bench top under the stand, J/K.
func (b *builder) tableCapacity() float64 {
	return math.Pi * b.outer * b.outer * tableThickness * wood.Density.Value * wood.SpecificHeat.Value
}

// underside is the coefficient across the air between base and table,
// W/(m2 K): under a cold base the layer is heated from below, under a hot one
// it lies still.
func (b *builder) underside(feet float64) float64 {
	d, m := b.d, b.m
	gap := feet + tableContactGap
	nusselt := 1.0
	if d.Store.Temperature.SI < d.Room.Temperature.SI {
		nusselt = transfer.NusseltHeatedBelow(transfer.Rayleigh(m.air, 5, gap))
	}
	return nusselt*m.air.Conductivity/gap +
		transfer.ExchangeParallel(d.Stand.Emissivity.SI, wood.Emissivity.Value)*transfer.RadiationCoefficient(d.Room.Temperature.SI, d.Room.Temperature.SI-5)
}
