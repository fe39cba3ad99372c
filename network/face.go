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
	filmDown              // horizontal, looking down
)

// film is the air along one body: its faces share one coefficient, since the
// correlations are averages over the whole body.
type film struct {
	kind              filmKind
	length            float64
	factor            float64 // on free convection
	rayleighPerKelvin float64
	forced            float64 // W/(m2 K)
	kept              float64 // coefficient of the state that a step starts from, used near balance
	faces             []face
	area              float64
}

// face is a part of a film's body with a temperature of its own: convection,
// radiation and, below the dew point, condensation.
type face struct {
	name                          string
	node                          int
	area                          float64
	emissivity                    float64
	convection, radiation, latent int // links
	moisture                      int // index of its held water among the face masses
}

// holdLimit is how much condensate clings to a face before it runs off,
// kg/m2: drops on plastic or metal begin to run at a tenth of a millimetre or
// so of mean depth (common practice).
const holdLimit = 0.1

// wetEmissivity is that of a water film (handbook value 0.95 to 0.96, from
// memory).
const wetEmissivity = 0.95

// newFilm describes the air along a body of the given height (or, when level,
// area over perimeter) and diameter.
func (m *Model) newFilm(kind filmKind, length, diameter, factor float64) film {
	return film{
		kind: kind, length: length, factor: factor,
		rayleighPerKelvin: transfer.Rayleigh(m.air, 1, length),
		forced:            m.forcedCoefficient(kind, diameter),
	}
}

// addFace adds a part of a film's body. path names the budget line when the
// face belongs to the lower plate.
func (m *Model) addFace(f *film, name string, node int, area, emissivity float64, path string) {
	if area <= 0 {
		return
	}
	group := m.nodes[node].group
	f.faces = append(f.faces, face{
		name: name, node: node, area: area, emissivity: emissivity, moisture: m.faceCount,
		convection: m.addLink(outside, node, groupRoom, group, "convection", path),
		radiation:  m.addLink(outside, node, groupRoom, group, "radiation", path),
		latent:     m.addLink(outside, node, groupRoom, group, "condensation", path),
	})
	f.area += area
	m.faceCount++
}

// addFilm keeps a film that has faces.
func (m *Model) addFilm(f film) {
	if len(f.faces) > 0 {
		m.films = append(m.films, f)
	}
}

// eachFace visits every face of every film.
func (m *Model) eachFace(visit func(*face)) {
	for i := range m.films {
		for j := range m.films[i].faces {
			visit(&m.films[i].faces[j])
		}
	}
}

// forcedCoefficient is that of the room's air moving past, W/(m2 K): across
// the upright cylinder of the device, or along a round level face, whose mean
// chord is pi/4 of the diameter.
func (m *Model) forcedCoefficient(kind filmKind, diameter float64) float64 {
	if m.room.forced <= 0 {
		return 0
	}
	reynolds := m.room.forced * diameter / m.air.KinematicViscosity()
	if kind == filmVertical {
		return transfer.NusseltCrossflow(reynolds, m.air.Prandtl()) * m.air.Conductivity / diameter
	}
	const chord = math.Pi / 4
	return transfer.NusseltForcedPlate(chord*reynolds, m.air.Prandtl()) * m.air.Conductivity / (chord * diameter)
}

// coefficient is the convective heat transfer coefficient, W/(m2 K): free
// convection by the body's orientation and by which of air and body is
// warmer, joined with forced convection.
func (f *film) coefficient(air *matter.Fluid, plate transfer.VerticalPlate, surface, room float64) float64 {
	difference := math.Abs(room - surface)
	rayleigh := f.rayleighPerKelvin * max(difference, 0.01)
	var nusselt float64
	switch {
	case f.kind == filmVertical:
		nusselt = plate.Nusselt(rayleigh)
	case (f.kind == filmUp) == (surface < room):
		nusselt = transfer.NusseltHorizontalStable(rayleigh, air.Prandtl())
	default:
		nusselt = transfer.NusseltHorizontalUnstable(rayleigh)
	}
	return transfer.Mixed(f.factor*nusselt*air.Conductivity/f.length, f.forced)
}

// steepFilm: the flow of a free film grows with the power 5/4 to 4/3 of its
// difference.
const steepFilm = 1.3

// evaluateFilm gives the flows between the room and the faces of a film.
func (m *Model) evaluateFilm(f *film, air, radiant, vapour float64, held []float64) {
	w := m.work
	mean := 0.0
	for i := range f.faces {
		mean += f.faces[i].area * w.temperature[f.faces[i].node]
	}
	mean /= f.area
	h := f.kept
	if w.fresh || math.Abs(air-mean) >= evenly {
		h = f.coefficient(&m.air, m.airPlate, mean, air)
		f.kept = h
	}
	for i := range f.faces {
		m.evaluateFace(f, &f.faces[i], h, air, radiant, vapour, held)
	}
}

func (m *Model) evaluateFace(f *film, a *face, h, air, radiant, vapour float64, held []float64) {
	w := m.work
	surface := w.temperature[a.node]
	w.q[a.convection], w.g[a.convection] = h*a.area*(air-surface), steepFilm*h*a.area

	emissivity := a.emissivity
	water := max(held[a.moisture], 0)
	if f.kind == filmUp && emissivity < wetEmissivity && water > 0 {
		depth := water / a.area
		emissivity += (wetEmissivity - emissivity) * depth / (depth + 0.01)
	}
	radiation := emissivity * radiationCoefficient(radiant, surface) * a.area
	w.q[a.radiation], w.g[a.radiation] = radiation*(radiant-surface), radiation

	flow := &w.massFlows[a.moisture]
	if surface > w.dewPoint && water == 0 {
		w.q[a.latent], w.g[a.latent], flow.rate, flow.decay = 0, 0, 0, 0
		return
	}
	mass, latent, slope := m.vapourToFace(h, surface, air, vapour)
	mass, slope = mass*a.area, slope*a.area
	decay := 0.0
	if mass < 0 {
		// Only what clings to the face can evaporate.
		clinging := min(water, holdLimit*a.area)
		left, scale := remaining(clinging, lastFilm*a.area)
		decay = -mass * scale
		mass, slope = mass*left, slope*left
	}
	w.q[a.latent], w.g[a.latent] = mass*latent, slope*latent
	flow.rate, flow.decay = -mass, decay
}

// lastFilm is the film, kg/m2, below which a drying face no longer evaporates
// at its full rate: it has dried in part.
const lastFilm = 0.002

// remaining is the share of a drying face that is still wet when it holds the
// given mass, with half at the scale, and the slope of that share.
func remaining(mass, scale float64) (share, slope float64) {
	sum := mass + scale
	return mass / sum, scale / (sum * sum)
}

// vapourToFace is the flux of vapour from the room onto a face, kg/(m2 s), by
// the heat-mass analogy, with the latent heat (J/kg) that it brings and its
// slope with the temperature of the face (positive, kg/(m2 s K)). It is
// transfer.Condensation with the coefficient of the run's mean air and without
// Stefan flow, which at room temperature is one per cent.
func (m *Model) vapourToFace(h, surface, air, vapour float64) (flux, latent, slope float64) {
	saturation := matter.SaturationPressure(surface)
	latent = matter.LatentHeatVaporisation(surface)
	if surface < matter.MeltingPoint {
		latent = matter.LatentHeatSublimation(surface)
	}
	gas := matter.GasConstantWaterVapour * (surface + air) / 2
	beta := h * m.lewis * m.vapourFactor
	flux = beta * (vapour - saturation) / gas
	slope = beta * saturation / gas * latent / (matter.GasConstantWaterVapour * surface * surface)
	return flux, latent, slope
}

func radiationCoefficient(a, b float64) float64 {
	return transfer.StefanBoltzmann * (a*a + b*b) * (a + b)
}
