package report

import (
	"fmt"
	"image/color"

	"meltspan/quantity"
	"meltspan/report/sheet"
)

// varyMap is one map in the making: the first input upwards, the second to the
// right.
type varyMap struct {
	*variation
	sheet         *sheet.Sheet
	up, right     plotAxis
	upEdge, edges []float64 // between the cells, pixels
	hours         scale     // of the colours
	taken         []rect    // by marks and labels
}

const (
	mapLeft, mapWide, mapHigh = 96.0, 560.0, 400.0
)

func (v *variation) mapPicture() *Picture {
	down, across := &v.axes[0], &v.axes[1]
	m := &varyMap{variation: v, sheet: sheet.New(760, 700)}
	s := m.sheet
	s.Title = "Predicted run time of " + nameOf(v.Design, v.Revision) + " by " + down.Path + " and " + across.Path
	y := heading(s, nameOf(v.Design, v.Revision), "median run time by "+down.Path+" and "+across.Path)
	y = m.legend(y) + 8
	m.up = newPlotAxis(down, y+mapHigh, y, true)
	m.right = newPlotAxis(across, mapLeft, mapLeft+mapWide, true)
	m.upEdge, m.edges = cellEdges(down, m.up), cellEdges(across, m.right)
	m.hours = m.colourScale()

	m.drawCells()
	s.Draw(sheet.Path{Steps: sheet.Box(mapLeft, y, mapWide, mapHigh), Stroke: rule, Width: 1})
	m.takeMarks()
	if m.counted() {
		m.writeCells()
		m.drawRiskEdges()
	} else {
		levels, risk := m.drawLevels(), m.drawRisk()
		m.writeLevels(levels, "", ink)
		m.writeLevels(risk, " %", vermillion)
	}
	m.drawMarks()
	m.up.drawBeside(s, mapLeft, down.titled())
	y = m.right.drawBelow(s, y+mapHigh, across.titled()) + 8
	bar := m.hours
	bar.a, bar.b = mapLeft, mapLeft+440
	drawColourBar(s, y, bar, "median run time (h)")
	s.Desc = m.captionText()
	caption(s, y+barHeight+26, s.Desc)
	return &Picture{s}
}

func (m *varyMap) legend(y float64) float64 {
	s, items := m.sheet, m.bestItems(m.sheet)
	if m.nowInside() {
		items = append(items, markItem(s, markNow, "as it is now: "+m.nowText()))
	}
	if risky, safe := m.sides(); risky && safe {
		items = append(items, legendItem{func(x, y float64) { drawRiskLine(s, []sheet.Point{{X: x - 12, Y: y}, {X: x + 12, Y: y}}) },
			fmt.Sprintf("%s chance of an early stall", percent(riskLevel))})
	}
	if m.someImpossible() {
		items = append(items, legendItem{func(x, y float64) { drawImpossible(s, x-9, y-7, 18, 14) }, "impossible"})
	}
	return drawLegend(s, y, items)
}

func (m *varyMap) nowText() string {
	down, across := &m.axes[0], &m.axes[1]
	return down.withUnit(down.nowLabel()) + " and " + across.withUnit(across.nowLabel())
}

// nowInside reports whether the design as it is lies on the map.
func (m *varyMap) nowInside() bool {
	for k := range m.axes {
		lo, hi := span(m.axes[k].Values)
		if !(m.axes[k].Now >= lo && m.axes[k].Now <= hi) {
			return false
		}
	}
	return true
}

// cellEdges are the pixels between the values of an axis, its ends included.
func cellEdges(a *variedAxis, p plotAxis) []float64 {
	out := []float64{p.a}
	for i := 1; i < len(a.shown); i++ {
		out = append(out, p.at((p.coordinate(a.shown[i-1])+p.coordinate(a.shown[i]))/2))
	}
	return append(out, p.b)
}

func (m *varyMap) medianHours(point int) float64 {
	if !m.hasBand(point) {
		return nan
	}
	h, _ := quantity.In(m.Points[point].Band.Median, quantity.Time, "h")
	return h
}

func (m *varyMap) colourScale() scale {
	var all []float64
	for i := range m.Points {
		all = append(all, m.medianHours(i))
	}
	lo, hi := span(all)
	const least = 0.02               // h
	if hi-lo < max(least, flat*hi) { // all alike: colours would show noise only
		middle, half := (lo+hi)/2, max(least, flat*hi)/2
		lo, hi = max(0, middle-half), middle+half
	}
	return scale{lo: lo, hi: hi}
}

func (m *varyMap) colour(hours float64) color.RGBA {
	share := (hours - m.hours.lo) / (m.hours.hi - m.hours.lo)
	return stepColour(int(min(max(share, 0), 1) * (colourSteps - 1e-9)))
}

// cell is the rectangle of a point: left, top, width, height.
func (m *varyMap) cell(point int) (x, y, w, h float64) {
	i, j := m.Points[point].At[0], m.Points[point].At[1]
	x, y = whole(m.edges[j]), whole(m.upEdge[i+1])
	return x, y, whole(m.edges[j+1]) - x, whole(m.upEdge[i]) - y
}

// middle is where a point lies on the sheet.
func (m *varyMap) middle(point int) place {
	at := m.Points[point].At
	return place{m.right.pixel(m.axes[1].shown[at[1]]), m.up.pixel(m.axes[0].shown[at[0]])}
}

func (m *varyMap) drawCells() {
	for i, p := range m.Points {
		x, y, w, h := m.cell(i)
		hours := m.medianHours(i)
		switch {
		case p.Impossible != "":
			drawImpossible(m.sheet, x, y, w, h)
		case finite(hours):
			m.sheet.Draw(sheet.Path{Steps: sheet.Box(x, y, w, h), Fill: m.colour(hours), Title: m.place(i) + ": " + m.time(p.Band.Median) + ", early stall " + percent(p.Early)})
		}
	}
}

func drawImpossible(s *sheet.Sheet, x, y, w, h float64) {
	s.Rect(x, y, w, h, color.White, 1)
	hatch := sheet.Path{Stroke: rule, Width: 0.8}
	hatchBox(&hatch, x, y, w, h)
	s.Draw(hatch)
}

// counted reports whether an axis counts: then there is nothing between the
// cells, and no contour to draw.
func (m *varyMap) counted() bool { return m.axes[0].Count || m.axes[1].Count }

// writeCells writes the median, h, into each cell where it has room beside the
// marks.
func (m *varyMap) writeCells() {
	step := scale{step: niceStep(max(m.hours.hi-m.hours.lo, 1e-3) / 20)}
	for i := range m.Points {
		hours := m.medianHours(i)
		if !finite(hours) {
			continue
		}
		x, y, w, h := m.cell(i)
		t := sheet.Text{X: x + w/2, Y: y + h/2 + 0.35*smallSize, Size: smallSize, Anchor: sheet.Middle, Colour: legibleOn(m.colour(hours)), Content: step.label(hours)}
		if !m.free(boundsOf(t)) {
			t.Y += 16
		}
		if b := boundsOf(t); m.free(b) && b.x0 > x && b.x1 < x+w && b.y0 > y && b.y1 < y+h {
			m.sheet.Write(t)
		}
	}
}

// free reports whether a rectangle lies on the map and meets neither a mark nor
// a label.
func (m *varyMap) free(b rect) bool {
	if b.x0 < m.right.a || b.x1 > m.right.b || b.y0 < m.up.b || b.y1 > m.up.a {
		return false
	}
	return !b.meetsAny(m.taken)
}

// marks are where the marks stand, in the order in which they are drawn.
func (m *varyMap) marks() (names []string, at []place) {
	names, at = []string{markLongest, markSafest}, []place{m.middle(m.Longest), m.middle(m.Safest)}
	if m.nowInside() {
		names = append(names, markNow)
		at = append(at, place{m.right.pixel(m.axes[1].inUnit(m.axes[1].Now)), m.up.pixel(m.axes[0].inUnit(m.axes[0].Now))})
	}
	return names, at
}

func (m *varyMap) takeMarks() {
	const half = 9.0
	_, at := m.marks()
	for _, p := range at {
		m.taken = append(m.taken, rect{p.r - half, p.z - half, p.r + half, p.z + half})
	}
}

func (m *varyMap) drawMarks() {
	names, at := m.marks()
	for i, name := range names {
		drawVaryMark(m.sheet, name, at[i].r, at[i].z)
	}
}

func (m *varyMap) captionText() string {
	text := m.varyCaption() + " Each cell is one pair of values; colours show the median run time"
	if m.counted() {
		text += ", written in h."
	} else {
		text += fmt.Sprintf(", lines every %g h of it.", m.levelStep())
	}
	text += " Early stall: never starts, or stalls long before the store is spent"
	switch risky, safe := m.sides(); {
	case !safe:
		text += fmt.Sprintf("; its chance is %s or more everywhere", percent(riskLevel))
	case !risky:
		text += fmt.Sprintf("; its chance is below %s everywhere", percent(riskLevel))
	}
	return text + "."
}
