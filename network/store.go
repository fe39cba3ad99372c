package network

import (
	"fmt"
	"math"

	"meltspan/design"
	"meltspan/matter"
)

// addStore reads the charge off the design.
func (b *builder) addStore() error {
	d, m := b.d, b.m
	substance, ok := matter.FindSubstance(d.Store.Substance)
	if !ok {
		return fmt.Errorf("network: no substance is called %q", d.Store.Substance)
	}
	s := &m.store
	*s = store{
		node: storeLater, name: substance.Name,
		melting: d.Store.MeltingPoint.SI, latent: d.Store.LatentHeat.SI,
		solidDensity: substance.SolidDensity.Value, liquidDensity: substance.LiquidDensity.Value,
		solidHeat: substance.SolidSpecificHeat.Value, liquidHeat: substance.LiquidSpecificHeat.Value,
		solidConductivity: substance.SolidConductivity.Value, liquidConductivity: substance.LiquidConductivity.Value,
		emissivity: 0.96, // ice and water, and most liquids (handbook, from memory)
		evaporates: substance.Evaporates, changesPhase: substance.HasPhaseChange,
		isWater: substance.Name == "water", solidName: solidName(substance),
		mass: d.Store.Mass.SI, temperature: d.Store.Temperature.SI,
		rests: d.Store.Support == design.SupportRests, held: d.Store.Support == design.SupportHeld,
		wet: d.Stand.Contact.Wet.SI, film: d.Stand.Contact.Film.SI,
	}
	if e := d.Load.Engine; e != nil {
		s.pressingMass = e.Mass.SI
	}
	s.liquid = substance.Liquid(max(s.melting+4, min(s.temperature, d.Room.Temperature.SI)))
	if m := (s.temperature + d.Room.Temperature.SI) / 2; s.temperature > d.Room.Temperature.SI {
		s.liquid = substance.Liquid(m)
	}
	switch d.Stand.Contact.Mode {
	case design.ContactPressed:
		s.contact = contactPressed
	case design.ContactNone:
		s.contact = contactNone
	default:
		s.contact = contactOnRim
	}

	m.phase = phaseLiquid
	if d.Store.Form != design.FormLiquid && s.changesPhase {
		m.phase = phaseMelting
		if s.temperature < s.melting {
			m.phase = phaseSolid
		}
	}
	switch d.Store.Form {
	case design.FormBlock:
		s.radius = min(d.Store.Diameter.SI/2, 0.9999*m.cupRadius)
	case design.FormCubes, design.FormCrushed:
		edge := d.Store.Edge.SI
		count := s.mass / (s.solidDensity * edge * edge * edge)
		s.pieces = pieces{count: count, perLayer: min(d.Store.Packing.SI*m.cupArea/(edge*edge), count)}
		if n, circle := sideBySide(count, edge, m.cupRadius); n > 0 {
			s.pieces = pieces{count: count, perLayer: count, placed: n, circle: circle}
		}
	}

	var g geometry
	solid, liquid := s.mass, 0.0
	if m.phase == phaseLiquid {
		solid, liquid = 0, s.mass
	}
	if s.held { // held at its starting height: it starts on floor or pegs
		s.startTop = math.Inf(1)
	}
	rests, held := s.rests, s.held
	s.rests, s.held = true, false
	m.place(solid, liquid, s.radius, &g)
	s.rests, s.held = rests, held
	s.startTop = max(g.top, g.level)
	if s.held && s.contact == contactPressed && m.plateArea > m.cupArea {
		// The plate lies on the rim, and the store is lifted to it.
		s.startTop = m.rimTop
	}
	m.plateStop = b.plateStop()
	return nil
}

// plateStop is the height at which something other than the store carries the
// plate: rim and gasket, or whatever holds it clear. A plate that goes into
// the cup can follow a pressed store down to the floor.
func (b *builder) plateStop() float64 {
	d, m := b.d, b.m
	s := &m.store
	wide := m.plateArea > m.cupArea
	gap := d.Stand.Contact.StartingGap.SI
	switch {
	case s.contact == contactPressed && wide:
		return m.rimTop
	case s.contact == contactPressed:
		return 0
	case wide:
		if s.startTop+gap < m.rimTop-touching {
			m.warnings = append(m.warnings, fmt.Sprintf("The stated starting gap would put the plate %.1f mm below the rim: the rim's height is taken.",
				1e3*(m.rimTop-s.startTop-gap)))
		}
		return max(s.startTop+gap, m.rimTop)
	}
	return s.startTop + gap
}

func solidName(s matter.Substance) string {
	if s.Name == "water" {
		return "ice"
	}
	return "solid"
}
