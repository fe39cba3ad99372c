package network

import (
	"fmt"
	"math"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/transfer"
)

// Build derives the network from a checked and completed design. It returns
// an error only for a design that the reader would have refused.
func Build(d *design.Design) (*Model, error) { return build(d, math.Inf(1), DepthNetwork, 0) }

// BuildDraw is Build for a design drawn near a nominal one: cold or hot is the
// nominal's store, even where the draw puts it on the other side of the room.
func BuildDraw(d *design.Design, cold bool) (*Model, error) {
	direction := 1.0
	if !cold {
		direction = -1
	}
	m, err := build(d, math.Inf(1), DepthNetwork, direction)
	if err == nil {
		m.drawn = true
	}
	return m, err
}

// BuildSection derives the same model on a fine section: no cell of wall, rim
// and base is wider or higher than the spacing, m. Store, load and films are
// those of the network; what differs is how heat finds its way through the
// stand.
func BuildSection(d *design.Design, spacing float64) (*Model, error) {
	if !(spacing >= FinestSpacing*(1-1e-9)) {
		return nil, fmt.Errorf("network: cells of %.3g mm are too fine; use %.3g mm or more", 1e3*spacing, 1e3*FinestSpacing)
	}
	return build(d, spacing, DepthSection, 0)
}

// FinestSpacing bounds the size of a section, m.
const FinestSpacing = 0.25e-3

func build(d *design.Design, spacing float64, depth string, direction float64) (*Model, error) {
	m := &Model{design: d, depth: depth, spacing: spacing}
	b := &builder{d: d, m: m, spacing: spacing, sectors: wholeCircle, copies: 1, direction: direction}
	if err := b.measure(); err != nil {
		return nil, err
	}
	b.readModel()
	if err := b.addStore(); err != nil {
		return nil, err
	}
	m.poolPlate = transfer.NewVerticalPlate(m.store.liquid.Prandtl())
	b.cutSection()
	if depth == DepthRound {
		if err := b.cutSectors(); err != nil {
			return nil, err
		}
		b.chooseSlices()
	}
	b.addSection()
	b.addTable()
	b.addLoad()
	b.slicePlate()
	b.addCup()
	b.addStandFilms()
	// The store comes last so that elimination fills in least.
	m.store.node = m.addNode("store", groupStore, 0)
	m.resolveStore()
	m.firstPhase, m.firstCast = m.phase, m.store.cast
	m.work = newWorkspace(m)
	b.warn()
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
	b.rimThickness = d.Stand.RimHeight()
	wall := b.outer - m.cupRadius
	if !fits(d.Stand.Wall, wall) || !fits(d.Stand.Base, b.base) {
		return fmt.Errorf("network: body %.1f mm x %.1f mm with a cup of %.1f mm x %.1f mm leaves no room for its skins",
			2e3*b.outer, 1e3*b.height, 2e3*m.cupRadius, 1e3*m.cupDepth)
	}
	m.plateArea = math.Pi / 4 * d.Load.BottomPlate.Diameter.SI * d.Load.BottomPlate.Diameter.SI
	m.plateEmissivity = d.Load.BottomPlate.Emissivity.SI
	if pegs := d.Stand.Pegs; pegs.Count > 0 {
		m.pegHeight = pegs.Height.SI
		material := d.MaterialByName(d.Stand.Material)
		section := float64(pegs.Count) * math.Pi / 4 * pegs.Diameter.SI * pegs.Diameter.SI
		m.pegConductance = material.Conductivity.SI * section / pegs.Height.SI * d.Model.Bypass.SI
	}
	return nil
}

// fits reports whether a shell's skins and partitions leave room for its
// cavities. Draws of the sizes may fail where the nominal design does not.
func fits(s design.Shell, thickness float64) bool {
	if s.Cavities == 0 {
		return thickness > 0
	}
	return s.CavityWidth(thickness) > 1e-4
}

// readModel takes over what the whole model shares.
func (b *builder) readModel() {
	d, m := b.d, b.m
	m.room = newRoom(d)
	m.pressure = d.Room.Pressure.SI
	m.air = matter.DryAir((d.Store.Temperature.SI+3*d.Room.Temperature.SI)/4, m.pressure)
	m.airPlate = transfer.NewVerticalPlate(m.air.Prandtl())
	m.lewis = transfer.MassTransferCoefficient(1, m.air, matter.VapourDiffusivity(d.Room.Temperature.SI-5, m.pressure))
	m.rayleighGap = transfer.Rayleigh(m.air, 1, 1)
	m.rimTop = m.cupDepth + d.Stand.Rim.Gasket.SI
	m.cupEmissivity = d.MaterialByName(d.Stand.Material).Emissivity.SI
	m.vapourFactor, m.gapFactor, m.poolFactor = d.Model.Vapour.SI, d.Model.Gap.SI, d.Model.Pool.SI
	m.trayCapacity, m.drains = d.Stand.Tray.Capacity.SI, d.Stand.Cup.Drains
}

// addCup makes the links that follow the geometry of the store.
func (b *builder) addCup() {
	m := b.m
	c := &m.cup
	for i, p := range m.load.lower.cells {
		if p.over > 0 {
			c.plate = append(c.plate, plateOverStore{
				cell: i, cover: b.pieceCover(p.ring, p.sector),
				solid:  m.addLink(p.node, body, groupBottomPlate, groupStore, "contact or gap", ""),
				liquid: m.addLink(p.node, storeLater, groupBottomPlate, groupStore, "contact or gap", ""),
				vapour: m.addLink(p.node, body, groupBottomPlate, groupStore, "vapour", ""),
			})
		}
	}
	c.liquidSolid = m.addLink(storeLater, body, groupStore, groupStore, "convection", "")
	c.liquidUnder = m.addLink(storeLater, body, groupStore, groupStore, "convection", "")
	c.openConvection = m.addLink(outside, storeLater, groupRoom, groupStore, "convection", pathOpen)
	c.openLatent = m.addLink(outside, storeLater, groupRoom, groupStore, "condensation", pathOpen)
	c.drained = m.addLink(storeLater, outside, groupStore, groupTray, "drained melt", pathDrained)

	floor, inside := b.floor[0], 0.0
	for s, r := range b.rings {
		for t, part := range b.sectors {
			node := b.discs[0][s][t]
			m.floor = append(m.floor, floorCell{
				node: node, share: part.share, ring: r.area(), inside: inside,
				pegs: b.pegShare(r, part), cover: b.pieceCover(r, part),
				toSolid:  m.addLink(node, body, groupBase, groupStore, "conduction", pathBase),
				toLiquid: m.addLink(node, storeLater, groupBase, groupStore, "convection", pathBase),
			})
		}
		inside += r.area()
	}
	m.floorHalf = floor.thickness / 2 / floor.through
	// The plate's outermost part over the cup is what a bare wall sees most of.
	beside := b.plateAt(&m.load.lower, m.cupRadius-1e-9)
	for i, r := range b.rows {
		if r.low < b.base-1e-9 {
			continue
		}
		outwards, _ := b.conductivity(i, 0)
		for t, part := range b.sectors {
			node := b.cell(i, 0, t)
			group := m.nodes[node].group
			m.zones = append(m.zones, cupZone{
				node: node, low: r.low - b.base, high: r.high - b.base,
				around: part.share * 2 * math.Pi * m.cupRadius, share: part.share,
				half:     b.wall[0].thickness / 2 / outwards,
				plate:    beside[t].node,
				toLiquid: m.addLink(node, storeLater, group, groupStore, "convection", pathWall),
				toSolid:  m.addLink(node, body, group, groupStore, "conduction", pathWall),
				toPlate:  m.addLink(node, beside[t].node, group, groupBottomPlate, "radiation", pathWall),
			})
		}
	}
	b.addRimContact()
}

// addRimContact joins the rim's rings to the part of the plate above them.
func (b *builder) addRimContact() {
	d, m := b.d, b.m
	for j, c := range b.columns {
		wet := d.Stand.Rim.Contact.SI
		if t := d.Stand.Rim.Gasket.SI; t > 0 {
			wet = series(wet, d.MaterialByName(d.Stand.Rim.GasketMaterial).Conductivity.SI/t)
		}
		top := len(b.rows) - 1
		_, upwards := b.conductivity(top, j)
		for t, s := range b.sectors {
			b.plateOver(&m.load.lower, c, s, func(plate int, area float64) {
				m.rim = append(m.rim, rimCell{
					area: area, wet: wet, half: b.rows[top].height() / 2 / upwards,
					link: m.addLink(b.cell(top, j, t), plate, groupRim, groupBottomPlate, "conduction", pathRim),
				})
			})
		}
	}
}

// addStandFilms gives the stand's outer faces their films.
func (b *builder) addStandFilms() {
	d, m := b.d, b.m
	emissivity := d.Stand.Emissivity.SI * d.Model.Radiation.SI
	last := len(b.columns) - 1
	side := m.newFilm(filmVertical, b.height, 2*b.outer, d.Model.SideFilm.SI)
	for i, r := range b.rows {
		middle := (r.low+r.high)/2 - b.base
		name := "side, upper half of the cup"
		switch {
		case i >= b.rim:
			name = "rim"
		case middle < 0:
			name = "side, beside the base"
		case middle < m.cupDepth/2:
			name = "side, lower half of the cup"
		}
		for t, s := range b.sectors {
			m.addFace(&side, name, b.cell(i, last, t), s.share*2*math.Pi*b.outer*r.height(), emissivity, "")
		}
	}
	m.addFilm(side)

	top := m.newFilm(filmUp, b.outer/2, 2*b.outer, d.Model.TopFilm.SI)
	plate := max(d.Load.BottomPlate.Diameter.SI/2, m.cupRadius)
	for j, c := range b.columns {
		for t, s := range b.sectors {
			m.addFace(&top, "rim", b.cell(len(b.rows)-1, j, t), s.share*c.area(plate, b.outer), emissivity, "")
		}
	}
	m.addFilm(top)
}

// warn notes where the model leaves the range of its sources.
func (b *builder) warn() {
	d, m := b.d, b.m
	say := func(format string, args ...any) { m.warnings = append(m.warnings, fmt.Sprintf(format, args...)) }
	for i := range m.cavities {
		if c := &m.cavities[i]; !c.flat && c.filling == 0 && c.aspect < 1 {
			say("A cavity of the wall is wider than high: its convection is an upper bound.")
			break
		}
	}
	for _, p := range []*design.Plate{&d.Load.BottomPlate, d.Load.TopPlate} {
		if p == nil {
			continue
		}
		// A plate is taken as one temperature: fair while its radius is short
		// against the length sqrt(k t/h) over which a plate evens out.
		k := d.MaterialByName(p.Material).Conductivity.SI
		if p.Diameter.SI/2 > 1.5*math.Sqrt(k*p.Thickness.SI/10) {
			say("A plate of %s spreads heat poorly: its middle and edge will differ, which the model leaves out.", p.Material)
			break
		}
	}
	if m.store.contact == contactPressed && !m.store.held && m.plateArea > m.cupArea {
		say("The plate is wider than the cup: it can follow the store down to the rim only, not be pressed on it.")
	}
	if m.plateArea < 0.98*m.cupArea {
		say("The ring of the cup beside the plate is taken as open to the room's air however deep the store stands: an upper bound.")
	}
	if d.Load.TopPlate != nil && (m.load.kind == loadLeak || m.load.kind == loadSample) {
		say("The upper plate has no part in this load.")
	}
	if m.load.kind == loadLeak && m.room.sun > 0 {
		say("Sun does not reach the plate of a leak.")
	}
	if m.load.kind == loadLeak {
		say("The lower plate's upper face is taken as insulated: the leak is all the heat that enters there.")
	}
}
