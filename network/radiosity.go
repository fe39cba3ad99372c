package network

import (
	"math"

	"meltspan/transfer"
)

// In section and three dimensions a cavity's faces radiate by view factors. Its
// closed face is cut into patches, each with a node for its radiosity: at the
// temperature of the black body that would send out as much. Between radiosities
// flow A F sigma (T1^4 - T2^4); from the faces of the cells behind a patch to its
// radiosity, A e/(1-e) sigma (T^4 - T1^4) (Incropera 7th ed. section 13.3,
// radiation network of grey diffuse faces). The nodes hold the heat of the
// cavity's air.

// radiant is a link that carries heat by the fourth powers.
type radiant struct {
	link, a, b int
	area       float64 // m2, times emissivity or view factor
	half       float64 // K/W of the cell from its node to its face
}

const (
	patchLength = 2e-3 // m; patches are no shorter
	patchCount  = 6    // of one side at most
	brightest   = 0.995
)

// enclosureFace is the face of one ring of cells towards a cavity, one cell for
// every sector (-1 where the sector is solid).
type enclosureFace struct {
	band  transfer.Band
	nodes []int
	half  float64 // m2 K/W from node to face
}

// enclosure gathers the faces of a cavity, side by side in the order in which
// they close it.
type enclosure struct{ sides [][]enclosureFace }

// patch is some neighbouring faces of one side.
type patch struct {
	band  transfer.Band
	faces []enclosureFace
}

func (e *enclosure) patches() []patch {
	var out []patch
	for _, side := range e.sides {
		if len(side) == 0 {
			continue
		}
		whole := 0.0
		for _, f := range side {
			whole += math.Hypot(f.band.R1-f.band.R0, f.band.Z1-f.band.Z0)
		}
		n := min(max(int(whole/patchLength), 1), patchCount)
		run, first := 0.0, len(out)
		for _, f := range side {
			length := math.Hypot(f.band.R1-f.band.R0, f.band.Z1-f.band.Z0)
			k := first + min(int((run+length/2)/whole*float64(n)), n-1)
			run += length
			if k >= len(out) {
				out = append(out, patch{band: f.band})
			}
			p := &out[len(out)-1]
			p.band.R1, p.band.Z1 = f.band.R1, f.band.Z1
			p.faces = append(p.faces, f)
		}
	}
	return out
}

// addEnclosure joins the faces of a cavity by radiation, sector by sector: what
// a face sends to other sectors is taken to stay in its own.
func (b *builder) addEnclosure(e *enclosure, core, emissivity, airCapacity float64, group string) {
	m := b.m
	patches := e.patches()
	bands := make([]transfer.Band, len(patches))
	for i, p := range patches {
		bands[i] = p.band
	}
	exchange := transfer.ExchangeAreas(bands, core)
	emissivity = min(emissivity, brightest)
	for t, s := range b.sectors {
		nodes := make([]int, len(patches))
		for i, p := range patches {
			nodes[i] = -1
			for _, f := range p.faces {
				if f.nodes[t] >= 0 {
					nodes[i] = m.addNode("cavity face", group, s.share*airCapacity/float64(len(patches)))
					break
				}
			}
			for _, f := range p.faces {
				if f.nodes[t] >= 0 {
					area := s.share * f.band.Area()
					m.addRadiant(f.nodes[t], nodes[i], area*emissivity/(1-emissivity), f.half/area)
				}
			}
		}
		for i := range patches {
			for j := range i {
				if nodes[i] >= 0 && nodes[j] >= 0 {
					m.addRadiant(nodes[i], nodes[j], s.share*exchange[i][j], 0)
				}
			}
		}
	}
}

func (m *Model) addRadiant(a, b int, area, half float64) {
	if area > 0 {
		m.radiants = append(m.radiants, radiant{m.addLink(a, b, m.nodes[a].group, m.nodes[b].group, "radiation", ""), a, b, area, half})
	}
}

func (m *Model) evaluateRadiants() {
	w := m.work
	for i := range m.radiants {
		r := &m.radiants[i]
		a, b := w.temperature[r.a], w.temperature[r.b]
		g := r.area * radiationCoefficient(a, b)
		g /= 1 + g*r.half
		w.q[r.link], w.g[r.link] = g*(a-b), g
	}
}

// fine reports that cavities are divided: in section and three dimensions.
func (b *builder) fine() bool { return !math.IsInf(b.spacing, 1) }
