package solid

import (
	"math"
	"slices"
	"strings"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/quantity"
)

func named(parts []*Part, name string) *Part {
	if i := slices.IndexFunc(parts, func(p *Part) bool { return p.Name == name }); i >= 0 {
		return parts[i]
	}
	return nil
}

// envelope compares what stands on the bench with the space there is. That the
// body fits, the design file's own checks have seen to.
func (c *checker) envelope(parts []*Part) {
	e := &c.d.Envelope
	wide, high := c.d.Stand.OuterDiameter.SI, c.d.Stand.Height.SI+c.d.Stand.Feet.Height.SI
	what, part := "the stand", ""
	var at *Point
	if tray := named(parts, "tray"); tray != nil {
		r, edge := tray.Bounds()
		part, at = tray.Name, &Point{r, edge}
		floor := -tray.Lift - c.d.Stand.Feet.Height.SI
		wide, high, what = max(wide, 2*r), high+floor, "the stand in its tray"
	}
	switch {
	case e.Diameter.Origin == quantity.Derived && e.Height.Origin == quantity.Derived:
		c.find(CheckEnvelope, "", Fine, nil, wide, 0, "%s is %s wide and %s high; no envelope is stated", what, long(wide), long(high))
	case wide > e.Diameter.SI+1e-9 || high > e.Height.SI+1e-9:
		c.find(CheckEnvelope, part, Look, at, wide, e.Diameter.SI, "%s is %s wide and %s high, and the envelope %s by %s: leave the tray out, make it smaller, or allow for it",
			what, long(wide), long(high), long(e.Diameter.SI), long(e.Height.SI))
	default:
		c.find(CheckEnvelope, "", Fine, nil, wide, e.Diameter.SI, "%s, %s wide and %s high, fits %s by %s", what, long(wide), long(high), long(e.Diameter.SI), long(e.Height.SI))
	}
}

// leastClearance is the least gap that two printed parts still slide in (common
// practice).
const leastClearance = 0.1e-3 // m

func (c *checker) fit(parts []*Part) {
	gap := c.d.Print.Clearance.SI
	var pairs []string
	if named(parts, "cup") != nil {
		pairs = append(pairs, "cup in the outer shell")
	}
	if named(parts, "rim") != nil {
		pairs = append(pairs, "rim ring over the cup's skin")
	}
	if named(parts, "tray") != nil {
		pairs = append(pairs, "stand in the tray")
	}
	pairs = append(pairs, "lid over the stand")
	words := strings.Join(pairs, ", ")
	if gap < leastClearance-1e-9 {
		c.find(CheckFit, "", Look, nil, gap, leastClearance, "%s: %s all round is less than printed parts slide in; %s or more", words, long(gap), long(leastClearance))
		return
	}
	c.find(CheckFit, "", Fine, nil, gap, leastClearance, "%s: %s all round", words, long(gap))
}

// leastDraft is the slope of a mould from which on ice slides out of a rigid one
// (common practice: half a degree to two).
const leastDraft = 0.5 * math.Pi / 180

// mould checks that the block comes out of its mould and goes into the cup.
func (c *checker) mould(parts []*Part) {
	p := named(parts, "mould")
	if p == nil {
		return
	}
	draft, at := p.draft()
	s := stand{d: c.d, cup: c.d.Stand.Cup.Diameter.SI / 2}
	wider := c.d.Store.Freezer.MouldDiameter.SI/2 + s.frozen()/2*math.Tan(draft)
	solid, _ := matter.FindSolid(p.Material)
	switch {
	case draft < -1e-9:
		c.find(CheckMould, p.Name, Fails, &at, draft, leastDraft, "the mould narrows upwards: the block is caught")
	case wider > s.cup-1e-6:
		c.find(CheckMould, p.Name, Fails, &at, wider, s.cup, "the block's upper end is %s wide and the cup %s: it does not go in; a narrower mould is right", long(2*wider), long(2*s.cup))
	case draft < leastDraft-1e-9:
		c.find(CheckMould, p.Name, Look, &at, draft, leastDraft, "the mould widens by %s only, for the gap between block and cup allows no more: the flexible wall (%s) has to be bent off", angle(draft), solid.Label)
	default:
		c.find(CheckMould, p.Name, Fine, &at, draft, leastDraft, "no undercut; the mould widens upwards by %s and its wall (%s) is flexible; the block's wider end, %s, goes into the cup of %s",
			angle(draft), solid.Label, long(2*wider), long(2*s.cup))
	}
}

// draft is the least slope of a mould's inside against the axis, rad, negative
// where it narrows upwards.
func (p *Part) draft() (least float64, at Point) {
	least = math.Pi / 2
	for _, l := range p.Loops {
		for i, a := range l.Points {
			b := l.Points[(i+1)%len(l.Points)]
			if b.Z >= a.Z-1e-9 || a.R < grid && b.R < grid {
				continue // an inner face runs downwards
			}
			if slope := math.Atan2(a.R-b.R, a.Z-b.Z); slope < least {
				least, at = slope, Point{(a.R + b.R) / 2, (a.Z + b.Z) / 2}
			}
		}
	}
	return least, at
}

// spareDepth is the share of its frozen height that a mould should have left.
const spareDepth = 0.02

// expansion checks that the charge has room to grow when it freezes.
func (c *checker) expansion(parts []*Part) {
	p := named(parts, "mould")
	if p == nil {
		return
	}
	s := stand{d: c.d}
	substance, _ := matter.FindSubstance(c.d.Store.Substance)
	_, high := p.Bounds()
	depth, frozen := c.d.Store.Freezer.MouldDepth.SI, s.frozen()
	left := depth - frozen
	at := Point{0, high - depth + frozen}
	grows := quantity.Format(substance.FreezingExpansion(), quantity.Fraction, 2)
	switch {
	case left < 0:
		c.find(CheckExpansion, p.Name, Fails, &at, left, 0, "the charge grows by %s and then stands %s above the mould; store.freezer.mould_depth: %s or more", grows, long(-left), long(frozen*(1+spareDepth)))
	case left < spareDepth*frozen:
		c.find(CheckExpansion, p.Name, Look, &at, left, spareDepth*frozen, "the charge grows by %s and leaves %s of the mould: it spills when it is filled a little more; store.freezer.mould_depth: %s or more",
			grows, long(left), long(frozen*(1+spareDepth)+0.05e-3))
	default:
		c.find(CheckExpansion, p.Name, Fine, &at, left, spareDepth*frozen, "poured %s deep, the charge grows by %s to %s and leaves %s of the mould, which is open above and gives way sideways",
			long(s.poured()), grows, long(frozen), long(left))
	}
}

// overflow looks at where the melt goes: what stands above the rim goes to
// the tray, and so does what condenses on the outside.
func (c *checker) overflow(parts []*Part) {
	d := c.d
	substance, ok := matter.FindSubstance(d.Store.Substance)
	if !ok {
		return
	}
	density := substance.LiquidDensity.Value
	melt := d.Store.Mass.SI / density
	cup := math.Pi * math.Pow(d.Stand.Cup.Diameter.SI/2, 2) * d.Stand.Cup.Depth.SI
	if pegs := &d.Stand.Pegs; pegs.Count > 0 {
		cup -= float64(pegs.Count) * math.Pi / 4 * pegs.Diameter.SI * pegs.Diameter.SI * pegs.Height.SI
	}
	spill := max(melt-cup, 0)
	if d.Stand.Cup.Drains {
		spill = melt
	}
	condensed, known := 0.0, "what condenses is not known without a prediction"
	if c.run != nil {
		for _, f := range c.run.Faces {
			condensed += f.Condensate / matter.WaterDensity(d.Room.Temperature.SI)
		}
		condensed = max(condensed, c.run.TrayFill-spill)
		known = volume(condensed) + " of condensate included"
	}
	need, tray := spill+condensed, d.Stand.Tray.Capacity.SI
	var at *Point
	part := ""
	if p := named(parts, "tray"); p != nil {
		part, at = p.Name, &Point{p.Loops[0].Points[4].R, p.Loops[0].Points[4].Z}
	}
	words := "all melted, the cup holds the charge of " + volume(melt)
	switch {
	case d.Stand.Cup.Drains:
		words = "all melted, " + volume(melt) + " drain away"
	case d.Store.Form == design.FormLiquid:
		words = "the cup holds the charge of " + volume(melt)
	case spill > 0:
		words = "all melted, " + volume(spill) + " run over the rim"
	}
	switch {
	case d.Stand.Cup.Drains && d.Stand.Feet.Height.SI < leastFeet:
		c.find(CheckOverflow, part, Fails, at, d.Stand.Feet.Height.SI, leastFeet, "the drain holes open on what the stand stands on: melt finds no way out; feet of %s or more", long(leastFeet))
	case need > tray*(1+1e-9) && need > drops:
		c.find(CheckOverflow, part, Fails, at, need, tray, "%s; with %s the tray must hold %s and holds %s: keep mains leads away, and make it larger", words, known, volume(need), volume(tray))
	case need > 0.9*tray && need > drops:
		c.find(CheckOverflow, part, Look, at, need, tray, "%s; %s of the tray's %s fill (%s): carry it level", words, volume(need), volume(tray), known)
	default:
		c.find(CheckOverflow, part, Fine, at, need, tray, "%s; %s reach the tray of %s (%s)", words, volume(need), volume(tray), known)
	}
}

// leastFeet is how high a stand that drains must stand, m (common practice: more
// than a drop hangs).
const leastFeet = 3e-3

// drops is the volume of water that a table does not mind, m3.
const drops = 0.5e-6

// safety says what can hurt, whatever else is found.
func (c *checker) safety() {
	store := c.d.Store.Temperature.SI
	if frozenInMould(c.d) {
		c.find(CheckSafety, "", Look, nil, 0, 0, "freeze the charge in the open, flexible mould only: water grows by 9 %% and bursts glass and closed vessels")
	}
	if store < -25+matter.IcePoint {
		c.find(CheckSafety, "", Look, nil, store, 0, "the store starts at %s: it freezes skin on touch, wear gloves", quantity.Amount{SI: store, Kind: quantity.Temperature, Digits: 3})
	}
	if store > 48+matter.IcePoint { // ISO 13732-1:2006, 48 degC for ten minutes, from memory
		c.find(CheckSafety, "", Look, nil, store, 0, "the store is filled in at %s, which burns: never close the lid over hot liquid, pour with care, keep it from children", quantity.Amount{SI: store, Kind: quantity.Temperature, Digits: 3})
	}
	c.find(CheckSafety, "", Look, nil, 0, 0, "glue and printed plastic are not food-safe: nothing in this stand is to be eaten or drunk. Air the room while printing; the maker's data sheet, local rules and a competent person come first")
}
