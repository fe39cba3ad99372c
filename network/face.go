package network

import (
	"math"

	"meltspan/matter"
	"meltspan/transfer"
)

type filmKind uint8

const (
	filmVertical filmKind = iota
	filmUp                // horizontal, looking up
)

// face is an outer face that meets the room: convection, radiation and, below
// the dew point, condensation.
type face struct {
	name                          string
	node                          int
	area                          float64
	film                          filmKind
	length                        float64
	factor                        float64 // on free convection
	emissivity                    float64
	convection, radiation, latent int // links
	rayleighPerKelvin             float64
	forced                        float64 // W/(m2 K)
	kept                          float64 // coefficient of the state that a step starts from, used near balance
	nodeGroup                     string
	moisture                      int // index of its held water among the face masses
}

// holdLimit is how much condensate clings to a face before it runs off,
// kg/m2: drops on plastic or metal begin to run at a tenth of a millimetre or
// so of mean depth (common practice).
const holdLimit = 0.1

// wetEmissivity is that of a water film (handbook value 0.95 to 0.96, from
// memory).
const wetEmissivity = 0.95

func (m *Model) addFace(name string, node int, area float64, film filmKind, length, diameter, factor, emissivity float64, path string) {
	if area <= 0 {
		return
	}
	group := m.nodes[node].group
	f := face{
		name: name, node: node, area: area, film: film, length: length, factor: factor,
		emissivity: emissivity, moisture: len(m.faces),
		convection: m.addLink(outside, node, groupRoom, group, "convection", path),
		radiation:  m.addLink(outside, node, groupRoom, group, "radiation", path),
		latent:     m.addLink(outside, node, groupRoom, group, "condensation", path),
	}
	f.nodeGroup = group
	f.rayleighPerKelvin = transfer.Rayleigh(m.air, 1, length)
	f.forced = m.forcedCoefficient(film, diameter)
	m.faces = append(m.faces, f)
}

// forcedCoefficient is that of the room's air moving past, W/(m2 K): across
// the upright cylinder of the device, or along its round top, whose mean chord
// is pi/4 of the diameter.
func (m *Model) forcedCoefficient(film filmKind, diameter float64) float64 {
	if m.room.forced <= 0 {
		return 0
	}
	reynolds := m.room.forced * diameter / m.air.KinematicViscosity()
	if film == filmVertical {
		return transfer.NusseltCrossflow(reynolds, m.air.Prandtl()) * m.air.Conductivity / diameter
	}
	const chord = math.Pi / 4
	return transfer.NusseltForcedPlate(chord*reynolds, m.air.Prandtl()) * m.air.Conductivity / (chord * diameter)
}

// coefficient is the convective heat transfer coefficient of the face,
// W/(m2 K): free convection by the face's orientation and by which of air and
// face is warmer, joined with forced convection.
func (f *face) coefficient(air *matter.Fluid, plate transfer.VerticalPlate, surface, room float64) float64 {
	difference := math.Abs(room - surface)
	rayleigh := f.rayleighPerKelvin * math.Max(difference, 0.01)
	var nusselt float64
	switch {
	case f.film == filmVertical:
		nusselt = plate.Nusselt(rayleigh)
	case surface < room:
		nusselt = transfer.NusseltHorizontalStable(rayleigh, air.Prandtl())
	default:
		nusselt = transfer.NusseltHorizontalUnstable(rayleigh)
	}
	return transfer.Mixed(f.factor*nusselt*air.Conductivity/f.length, f.forced)
}
