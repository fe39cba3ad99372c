package network

import "math"

// geometry says where the solid part of the store and its liquid stand in the
// cup. Heights are from the cup floor, m; areas m2.
type geometry struct {
	footprint  float64 // of the solid, seen from above
	height     float64 // of the solid
	bottom     float64 // of the solid
	top        float64 // of the solid
	level      float64 // of the liquid surface
	side       float64 // area of the solid that faces sideways
	sideWet    float64 // wetted part of it
	sideGap    float64 // distance from solid to wall
	under      float64 // depth of the space between floor and solid
	underWet   float64 // share of that space that is filled with liquid
	plate      float64 // height of the plate's lower face
	gapSolid   float64 // from solid to plate
	gapLiquid  float64 // from liquid surface to plate
	areaSolid  float64 // of plate over solid
	areaLiquid float64 // of plate over liquid
	openArea   float64 // of cup not covered by the plate
}

// pieces describes a store of cubes or grains: count, and how many lie in one
// layer.
type pieces struct {
	count    float64
	perLayer float64
	placed   int     // the count of few pieces that stand side by side, else 0
	circle   float64 // m, on which their middles stand
}

// mostPlaced is the largest number of pieces that stand side by side; more are
// a bed.
const mostPlaced = 12

// sideBySide tells a few pieces, in a ring about the axis, from a bed: their
// number, and the radius of the circle through their middles, midway between
// touching one another and touching the wall. 0 when they are no whole number
// (within a tenth) or don't fit.
func sideBySide(count, edge, cup float64) (n int, circle float64) {
	whole := math.Round(count)
	if whole < 1 || whole > mostPlaced || math.Abs(count/whole-1) > 0.1 {
		return 0, 0
	}
	inner := 0.0 // touching one another
	switch {
	case whole == 2:
		inner = edge / 2
	case whole > 2:
		inner = edge / 2 / math.Tan(math.Pi/whole)
	}
	outer := math.Sqrt(max(cup*cup-edge*edge/4, 0)) - edge/2 // corners touching the wall
	if outer < inner {
		return 0, 0
	}
	if whole == 1 {
		return 1, 0
	}
	return int(whole), (inner + outer) / 2
}

// place works out the geometry from the masses: a volume balance of solid and
// liquid in a cylindrical cup, with the solid floating (Archimedes), resting
// or held.
func (m *Model) place(solid, liquid, radius float64, g *geometry) {
	s := &m.store
	*g = geometry{}
	solid, liquid = max(solid, 0), max(liquid, 0)
	volumeLiquid := liquid / s.liquidDensity
	cup := m.cupArea

	switch {
	case m.phase == phaseFreezing || (m.phase == phaseSolid && s.cast):
		// Solid grown from liquid fills the cup from wall to wall.
		g.level = (volumeLiquid + solid/s.solidDensity) / cup
		g.footprint, g.height, g.top = cup, g.level, g.level
		g.side = 2 * math.Pi * m.cupRadius * g.level
		if m.phase == phaseFreezing {
			g.footprint, g.areaLiquid = 0, min(cup, m.plateArea)
		}
	case solid <= 0 || m.phase == phaseLiquid:
		g.level = volumeLiquid / cup
	default:
		m.placeSolid(solid, volumeLiquid, radius, g)
	}

	surface := g.level
	if g.footprint > 0 {
		surface = g.top
	}
	switch {
	case s.contact == contactPressed && s.held:
		g.plate = s.startTop
	case s.contact == contactPressed:
		g.plate = max(surface, m.plateStop)
	default:
		g.plate = max(m.plateStop, surface)
	}
	g.gapSolid = max(g.plate-g.top, 0)
	g.gapLiquid = max(g.plate-g.level, 0)
	if m.phase != phaseFreezing {
		if kept := s.contact == contactPressed && (s.held || m.plateStop == 0); kept || g.level < g.top+submerged {
			g.areaSolid = min(g.footprint, m.plateArea)
		}
		g.areaLiquid = max(min(cup, m.plateArea)-g.areaSolid, 0)
	}
	g.openArea = max(cup-m.plateArea, 0)
}

// submerged is the depth, m, of liquid over the solid from which on the plate
// faces liquid only.
const submerged = 1e-3

// placeSolid places a block, or a pile of cubes or grains, in its melt.
func (m *Model) placeSolid(solid, volumeLiquid, radius float64, g *geometry) {
	s := &m.store
	cup := m.cupArea
	volume := solid / s.solidDensity
	if s.pieces.count > 0 {
		edge := math.Cbrt(volume / s.pieces.count)
		layers := s.pieces.count / s.pieces.perLayer
		g.footprint = min(s.pieces.perLayer*edge*edge, cup*0.999)
		g.height = volume / g.footprint
		// Faces that meet liquid: four sides of each piece and, between
		// layers, the tops and bottoms that lie inside the pile.
		g.side = s.pieces.count * edge * edge * (4 + 2*(1-1/max(layers, 1)))
		g.sideGap = max(0.25*edge, 2e-4)
	} else {
		g.footprint = min(math.Pi*radius*radius, cup*0.9999)
		g.height = volume / g.footprint
		g.side = 2 * math.Pi * radius * g.height
		g.sideGap = max(m.cupRadius-radius, 2e-4)
	}

	support := m.pegHeight
	draught := g.height
	if !s.rests {
		load := 0.0
		if s.contact == contactPressed && m.plateStop == 0 {
			load = s.pressingMass
		}
		draught = min(g.height, (solid+load)/(s.liquidDensity*g.footprint))
	}
	switch {
	case s.held:
		g.bottom = max(s.startTop-g.height, 0)
		g.level = level(volumeLiquid, cup, g.footprint, g.bottom, g.height)
	default:
		floating := (volumeLiquid + g.footprint*draught) / cup
		if bottom := floating - draught; bottom > support && draught < g.height {
			g.bottom, g.level = bottom, floating
		} else {
			g.bottom = support
			g.level = level(volumeLiquid, cup, g.footprint, support, g.height)
		}
	}
	g.top = g.bottom + g.height
	wet := min(max(g.level-g.bottom, 0), g.height)
	g.sideWet = g.side * wet / g.height
	g.under = g.bottom
	if g.under > 0 {
		g.underWet = min(g.level/g.under, 1)
	}
}

// level is the height of a liquid of the given volume in a cup that holds a
// prism of the given footprint from bottom to bottom+height.
func level(volume, cup, footprint, bottom, height float64) float64 {
	if below := cup * bottom; volume <= below {
		return volume / cup
	}
	beside := (volume - cup*bottom) / (cup - footprint)
	if beside <= height {
		return bottom + beside
	}
	return (volume + footprint*height) / cup
}
