package report

import (
	"image/color"
	"math"
	"strconv"

	"meltspan/report/sheet"
)

// riskLevel is the chance of an early stall whose contour the map shows.
const riskLevel = 0.10

// byPlace is the points by place, the second axis fastest.
func (m *varyMap) byPlace() []int {
	out := make([]int, len(m.Points))
	for i, p := range m.Points {
		out[p.At[0]*len(m.axes[1].Values)+p.At[1]] = i
	}
	return out
}

// mesh divides the map into triangles between the middles of the cells, each
// square of four about its own middle; a square that lacks a value is left out.
func (m *varyMap) mesh(value func(point int) float64) *mesh {
	out := &mesh{}
	grid, across := m.byPlace(), len(m.axes[1].Values)
	for i := range m.Points {
		out.points = append(out.points, meshPoint{place: m.middle(i), value: value(i)})
	}
	for i := range len(m.axes[0].Values) - 1 {
		for j := range across - 1 {
			ring := [4]int{grid[i*across+j], grid[i*across+j+1], grid[(i+1)*across+j+1], grid[(i+1)*across+j]}
			var middle meshPoint
			for _, k := range ring {
				p := out.points[k]
				middle.r, middle.z, middle.value = middle.r+p.r/4, middle.z+p.z/4, middle.value+p.value/4
			}
			if !finite(middle.value) {
				continue
			}
			out.points = append(out.points, middle)
			for k := range ring {
				out.triangles = append(out.triangles, [3]int{len(out.points) - 1, ring[k], ring[(k+1)%4]})
			}
		}
	}
	return out
}

// onMap are a value's contours, of a mesh that is in pixels.
func onMap(m *mesh, level float64) [][]sheet.Point {
	// Values that are the level exactly are no edge but for rounding.
	const noise = 1e-9
	return m.lines(level+noise, func(p place) sheet.Point { return sheet.Point{X: p.r, Y: p.z} })
}

// levelStep is the distance of the contours, h.
func (m *varyMap) levelStep() float64 { return niceStep((m.hours.hi - m.hours.lo) / 8) }

// drawLevels draws contours of the median at round values.
func (m *varyMap) drawLevels() []contourLabel {
	mesh := m.mesh(m.medianHours)
	ticks := scale{lo: m.hours.lo, hi: m.hours.hi, step: m.levelStep()}
	ticks.fillTicks()
	var labels []contourLabel
	for _, level := range ticks.ticks {
		if level <= m.hours.lo+1e-6*ticks.step { // the flat bottom of the map has no line
			continue
		}
		path := sheet.Path{Stroke: legibleOn(m.colour(level)), Width: 1, Title: ticks.label(level) + " h",
			Data: []sheet.Datum{{Name: "contour-hours", Value: strconv.FormatFloat(level, 'g', 6, 64)}}}
		for _, points := range onMap(mesh, level) {
			polyline(&path, points)
			labels = append(labels, contourLabel{ticks.label(level), points})
		}
		if len(path.Steps) > 0 {
			m.sheet.Draw(path)
		}
	}
	return labels
}

func (m *varyMap) early(point int) float64 {
	if !m.hasBand(point) {
		return nan
	}
	return m.Points[point].Early
}

// sides reports whether there are points with more than the risk, and with
// less.
func (m *varyMap) sides() (risky, safe bool) {
	for i := range m.Points {
		risky = risky || m.early(i) >= riskLevel
		safe = safe || m.early(i) < riskLevel
	}
	return risky, safe
}

// drawRisk draws the contour of the chance of an early stall.
func (m *varyMap) drawRisk() []contourLabel {
	var labels []contourLabel
	for _, points := range onMap(m.mesh(m.early), riskLevel) {
		drawRiskLine(m.sheet, points)
		labels = append(labels, contourLabel{strconv.Itoa(int(math.Round(100 * riskLevel))), points})
	}
	return labels
}

// drawRiskEdges draws the edges between cells on either side of the risk.
func (m *varyMap) drawRiskEdges() {
	grid, across := m.byPlace(), len(m.axes[1].Values)
	parted := func(a, b int) bool {
		p, q := m.early(grid[a]), m.early(grid[b])
		return finite(p) && finite(q) && (p >= riskLevel) != (q >= riskLevel)
	}
	for i := range len(m.axes[0].Values) {
		for j := range across {
			at := i*across + j
			if j+1 < across && parted(at, at+1) {
				x := whole(m.edges[j+1])
				drawRiskLine(m.sheet, []sheet.Point{{X: x, Y: m.upEdge[i]}, {X: x, Y: m.upEdge[i+1]}})
			}
			if i+1 < len(m.axes[0].Values) && parted(at, at+across) {
				y := whole(m.upEdge[i+1])
				drawRiskLine(m.sheet, []sheet.Point{{X: m.edges[j], Y: y}, {X: m.edges[j+1], Y: y}})
			}
		}
	}
}

// drawRiskLine draws a dashed line on a white one, to be seen on any colour.
func drawRiskLine(s *sheet.Sheet, points []sheet.Point) {
	under := sheet.Path{Stroke: color.White, Width: 4.5}
	polyline(&under, points)
	s.Draw(under)
	over := sheet.Path{Stroke: vermillion, Width: 2.2, Dash: []float64{7, 4}, Title: "chance of an early stall"}
	polyline(&over, points)
	s.Draw(over)
}

// writeLevels writes each value on its line where that is long enough and the
// place is free.
func (m *varyMap) writeLevels(labels []contourLabel, unit string, colour color.Color) {
	for _, l := range labels {
		l.text += unit
		if t, ok := l.onLine(labelSize+1, colour, m.free); ok {
			m.taken = append(m.taken, boundsOf(t))
			m.sheet.Write(t)
		}
	}
}
