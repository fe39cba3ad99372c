package network

import (
	"math"

	"meltspan/engine"
)

type loadKind uint8

const (
	loadEngine loadKind = iota
	loadGenerator
	loadLeak
	loadSample
)

// load is the consumer on the lower plate.
type load struct {
	kind         loadKind
	upper, lower plate // the sample is its upper plate; a leak has none
	stirling     engine.Stirling
	generator    engine.Generator
	leak         float64 // W into the lower plate
	cover        float64 // W/K over a sample
	limit        float64 // K
	keep, start  float64 // plate difference that keeps it running, and that starts it
	direction    float64 // +1: cold store; -1: hot store

	chamber float64 // W/K from plate to plate beside the ring
	between []loadCell
	rings   []int   // links into the engine's ring
	top0    float64 // K at the start
}

// loadCell is a part of the load's cross-section between the plates (of a
// leak, of the lower plate alone): its share, the nodes above and below, its
// links.
type loadCell struct {
	share        float64
	upper, lower int
	still, cycle int
	work, source int
}

func (b *builder) addLoad() {
	d, m := b.d, b.m
	l := &m.load
	l.direction = 1
	if !d.ColdStore() {
		l.direction = -1
	}
	if b.direction != 0 {
		l.direction = b.direction
	}
	l.top0 = d.Room.Temperature.SI
	switch {
	case d.Load.Engine != nil:
		l.kind = loadEngine
		l.upper = b.addPlate(d.Load.TopPlate, "top plate", groupTopPlate)
	case d.Load.Generator != nil:
		l.kind = loadGenerator
		l.upper = b.addPlate(d.Load.TopPlate, "top plate", groupTopPlate)
	case d.Load.Sample != nil:
		l.kind = loadSample
		s := d.Load.Sample
		sample := m.addNode("sample", groupTopPlate, s.Mass.SI*s.SpecificHeat.SI)
		l.upper.cells = []plateCell{{node: sample, face: 1, cup: 1, load: 1}}
		if s.Temperature.Present() {
			l.top0 = s.Temperature.SI
		}
	default:
		l.kind = loadLeak
	}
	l.lower = b.addPlate(&d.Load.BottomPlate, "bottom plate", groupBottomPlate)
	b.addLoadCells()

	switch l.kind {
	case loadEngine:
		b.addEngine()
	case loadGenerator:
		b.addGenerator()
	case loadSample:
		b.addSample()
	case loadLeak:
		l.leak, l.limit = d.Load.Leak.Power.SI, d.Load.Leak.Limit.SI
		for i := range l.between {
			c := &l.between[i]
			c.source = m.addLink(outside, c.lower, groupRoom, groupBottomPlate, "load heat", pathLoadHeat)
		}
		l.keep, l.start = 0, 0.05
	}
	b.addPlateEdge()
}

// addLoadCells pairs the cells of both plates over the load's cross-section.
func (b *builder) addLoadCells() {
	l := &b.m.load
	if l.upper.none() || len(l.upper.cells) == 1 {
		for _, c := range l.lower.cells {
			cell := loadCell{share: c.load, lower: c.node, upper: outside}
			if !l.upper.none() {
				cell.upper = l.upper.cells[0].node
			}
			if c.load > 0 {
				l.between = append(l.between, cell)
			}
		}
		return
	}
	// Both are cut at the same radii as far as the load reaches.
	for i, c := range l.lower.cells {
		if c.load > 0 {
			l.between = append(l.between, loadCell{share: c.load, lower: c.node, upper: l.upper.cells[i].node})
		}
	}
}

// addEngine joins the plates by chamber, ring wall and screws.
func (b *builder) addEngine() {
	d, m := b.d, b.m
	l, e := &m.load, d.Load.Engine
	l.stirling = engine.Stirling{
		IntakePerCycle:  e.IntakePerCycle.SI,
		StallDifference: e.StallDifference.SI, StartDifference: e.StartDifference.SI,
		StallSpeed: e.StallSpeed.SI, SpeedPerKelvin: e.SpeedSlope.SI,
		PowerSweptVolume: e.PowerSweptVolume.SI, DeadVolume: e.DeadVolume.SI,
		DisplacerSweptVolume: math.Pi / 4 * e.Displacer.Diameter.SI * e.Displacer.Diameter.SI *
			max(e.ChamberHeight.SI-e.Displacer.Thickness.SI, 0),
		MeanPressure: e.ChargePressure.SI,
	}
	parts := engine.StillParts{
		ChamberDiameter: e.ChamberDiameter.SI, ChamberHeight: e.ChamberHeight.SI,
		DisplacerDiameter: e.Displacer.Diameter.SI, DisplacerThickness: e.Displacer.Thickness.SI,
		DisplacerConductivity: d.MaterialByName(e.Displacer.Material).Conductivity.SI,
		RingThickness:         e.RingWall.SI, RingConductivity: d.MaterialByName(e.RingMaterial).Conductivity.SI,
		ScrewCount: e.Screws.Count, ScrewDiameter: e.Screws.Diameter.SI,
		ScrewConductivity:   d.MaterialByName(e.Screws.Material).Conductivity.SI,
		MeanTemperature:     (d.Store.Temperature.SI + 3*d.Room.Temperature.SI) / 4,
		GasConductivity:     m.air.Conductivity,
		DisplacerEmissivity: d.MaterialByName(e.Displacer.Material).Emissivity.SI,
		PlateEmissivity:     d.Load.BottomPlate.Emissivity.SI,
	}
	total, _, ring, _ := engine.StillConductance(parts)
	total, ring = total*d.Model.Still.SI, ring*d.Model.Still.SI
	if e.StillConductance.Present() {
		total = e.StillConductance.SI
		ring = min(ring, 0.6*total)
	}
	l.chamber = total - ring
	l.stirling.StillConductance = total
	l.keep, l.start = e.StallDifference.SI, e.StartDifference.SI

	radius := e.ChamberDiameter.SI / 2
	wall := d.MaterialByName(e.RingMaterial)
	outer := radius + e.RingWall.SI
	volume := math.Pi * (outer*outer - radius*radius) * e.ChamberHeight.SI
	above, below := b.plateAt(&l.upper, (radius+outer)/2), b.plateAt(&l.lower, (radius+outer)/2)
	ringFilm := m.newFilm(filmVertical, b.engineHeight(), 2*outer, d.Model.SideFilm.SI)
	for t, s := range b.sectors {
		node := m.addNode("engine ring", groupEngine, s.share*volume*wall.Density.SI*wall.SpecificHeat.SI)
		l.rings = append(l.rings, m.addFixed(above[t].node, node, s.share*2*ring, "ring wall", ""))
		m.addFixed(node, below[t].node, s.share*2*ring, "ring wall", pathStill)
		m.addFace(&ringFilm, "engine ring", node, s.share*2*math.Pi*outer*e.ChamberHeight.SI, wall.Emissivity.SI*d.Model.Radiation.SI, "")
	}
	m.addFilm(ringFilm)
	b.addConversion("cycle")
	b.addTopPlate(outer)
}

func (b *builder) addGenerator() {
	d, m := b.d, b.m
	l, g := &m.load, d.Load.Generator
	l.generator = engine.Generator{
		ThermalConductance: g.ThermalConductance.SI, Seebeck: g.Seebeck.SI,
		InternalResistance: g.InternalResistance.SI, LoadResistance: g.LoadResistance.SI,
		LeastDifference: g.LeastDifference.SI,
	}
	l.keep, l.start = g.LeastDifference.SI, 1.01*g.LeastDifference.SI
	b.addConversion("current")
	b.addTopPlate(0)
}

// addConversion links the plates of a load that turns heat into work: what it
// conducts standing still, what its running carries, and the work, taken out at
// the colder plate.
func (b *builder) addConversion(carrier string) {
	m, l := b.m, &b.m.load
	for i := range l.between {
		c := &l.between[i]
		c.still = m.addLink(c.upper, c.lower, groupTopPlate, groupBottomPlate, "standing still", pathStill)
		c.cycle = m.addLink(c.upper, c.lower, groupTopPlate, groupBottomPlate, carrier, pathCycle)
		cold := c.lower
		if l.direction < 0 {
			cold = c.upper
		}
		c.work = m.addLink(cold, outside, m.nodes[cold].group, groupWork, "work", pathWork)
	}
}

// addTopPlate gives the upper plate its films. Its edge and what overhangs
// the engine's ring count with its upper face.
func (b *builder) addTopPlate(engine float64) {
	d, m := b.d, b.m
	p := d.Load.TopPlate
	radius := p.Diameter.SI / 2
	// Characteristic length area over perimeter: Incropera, Fundamentals of
	// Heat and Mass Transfer, eq. 9.29.
	top := m.newFilm(filmUp, radius/2, 2*radius, d.Model.TopFilm.SI)
	b.addPlateFaces(&top, "upper plate", &m.load.upper, "", p.Emissivity.SI*d.Model.Radiation.SI, func(r ring, outermost bool) float64 {
		area := r.area()
		if outermost {
			area += 2 * math.Pi * radius * p.Thickness.SI
		}
		if engine > 0 {
			area += r.beyond(engine)
		}
		return area
	})
	m.addFilm(top)
	for _, c := range m.load.upper.cells {
		m.addSun(c.node, c.face*math.Pi*radius*radius)
	}
}

// addSun lets the sun shine on a node's upper face.
func (m *Model) addSun(node int, area float64) {
	if m.room.sun > 0 {
		link := m.addLink(outside, node, groupRoom, groupTopPlate, "sun", "")
		m.sun = append(m.sun, sunlit{link, m.room.sun * area})
	}
}

// sunlit is a link that brings the sun's heat, W.
type sunlit struct {
	link int
	heat float64
}

func (b *builder) addSample() {
	d, m := b.d, b.m
	l, s := &m.load, d.Load.Sample
	l.limit = s.Limit.SI
	l.keep, l.start = 0, 0.05
	l.chamber = s.Contact.SI
	for i := range l.between {
		c := &l.between[i]
		c.still = m.addLink(c.upper, c.lower, groupTopPlate, groupBottomPlate, "contact", pathStill)
	}
	if s.ExposedArea.SI <= 0 {
		return
	}
	length := math.Sqrt(s.ExposedArea.SI/math.Pi) / 2
	sample := l.upper.cells[0].node
	node := sample
	if s.Cover.Present() {
		node = m.addNode("cover", groupTopPlate, 1) // a cover's own heat capacity is small beside the sample's
		l.cover = s.Cover.SI * s.ExposedArea.SI
		m.addFixed(node, sample, l.cover, "cover", "")
	}
	top := m.newFilm(filmUp, length, 4*length, d.Model.TopFilm.SI)
	m.addFace(&top, "sample", node, s.ExposedArea.SI, 0.9*d.Model.Radiation.SI, "")
	m.addFilm(top)
	m.addSun(node, s.ExposedArea.SI)
}

// addPlateEdge gives the lower plate's edge and overhang their films.
func (b *builder) addPlateEdge() {
	d, m := b.d, b.m
	p := d.Load.BottomPlate
	radius := p.Diameter.SI / 2
	edge := m.newFilm(filmVertical, b.engineHeight(), 2*radius, d.Model.SideFilm.SI)
	b.addPlateFaces(&edge, "lower plate's edge", &m.load.lower, pathEdge, p.Emissivity.SI*d.Model.Radiation.SI, func(r ring, outermost bool) float64 {
		area := 0.0
		if outermost {
			area = 2 * math.Pi * radius * p.Thickness.SI
		}
		area += r.beyond(b.outer)
		if e := d.Load.Engine; e != nil {
			area += r.beyond(e.ChamberDiameter.SI/2 + e.RingWall.SI)
		}
		return area
	})
	m.addFilm(edge)
}

// engineHeight is the height of the upright face that the plates' edges and
// the ring wall make together: the air's boundary layer grows along all of it.
func (b *builder) engineHeight() float64 {
	height := b.d.Load.BottomPlate.Thickness.SI
	if b.d.Load.TopPlate != nil {
		height += b.d.Load.TopPlate.Thickness.SI
	}
	if e := b.d.Load.Engine; e != nil {
		height += e.ChamberHeight.SI
	}
	return max(height, 5e-3)
}

// margin is how far the load is above what keeps it running, K.
func (l *load) margin(temperatures []float64) float64 {
	switch l.kind {
	case loadLeak:
		return l.direction * (l.limit - l.lower.temperature(temperatures))
	case loadSample:
		return l.direction * (l.limit - l.upper.temperature(temperatures))
	}
	return l.difference(temperatures) - l.keep
}

// difference is the plate difference in the working direction, K.
func (l *load) difference(temperatures []float64) float64 {
	if l.upper.none() {
		return math.NaN()
	}
	return l.direction * (l.upper.temperature(temperatures) - l.lower.temperature(temperatures))
}

// turning is the speed, Hz, of the engine while it turns. The straight line of
// engine.Stirling.Speed goes on below stall, because a trial step may reach a
// little beyond the moment of stalling before that is located.
func (l *load) turning(difference float64) float64 {
	s := &l.stirling
	return max(0, s.StallSpeed+s.SpeedPerKelvin*(difference-s.StallDifference))
}
