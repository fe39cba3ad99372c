package solid

import (
	"fmt"
	"math"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/quantity"
)

// Sizes of the parts that a design does not draw (common practice).
const (
	trayPool  = 12e-3 // m, deepest water beside a stand without feet
	trayAbove = 1e-3  // m, of tray over the water, and of air between water and base
	footWide  = 14e-3 // m
	lidSkirt  = 6e-3  // m
	lidAbove  = 1e-3  // m, between a store that stands proud and the lid
)

// draft is the slope of the mould's wall against the axis, 1 degree (1 to 2 are
// usual for moulds; common practice), or what the gap between block and cup
// allows: the block's wider end must still go in.
func (s *stand) draft() float64 {
	gap := s.cup - s.d.Store.Freezer.MouldDiameter.SI/2
	return max(min(math.Tan(math.Pi/180), draftShare*gap/(s.frozen()/2)), 0)
}

// draftShare is the share of the gap between block and cup that the draft may
// take up.
const draftShare = 0.6

// flexible is what the mould is printed from: ice pushes a soft wall outwards
// and comes out when it is bent.
const flexible = "tpu"

// skin is the wall of trays, lids and moulds, m.
func (s *stand) skin() float64 { return max(s.d.Stand.Wall.Skin.SI, s.d.Print.WatertightWall.SI) }

// feet hold the base clear of the table, or of the tray's floor.
func (s *stand) feet() Part {
	high, r := s.d.Stand.Feet.Height.SI, min(footWide/2, s.outer/4)
	return Part{
		Name: "foot", Label: "foot", About: "three of them, glued under the base near its edge; three never rock",
		Material: s.d.Stand.Material, Count: 3, Lift: -high,
		Loops:      []Loop{rectangle("foot", false, 0, r, 0, high)},
		Dimensions: []Dimension{across("foot", "", r, 0), {Height, "height", "stand.feet.height", Point{r, 0}, Point{r, high}}},
	}
}

// tray is a dish that the stand stands in. Its width follows from the capacity:
// with feet the water lies under the base as well, without them beside the
// stand only.
func (s *stand) tray() Part {
	capacity, wall := s.d.Stand.Tray.Capacity.SI, s.skin()
	pool, under := min(trayPool, s.top/3), 0.0
	least := s.outer + s.clearance + leadIn
	if feet := s.d.Stand.Feet.Height.SI; feet > 2*trayAbove {
		pool = feet - trayAbove
		under = 3 * math.Pi * math.Pow(min(footWide/2, s.outer/4), 2)
	} else {
		under = math.Pi * s.outer * s.outer
	}
	in := max(math.Sqrt((capacity/pool+under)/math.Pi), least)
	// The tray may be wider than it needs: then it is shallower.
	pool = capacity / (math.Pi*in*in - under)
	high := wall + pool + trayAbove
	k := min(leadIn, wall/3)
	p := Part{
		Name: "tray", Label: "tray", About: "the stand stands in it; catches what drips and overflows",
		Material: s.d.Stand.Material, Count: 1, Lift: -wall - s.d.Stand.Feet.Height.SI,
		Loops: []Loop{{"tray", false, []Point{{0, 0}, {in + wall, 0}, {in + wall, high}, {in + k, high}, {in, high - k}, {in, wall}, {0, wall}}}},
		Dimensions: []Dimension{
			across("outside", "", in+wall, 0), across("inside", "", in, high-k),
			{Height, "height", "", Point{in + wall, 0}, Point{in + wall, high}},
			{Thickness, "floor", "", Point{0, 0}, Point{0, wall}},
			{Thickness, "wall", "", Point{in, high / 2}, Point{in + wall, high / 2}},
		},
	}
	if gap := in - s.outer - s.clearance; gap > 1e-3 {
		p.Features = []Feature{{
			Kind: Rib, Count: 3, Phase: math.Pi / 6, Thickness: max(2*s.width, 0.8e-3), In: s.outer + s.clearance, Out: in,
			Low: wall, High: wall + 0.8*(high-k-wall), Meaning: "rib that centres the stand in the tray",
		}}
	}
	return p
}

// lid is a cap over the rim: it keeps the cold in until the load is set on.
func (s *stand) lid() Part {
	wall := s.skin()
	in := s.outer + s.clearance
	proud := s.d.StoreTop() - s.d.Stand.Cup.Depth.SI
	recess := 0.0
	if proud > -lidAbove {
		recess = proud + lidAbove
	}
	k, skirt := min(leadIn, wall/3), min(lidSkirt, s.top/3)
	high := skirt + recess + wall
	points := []Point{{in + k, 0}, {in + wall, 0}, {in + wall, high}, {0, high}, {0, high - wall}}
	if recess > 0 {
		edge := (s.cup + s.outer) / 2 // the rest of the rim carries the lid
		points = append(points, Point{edge, high - wall}, Point{edge, skirt})
	}
	points = append(points, Point{in, skirt}, Point{in, k})
	return Part{
		Name: "lid", Label: "lid", About: "keeps room air off the store until the load is set on; never a seal: nothing must freeze or warm up closed in",
		Material: s.d.Stand.Material, Count: 1, Lift: s.top - skirt, Turned: true,
		Loops: []Loop{{"lid", false, tidy(points)}},
		Dimensions: []Dimension{
			across("outside", "", in+wall, high), across("inside", "", in, skirt),
			{Height, "height", "", Point{in + wall, 0}, Point{in + wall, high}},
			{Height, "skirt", "", Point{in, 0}, Point{in, skirt}},
			{Thickness, "top", "", Point{0, high - wall}, Point{0, high}},
		},
	}
}

// frozenInMould reports whether the charge is a block that is frozen beforehand.
func frozenInMould(d *design.Design) bool {
	s, ok := matter.FindSubstance(d.Store.Substance)
	return ok && s.HasPhaseChange && d.Store.Form == design.FormBlock && d.ColdStore()
}

// mould is the flexible mould for the block. Half way up the frozen charge it is
// as wide as the design says; its wall widens upwards, so that the block comes
// out.
func (s *stand) mould() Part {
	f, wall := &s.d.Store.Freezer, s.skin()
	depth, middle, draft := f.MouldDepth.SI, s.frozen()/2, s.draft()
	bottom := max(f.MouldDiameter.SI/2-middle*draft, f.MouldDiameter.SI/4)
	mouth := bottom + depth*draft
	high := wall + depth
	return Part{
		Name: "mould", Label: "mould",
		About:    fmt.Sprintf("flexible: pour in %s, %s deep, freeze it open, bend it and push the block out", quantity.Format(s.d.Store.Mass.SI, quantity.Mass, 4), long(s.poured())),
		Material: flexible, Count: 1,
		Loops: []Loop{{"mould", false, []Point{{0, 0}, {bottom + wall, 0}, {mouth + wall, high}, {mouth, high}, {bottom, wall}, {0, wall}}}},
		Dimensions: []Dimension{
			across("mouth", "", mouth, high), across("bottom, inside", "", bottom, wall),
			{Height, "height", "", Point{mouth + wall, 0}, Point{mouth + wall, high}},
			{Height, "depth", "store.freezer.mould_depth", Point{bottom, wall}, Point{bottom, high}},
			{Thickness, "floor", "", Point{0, 0}, Point{0, wall}},
		},
	}
}

// poured is how deep the charge stands in its mould before it freezes, m.
func (s *stand) poured() float64 {
	substance, _ := matter.FindSubstance(s.d.Store.Substance)
	return s.frozen() / (1 + substance.FreezingExpansion())
}

// frozen is how high the frozen charge stands in its mould, m.
func (s *stand) frozen() float64 {
	r := s.d.Store.Freezer.MouldDiameter.SI / 2
	substance, _ := matter.FindSubstance(s.d.Store.Substance)
	return s.d.Store.Mass.SI / substance.SolidDensity.Value / (math.Pi * r * r)
}
