package network

import (
	"fmt"
	"math"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/transfer"
)

// The bench top under the stand, where the design says nothing else: 20 mm of
// wood (common practice), warmed by the room from above around the stand and
// from below.
const (
	tableContactGap = 0.3e-3 // m, mean air gap under a printed base that stands flat (guessed)
	tableRoomFilm   = 8      // W/(m2 K), convection and radiation on indoor faces, ISO 6946:2017 order of size
)

// Build derives the network from a checked and completed design. It returns
// an error only for a design that the reader would have refused.
func Build(d *design.Design) (*Model, error) {
	m := &Model{design: d}
	b := &builder{d: d, m: m}
	if err := b.measure(); err != nil {
		return nil, err
	}
	m.room = newRoom(d)
	m.pressure = d.Room.Pressure.SI
	m.air = matter.DryAir((d.Store.Temperature.SI+3*d.Room.Temperature.SI)/4, m.pressure)
	m.lewis = transfer.MassTransferCoefficient(1, m.air, matter.VapourDiffusivity(d.Room.Temperature.SI-5, m.pressure))
	m.airPlate = transfer.NewVerticalPlate(m.air.Prandtl())
	m.rayleighGap = transfer.Rayleigh(m.air, 1, 1)
	m.cupEmissivity = d.MaterialByName(d.Stand.Material).Emissivity.SI
	m.vapourFactor, m.gapFactor, m.poolFactor = d.Model.Vapour.SI, d.Model.Gap.SI, d.Model.Pool.SI
	m.trayCapacity, m.drains = d.Stand.Tray.Capacity.SI, d.Stand.Cup.Drains

	if err := b.addStore(); err != nil {
		return nil, err
	}
	m.poolPlate = transfer.NewVerticalPlate(m.store.liquid.Prandtl())
	b.addWall()
	b.addBase()
	b.addRings()
	b.addTable()
	if err := b.addLoad(); err != nil {
		return nil, err
	}
	b.addCup()
	b.addFaces()
	// The store comes last so that elimination fills in least.
	m.store.node = m.addNode("store", groupStore, 0)
	m.resolveStore()
	m.firstPhase, m.firstCast = m.phase, m.store.cast
	m.work = newWorkspace(m)
	return m, nil
}

// storeLater stands for the store's node while the rest is being built.
const storeLater = -9

func (m *Model) resolveStore() {
	for i := range m.links {
		if m.links[i].a == storeLater {
			m.links[i].a = m.store.node
		}
		if m.links[i].b == storeLater {
			m.links[i].b = m.store.node
		}
	}
}

func (b *builder) measure() error {
	d, m := b.d, b.m
	b.outer, b.height = d.Stand.OuterDiameter.SI/2, d.Stand.Height.SI
	m.cupRadius, m.cupDepth = d.Stand.Cup.Diameter.SI/2, d.Stand.Cup.Depth.SI
	m.cupArea = math.Pi * m.cupRadius * m.cupRadius
	b.base = b.height - m.cupDepth
	b.bypass = d.Model.Bypass.SI
	b.rimThickness = math.Min(d.Stand.Rim.Thickness.SI, m.cupDepth/2)
	if b.outer <= m.cupRadius || b.base <= 0 {
		return fmt.Errorf("network: body %.1f mm x %.1f mm cannot hold a cup of %.1f mm x %.1f mm",
			2e3*b.outer, 1e3*b.height, 2e3*m.cupRadius, 1e3*m.cupDepth)
	}
	m.plateArea = math.Pi / 4 * d.Load.BottomPlate.Diameter.SI * d.Load.BottomPlate.Diameter.SI
	m.plateEmissivity = d.Load.BottomPlate.Emissivity.SI
	if pegs := d.Stand.Pegs; pegs.Count > 0 {
		m.pegHeight = pegs.Height.SI
		material := d.MaterialByName(d.Stand.Material)
		section := float64(pegs.Count) * math.Pi / 4 * pegs.Diameter.SI * pegs.Diameter.SI
		m.pegConductance = material.Conductivity.SI * section / pegs.Height.SI * b.bypass
	}
	return nil
}

// addTable joins the base to the bench top and that to the room.
func (b *builder) addTable() {
	d, m := b.d, b.m
	wood, ok := matter.FindSolid("wood")
	if !ok {
		panic("network: the handbook has no wood")
	}
	const thickness = 0.02
	area := math.Pi * b.outer * b.outer
	table := m.addNode("table", groupBase, area*thickness*wood.Density.Value*wood.SpecificHeat.Value)

	gap := d.Stand.Feet.Height.SI + tableContactGap
	rayleigh := transfer.Rayleigh(m.air, 5, gap)
	h := transfer.NusseltHeatedBelow(rayleigh)*m.air.Conductivity/gap +
		transfer.ExchangeParallel(d.Stand.Emissivity.SI, 0.9)*transfer.RadiationCoefficient(d.Room.Temperature.SI, d.Room.Temperature.SI-5)
	under := b.floor[len(b.floor)-1]
	disc := series(h*m.cupArea, under.through*m.cupArea/(under.thickness/2))
	m.addFixed(b.floorNodes[len(b.floorNodes)-1], table, disc, "conduction", "")
	m.addFixed(b.foot, table, h*(area-m.cupArea), "conduction", "")

	// Sideways the wood spreads the heat as an annular fin that loses heat on
	// both faces; to its edge the disc itself has the mean resistance
	// 1/(8 pi k t). Downwards it conducts through half its thickness.
	k := wood.Conductivity.Value
	reach := b.outer + 4/math.Sqrt(2*tableRoomFilm/(k*thickness))
	fin := transfer.AnnularFinEfficiency(k, thickness, b.outer, reach, tableRoomFilm) *
		2 * tableRoomFilm * math.Pi * (reach*reach - b.outer*b.outer)
	sideways := series(8*math.Pi*k*thickness, fin)
	down := series(k*area/(thickness/2), tableRoomFilm*area)
	m.tableLink = m.addLink(outside, table, groupRoom, groupBase, "table", "")
	m.table = table
	m.tableConductance = (sideways + down) * d.Model.Table.SI
}

// addCup makes the links that follow the geometry of the store.
func (b *builder) addCup() {
	m := b.m
	c := &m.cup
	plate := m.load.bottom
	c.plateSolid = m.addLink(plate, body, groupBottomPlate, groupStore, "contact or gap", "")
	c.plateLiquid = m.addLink(plate, storeLater, groupBottomPlate, groupStore, "contact or gap", "")
	c.plateVapour = m.addLink(plate, body, groupBottomPlate, groupStore, "vapour", "")
	m.floor = b.floorNodes[0]
	m.floorHalf = b.floor[0].thickness / 2 / b.floor[0].through
	c.floorSolid = m.addLink(m.floor, body, groupBase, groupStore, "conduction", pathBase)
	c.floorLiquid = m.addLink(m.floor, storeLater, groupBase, groupStore, "convection", pathBase)
	c.liquidSolid = m.addLink(storeLater, body, groupStore, groupStore, "convection", "")
	c.liquidUnder = m.addLink(storeLater, body, groupStore, groupStore, "convection", "")
	c.openConvection = m.addLink(outside, storeLater, groupRoom, groupStore, "convection", pathOpen)
	c.openLatent = m.addLink(outside, storeLater, groupRoom, groupStore, "condensation", pathOpen)
	c.rimPlate = m.addLink(b.rim, plate, groupRim, groupBottomPlate, "conduction", pathRim)
	c.drained = m.addLink(storeLater, outside, groupStore, groupTray, "drained melt", pathDrained)

	low := 0.0
	for j := 1; j < len(b.bandHeights); j++ {
		node := b.wallNodes[0][j]
		z := cupZone{
			node: node, low: low, high: low + b.bandHeights[j],
			half:     b.wall[0].thickness / 2 / b.wall[0].through,
			toLiquid: m.addLink(node, storeLater, groupWall, groupStore, "convection", pathWall),
			toSolid:  m.addLink(node, body, groupWall, groupStore, "conduction", pathWall),
			toPlate:  m.addLink(node, plate, groupWall, groupBottomPlate, "radiation", pathWall),
		}
		low = z.high
		m.zones = append(m.zones, z)
	}
	d := b.d
	over := math.Min(d.Load.BottomPlate.Diameter.SI/2, b.outer)
	if over > m.cupRadius {
		m.rimArea = math.Pi * (over*over - m.cupRadius*m.cupRadius)
		m.rimWet = d.Stand.Rim.Contact.SI * m.rimArea
		if t := d.Stand.Rim.Gasket.SI; t > 0 {
			k := d.MaterialByName(d.Stand.Rim.GasketMaterial).Conductivity.SI
			m.rimWet = series(m.rimWet, k*m.rimArea/t)
		}
	}
}

// addFaces gives every outer face its films.
func (b *builder) addFaces() {
	d, m := b.d, b.m
	outermost := b.wallNodes[len(b.wallNodes)-1]
	names := []string{"side, beside the base", "side, lower third", "side, middle third", "side, upper third"}
	for j, node := range outermost {
		area := 2 * math.Pi * b.outer * b.bandHeights[j]
		m.addFace(names[j], node, area, filmVertical, b.height, 2*b.outer, d.Model.SideFilm.SI,
			d.Stand.Emissivity.SI*d.Model.Radiation.SI, "")
	}
	plateRadius := d.Load.BottomPlate.Diameter.SI / 2
	open := math.Max(b.outer*b.outer-math.Pow(math.Max(plateRadius, m.cupRadius), 2), 0) * math.Pi
	rim := 2*math.Pi*b.outer*b.rimThickness + open
	m.addFace("rim", b.rimOuter, rim, filmVertical, b.height, 2*b.outer, d.Model.SideFilm.SI,
		d.Stand.Emissivity.SI*d.Model.Radiation.SI, "")
}
