package network

import (
	"math"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/transfer"
)

// Air in the cells of an infill, which are too small for convection, near
// 10 degC and 1 atm (matter.DryAir).
const (
	cellAir = 0.025 // W/(m K)
	airHeat = 1250  // J/(m3 K)
)

// cupBands is how many height bands the wall has along the cup; one more lies
// beside the base.
const cupBands = 3

// layer is one solid layer of a shell, counted from the cup outwards (wall)
// or downwards (base).
type layer struct {
	thickness float64
	through   float64 // conductivity along the way from cup to outside, W/(m K)
	inPlane   float64 // conductivity in the plane of the shell
	heat      float64 // volumetric heat capacity, J/(m3 K)
	cavity    float64 // width of the cavity that follows it; 0 when the next layer touches
}

// shellLayers divides a shell of the given whole thickness into solid layers.
// upright tells a wall, whose heat crosses it along the printed layers, from
// a base, whose heat crosses it from layer to layer.
func shellLayers(d *design.Design, s design.Shell, thickness float64, upright bool, bypass float64) []layer {
	material := d.MaterialByName(d.Stand.Material)
	solid := layerOf(d, material, s.Skin.SI, 1, upright, bypass)
	if n := s.Cavities; n > 0 {
		width := (thickness - 2*s.Skin.SI - float64(n-1)*s.Partition.SI) / float64(n)
		layers := make([]layer, n+1)
		for i := range layers {
			layers[i] = solid
			if i > 0 && i < n {
				layers[i].thickness = s.Partition.SI
			}
			if i < n {
				layers[i].cavity = width
			}
		}
		return layers
	}
	if s.Infill.SI > 0.995 || thickness <= 2.2*s.Skin.SI {
		// Thin outermost layers give the surfaces their own temperature.
		return []layer{
			withThickness(solid, 0.08*thickness), withThickness(solid, 0.42*thickness),
			withThickness(solid, 0.42*thickness), withThickness(solid, 0.08*thickness),
		}
	}
	core := layerOf(d, material, (thickness-2*s.Skin.SI)/2, s.Infill.SI, upright, bypass)
	return []layer{solid, core, core, solid}
}

func withThickness(l layer, thickness float64) layer {
	l.thickness = thickness
	return l
}

func layerOf(d *design.Design, material design.Material, thickness, infill float64, upright bool, bypass float64) layer {
	ratio := 1.0
	if material.Across.Present() {
		ratio = material.Across.SI
	}
	along, across := material.Conductivity.SI, material.Conductivity.SI*ratio
	if infill < 1 {
		alongBest, _, _ := matter.PrintedConductivity(material.Conductivity.SI, cellAir, infill, matter.Along, ratio)
		acrossBest, _, _ := matter.PrintedConductivity(material.Conductivity.SI, cellAir, infill, matter.Across, ratio)
		along, across = alongBest*d.Model.Infill.SI, acrossBest*d.Model.Infill.SI
	}
	l := layer{thickness: thickness, heat: infill*material.Density.SI*material.SpecificHeat.SI + (1-infill)*airHeat}
	if upright {
		l.through, l.inPlane = along, across*bypass
	} else {
		l.through, l.inPlane = across, along*bypass
	}
	return l
}

// shell is one layer of the wall by its radii, m.
type shell struct{ in, mid, out float64 }

// builder gathers what the parts of the stand need from one another.
type builder struct {
	d *design.Design
	m *Model

	outer, base, height float64
	rimThickness        float64
	wall, floor         []layer
	wallNodes           [][]int // by layer, then by band from the bottom
	shells              []shell // radii of the wall's layers
	bandHeights         []float64
	floorNodes          []int
	rim, rimOuter, foot int
	rimSplit            float64 // radius between the two rings of the rim
	bypass              float64
}

// addWall makes the wall: layers of nodes in height bands, joined radially
// (by conduction or across a cavity) and vertically.
func (b *builder) addWall() {
	d, m := b.d, b.m
	inner := m.cupRadius
	b.wall = shellLayers(d, d.Stand.Wall, b.outer-inner, true, b.bypass)
	b.bandHeights = []float64{b.base}
	for range cupBands {
		b.bandHeights = append(b.bandHeights, (m.cupDepth-b.rimThickness)/cupBands)
	}

	r := inner
	b.shells = make([]shell, len(b.wall))
	shells := b.shells
	for i, l := range b.wall {
		shells[i] = shell{r, math.Sqrt(r * (r + l.thickness)), r + l.thickness}
		var nodes []int
		for _, dz := range b.bandHeights {
			volume := math.Pi * (shells[i].out*shells[i].out - shells[i].in*shells[i].in) * dz
			nodes = append(nodes, m.addNode("wall", groupWall, volume*l.heat))
		}
		b.wallNodes = append(b.wallNodes, nodes)
		for j := 1; j < len(nodes); j++ {
			area := math.Pi * (shells[i].out*shells[i].out - shells[i].in*shells[i].in)
			g := l.inPlane * area / ((b.bandHeights[j-1] + b.bandHeights[j]) / 2)
			m.addFixed(nodes[j-1], nodes[j], g, "conduction", "")
		}
		r = shells[i].out + l.cavity
	}

	cavityHeight := b.height - b.rimThickness - b.d.Stand.Base.Skin.SI
	for i := 0; i+1 < len(b.wall); i++ {
		for j, dz := range b.bandHeights {
			from := transfer.ShellConductance(b.wall[i].through, shells[i].mid, shells[i].out, dz)
			to := transfer.ShellConductance(b.wall[i+1].through, shells[i+1].in, shells[i+1].mid, dz)
			a, c := b.wallNodes[i][j], b.wallNodes[i+1][j]
			if b.wall[i].cavity == 0 {
				m.addFixed(a, c, series(from, to), "conduction", "")
				continue
			}
			ri, ro := shells[i].out, shells[i+1].in
			mean := (ro - ri) / math.Log(ro/ri)
			cav := b.newCavity(d.Stand.Wall, a, c, 2*math.Pi*mean*dz, ro-ri)
			cav.half = 1/from + 1/to
			cav.aspect = cavityHeight / (ro - ri)
			// The exchange factor refers to the inner face; the area is that
			// of the mean cylinder.
			cav.exchange *= ri / mean
			if ribs := d.Stand.Ribs; ribs.Count > 0 {
				cav.bridge += b.wall[i].through * float64(ribs.Count) * ribs.Thickness.SI * dz / (ro - ri) * b.bypass
			}
			m.cavities = append(m.cavities, cav)
		}
	}
}

// newCavity makes the parts of a cavity that wall and base share.
func (b *builder) newCavity(s design.Shell, a, c int, area, width float64) cavity {
	d, m := b.d, b.m
	cav := cavity{
		link: m.addLink(a, c, m.nodes[a].group, m.nodes[c].group, "cavity", ""),
		a:    a, b: c, area: area, width: width,
		exchange:          transfer.ExchangeParallel(s.Emissivity.SI, s.Emissivity.SI),
		factor:            d.Model.Cavity.SI,
		steep:             steepUpright,
		rayleighPerKelvin: transfer.Rayleigh(m.air, 1, width),
	}
	if s.Filling != airFilling {
		cav.filled = true
		cav.bridge = d.MaterialByName(s.Filling).Conductivity.SI * area / width
	}
	return cav
}

// airFilling is the filling of an empty cavity.
const airFilling = "air"

// addBase makes the discs under the cup floor and joins them to the wall.
func (b *builder) addBase() {
	d, m := b.d, b.m
	b.floor = shellLayers(d, d.Stand.Base, b.base, false, b.bypass)
	area := m.cupArea
	for i, l := range b.floor {
		b.floorNodes = append(b.floorNodes, m.addNode("base", groupBase, area*l.thickness*l.heat))
		// A disc fed over its face and held at its edge has the mean
		// resistance 1/(8 pi k t): Carslaw and Jaeger, Conduction of Heat in
		// Solids, 2nd ed., section 7.2 (solid cylinder with heat source,
		// mean of the parabola).
		edge := 8 * math.Pi * l.inPlane * l.thickness
		first := b.wallNodes[0]
		if i == 0 {
			m.addFixed(b.floorNodes[i], first[1], edge/2, "conduction", "")
			edge /= 2
		}
		m.addFixed(b.floorNodes[i], first[0], edge, "conduction", "")
	}
	for i := 0; i+1 < len(b.floor); i++ {
		l, next := b.floor[i], b.floor[i+1]
		from, to := l.through*area/(l.thickness/2), next.through*area/(next.thickness/2)
		if l.cavity == 0 {
			m.addFixed(b.floorNodes[i], b.floorNodes[i+1], series(from, to), "conduction", "")
			continue
		}
		cav := b.newCavity(d.Stand.Base, b.floorNodes[i], b.floorNodes[i+1], area, l.cavity)
		cav.flat = true
		cav.steep = 1.7 // half of such a cavity's flow is radiation
		cav.half = 1/from + 1/to
		cav.ratio = 2 * m.cupRadius / l.cavity
		m.cavities = append(m.cavities, cav)
	}
}

// addRings makes the rim that closes the wall at the top and the ring that
// closes it at the bottom; both let heat pass beside the cavities. The rim is
// two rings, one under the plate and one in the open: in a hollow wall the
// thin rim between them is the only way from the open part to the plate.
func (b *builder) addRings() {
	m := b.m
	plate := b.d.Load.BottomPlate.Diameter.SI / 2
	b.rimSplit = math.Sqrt(m.cupRadius * b.outer)
	if plate > m.cupRadius+1e-3 && plate < b.outer-1e-3 {
		b.rimSplit = plate
	}
	top := len(b.bandHeights) - 1
	b.rim = b.ring("rim", groupRim, m.cupRadius, b.rimSplit, b.rimThickness, top)
	b.rimOuter = b.ring("rim, open part", groupRim, b.rimSplit, b.outer, b.rimThickness, top)
	material := layerOf(b.d, b.d.MaterialByName(b.d.Stand.Material), 1, 1, true, b.bypass)
	between := math.Log(math.Sqrt(b.rimSplit*b.outer) / math.Sqrt(m.cupRadius*b.rimSplit))
	m.addFixed(b.rim, b.rimOuter, 2*math.Pi*material.through*b.bypass*b.rimThickness/between, "conduction", "")
	b.foot = b.ring("foot ring", groupBase, m.cupRadius, b.outer, b.d.Stand.Base.Skin.SI, 0)
}

// ring makes a closing ring from one radius to another and joins it to every
// layer of the wall that ends in it: upwards or downwards through half a band,
// sideways within the ring.
func (b *builder) ring(name, group string, from, to, thickness float64, band int) int {
	m := b.m
	material := layerOf(b.d, b.d.MaterialByName(b.d.Stand.Material), 1, 1, true, b.bypass)
	id := m.addNode(name, group, math.Pi*(to*to-from*from)*thickness*material.heat)
	middle := math.Sqrt(from * to)
	for i, l := range b.wall {
		low, high := math.Max(from, b.shells[i].in), math.Min(to, b.shells[i].out)
		if high-low < 1e-6 {
			continue
		}
		upright := l.inPlane * math.Pi * (high*high - low*low) / (b.bandHeights[band]/2 + thickness/2)
		// Only the part of the ring that the layer does not itself carry is
		// reached sideways through the ring.
		away := math.Abs(math.Log(middle/math.Sqrt(low*high))) * (1 - (high-low)/(to-from))
		across := 2 * math.Pi * material.through * b.bypass * thickness / math.Max(away, 1e-9)
		m.addFixed(b.wallNodes[i][band], id, series(upright, across), "conduction", "")
	}
	return id
}
