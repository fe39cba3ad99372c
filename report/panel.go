package report

import (
	"math"

	"meltspan/quantity"
	"meltspan/report/sheet"
)

// course is one line in a panel.
type course struct {
	label  string
	values []float64 // in the panel's unit; NaN where it has no meaning
	stroke stroke
	level  bool      // a constant drawn right across, not a course over time
	times  []float64 // of its own, s; nil: the panel's
}

// panel is one plot among several stacked on a common time axis.
type panel struct {
	title   string // quantity and unit, along the axis
	courses []course
	zero    bool // the axis must show zero
	height  float64
}

// frame is where the panels' plots stand on the sheet.
type frame struct {
	left, right float64 // of the plots
	labels      float64 // right end of the room for labels
	top         float64
	time        scale
	unit        string
	inUnit      float64
}

func (f frame) x(seconds float64) float64 { return f.time.at(seconds / f.inUnit) }

const panelGap = 14.0

// drawPanel draws one panel with its top at y and returns its bottom.
func drawPanel(s *sheet.Sheet, f frame, y float64, p panel, times []float64) float64 {
	v := valueScale(p)
	v.a, v.b = y+p.height, y
	drawPanelAxes(s, f, y, p, v)
	drawCourses(s, f, y, p, v, times)
	return y + p.height
}

// drawCourses draws the lines of a panel and their labels.
func drawCourses(s *sheet.Sheet, f frame, y float64, p panel, v scale, times []float64) {
	var ends []lineEnd
	for _, c := range p.courses {
		if end, ok := drawCourse(s, f, v, c, times); ok {
			ends = append(ends, end)
		}
	}
	drawLineEnds(s, f, y, y+p.height, ends)
}

// drawPanelAxes draws what lies behind a panel's courses: grid, axes, ticks of
// the values and title.
func drawPanelAxes(s *sheet.Sheet, f frame, y float64, p panel, v scale) {
	for _, t := range v.ticks {
		at := v.at(t)
		s.Line(f.left, at, f.right, at, grid, 1)
		s.Write(sheet.Text{X: f.left - 6, Y: at + 4, Size: smallSize, Anchor: sheet.End, Colour: muted, Content: v.label(t)})
	}
	for _, t := range f.time.ticks {
		s.Line(f.time.at(t), y, f.time.at(t), y+p.height, grid, 1)
	}
	if p.zero && v.lo < 0 && v.hi > 0 {
		s.Line(f.left, v.at(0), f.right, v.at(0), rule, 1)
	}
	s.Line(f.left, y, f.left, y+p.height, rule, 1)
	s.Line(f.left, y+p.height, f.right, y+p.height, rule, 1)
	s.Write(sheet.Text{X: 21, Y: y + p.height/2, Size: textSize, Anchor: sheet.Middle, Upright: true, Colour: ink, Content: p.title})
}

func valueScale(p panel) scale {
	var all []float64
	for _, c := range p.courses {
		all = append(all, c.values...)
	}
	lo, hi := span(all)
	if p.zero {
		lo, hi = min(lo, 0), max(hi, 0)
	}
	return niceScale(lo, hi, max(2, int(p.height/34)))
}

// drawCourse draws a line and returns where it ends; false when it has no
// value at all.
func drawCourse(s *sheet.Sheet, f frame, v scale, c course, times []float64) (lineEnd, bool) {
	if c.level {
		if len(c.values) == 0 || !finite(c.values[0]) {
			return lineEnd{}, false
		}
		y := v.at(c.values[0])
		s.Line(f.left, y, f.right, y, c.stroke.colour, c.stroke.width, c.stroke.dash...)
		return lineEnd{label: c.label, stroke: c.stroke, x: f.right, y: y}, true
	}
	if c.times != nil {
		times = c.times
	}
	last := lastFinite(times, c.values)
	if last < 0 {
		return lineEnd{}, false
	}
	path := curvePath(times, c.values, f.x, v.at)
	path.Stroke, path.Width, path.Dash, path.Title = c.stroke.colour, c.stroke.width, c.stroke.dash, c.label
	s.Draw(path)
	return lineEnd{label: c.label, stroke: c.stroke, x: f.x(times[last]), y: v.at(c.values[last])}, true
}

// drawTimeAxis writes the ticks and title below the lowest panel.
func drawTimeAxis(s *sheet.Sheet, f frame, y float64, title string) float64 {
	for _, t := range f.time.ticks {
		x := f.time.at(t)
		s.Line(x, y, x, y+4, rule, 1)
		s.Write(sheet.Text{X: x, Y: y + 17, Size: smallSize, Anchor: sheet.Middle, Colour: muted, Content: f.time.label(t)})
	}
	s.Write(sheet.Text{X: (f.left + f.right) / 2, Y: y + 35, Size: textSize, Anchor: sheet.Middle, Colour: ink, Content: title + " (" + f.unit + ")"})
	return y + 44
}

// largestDrawn is far beyond any temperature, mass or time of a real run;
// what lies beyond it is broken, and left out so that it hides nothing else.
const largestDrawn = 1e12

// sign is the reader's unit of a kind as pictures write it.
func sign(u quantity.Display, kind quantity.Kind) string { return withSigns(u.Symbol(kind)) }

// shownIn converts SI values to the reader's unit for drawing.
func shownIn(u quantity.Display, values []float64, kind quantity.Kind) []float64 {
	return inUnit(values, kind, u.Symbol(kind))
}

// inUnit converts SI values to a unit for drawing.
func inUnit(values []float64, kind quantity.Kind, symbol string) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i], _ = quantity.In(v, kind, symbol)
		if !(math.Abs(out[i]) < largestDrawn) {
			out[i] = nan
		}
	}
	return out
}
