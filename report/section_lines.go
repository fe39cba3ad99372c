package report

import (
	"image/color"
	"math"
	"slices"
	"strconv"

	"meltspan/quantity"
	"meltspan/report/sheet"
)

const (
	labelSize    = 9.0
	shortestRun  = 4.0 // pixels: contours below it are not written on
	contourCount = 12  // about how many there are at most
)

// contourStep is the difference between neighbouring contours, in the reader's
// unit.
func (d *sectionDrawing) contourStep() float64 {
	lo, hi := span(d.frame.Temperature)
	return niceStep(d.units.Of(max(hi-lo, 1), quantity.TemperatureDifference) / contourCount)
}

// drawContours draws lines of equal temperature in the right half and returns
// their values, to be written when all else is placed.
func (d *sectionDrawing) drawContours() []contourLabel {
	// A part that is all at a level but for rounding has no contour.
	const noise = 1e-6
	m := d.field.mesh()
	lo, hi := span(d.frame.Temperature)
	step := d.contourStep()
	ticks := scale{step: step}
	var labels []contourLabel
	for k := math.Ceil(d.units.Of(lo, quantity.Temperature) / step); ; k++ { // levels are round in the reader's unit
		level := d.units.SI(k*step, quantity.Temperature)
		if level > hi {
			break
		}
		path := sheet.Path{Stroke: legibleOn(d.scale.colour(level)), Width: 1, Title: degrees(d.units, level),
			Data: []sheet.Datum{{Name: "contour-kelvin", Value: strconv.FormatFloat(level, 'f', 2, 64)}}}
		for _, points := range m.lines(level+noise, func(p place) sheet.Point { return sheet.Point{X: d.x(p.r), Y: d.y(p.z)} }) {
			polyline(&path, points)
			if pathLength(points) >= shortestRun {
				labels = append(labels, contourLabel{ticks.label(k * step), points})
			}
		}
		if len(path.Steps) > 0 {
			d.sheet.Draw(path)
		}
	}
	return labels
}

// lines are the contours of one value on the sheet, at being where a place of
// the mesh stands there.
func (m *mesh) lines(level float64, at func(place) sheet.Point) [][]sheet.Point {
	var out [][]sheet.Point
	for _, line := range m.contours(level) {
		points := make([]sheet.Point, len(line))
		for i, p := range line {
			points[i] = at(p)
		}
		out = append(out, thinned(points, 0.1))
	}
	return out
}

func polyline(p *sheet.Path, points []sheet.Point) {
	for i, q := range points {
		if i == 0 {
			p.Move(q.X, q.Y)
		} else {
			p.Line(q.X, q.Y)
		}
	}
}

func pathLength(points []sheet.Point) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += math.Hypot(points[i].X-points[i-1].X, points[i].Y-points[i-1].Y)
	}
	return sum
}

type contourLabel struct {
	text   string
	points []sheet.Point
}

// at is the label with its middle at a point.
func (l contourLabel) at(p sheet.Point, size float64, colour color.Color) sheet.Text {
	return sheet.Text{X: p.X, Y: p.Y + 0.35*labelSize, Size: size, Anchor: sheet.Middle, Colour: colour, Halo: true, Content: l.text}
}

// onLine puts the label on its line, if that is long enough and has a free
// place.
func (l contourLabel) onLine(size float64, colour color.Color, free func(rect) bool) (sheet.Text, bool) {
	if pathLength(l.points) < 2.2*sheet.TextWidth(l.text, labelSize, false) {
		return sheet.Text{}, false
	}
	for _, share := range []float64{0.5, 0.35, 0.65, 0.2, 0.8} {
		if t := l.at(along(l.points, share), size, colour); free(boundsOf(t)) {
			return t, true
		}
	}
	return sheet.Text{}, false
}

// rect is a rectangle on the sheet.
type rect struct{ x0, y0, x1, y1 float64 }

func boundsOf(t sheet.Text) rect {
	x0, y0, x1, y1 := t.Bounds()
	return rect{x0 - 1.5, y0 - 1.5, x1 + 1.5, y1 + 1.5}
}

func (a rect) meets(b rect) bool {
	return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

func (a rect) meetsAny(others []rect) bool { return slices.ContainsFunc(others, a.meets) }

// writeContours places each value where it hides least: beside an end of its
// line if that is white, else on the line if it is long enough. A value that
// finds no free place, or stands near the same value, is left out.
func (d *sectionDrawing) writeContours(labels []contourLabel) {
	const nearSame = 60.0 // pixels
	var taken []rect
	for _, t := range d.sheet.Texts() {
		taken = append(taken, boundsOf(t))
	}
	taken = append(taken, d.plates...)
	written := map[string][]sheet.Point{}
	for _, l := range labels {
		t, ok := d.contourPlace(l, taken)
		if !ok {
			continue
		}
		near := false
		for _, p := range written[l.text] {
			near = near || math.Hypot(p.X-t.X, p.Y-t.Y) < nearSame
		}
		if near {
			continue
		}
		written[l.text] = append(written[l.text], sheet.Point{X: t.X, Y: t.Y})
		taken = append(taken, boundsOf(t))
		d.sheet.Write(t)
	}
}

func (d *sectionDrawing) contourPlace(l contourLabel, taken []rect) (sheet.Text, bool) {
	w, n := sheet.TextWidth(l.text, labelSize, false), len(l.points)
	free := func(b rect) bool { return !b.meetsAny(taken) }
	beyond := func(end, before sheet.Point) sheet.Point {
		dx, dy := end.X-before.X, end.Y-before.Y
		length := max(math.Hypot(dx, dy), 1e-9)
		dx, dy = dx/length, dy/length
		// From the middle of the text to its edge along the line.
		out := min((w/2+2)/max(math.Abs(dx), 1e-9), (0.36*labelSize+3)/max(math.Abs(dy), 1e-9))
		return sheet.Point{X: end.X + out*dx, Y: end.Y + out*dy}
	}
	if n > 1 {
		for _, at := range []sheet.Point{beyond(l.points[n-1], l.points[n-2]), beyond(l.points[0], l.points[1])} {
			if t := l.at(at, labelSize, ink); d.white(boundsOf(t)) && free(boundsOf(t)) {
				return t, true
			}
		}
	}
	return l.onLine(labelSize, ink, free)
}

// white reports whether neither a printed part nor the cup lies under a
// rectangle of the right half.
func (d *sectionDrawing) white(b rect) bool {
	s := d.section
	if b.y1 > d.ground-1 || b.x0 < d.axis {
		return false
	}
	for _, x := range []float64{b.x0, (b.x0 + b.x1) / 2, b.x1} {
		for _, y := range []float64{b.y0 + 1, (b.y0 + b.y1) / 2, b.y1 - 1} {
			r, z := (x-d.axis)/d.perMetre, (d.ground-y)/d.perMetre
			if r > s.Outer {
				continue
			}
			if z > s.Height || r < s.CupRadius && z > s.Floor || d.cellAt(edgeAt(d.lattice.z, z)-1, edgeAt(d.lattice.r, r)-1) >= 0 {
				return false
			}
		}
	}
	return true
}

// along is the point at a share of a line's length.
func along(points []sheet.Point, share float64) sheet.Point {
	left := share * pathLength(points)
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		step := math.Hypot(b.X-a.X, b.Y-a.Y)
		if left <= step && step > 0 {
			return sheet.Point{X: a.X + (b.X-a.X)*left/step, Y: a.Y + (b.Y-a.Y)*left/step}
		}
		left -= step
	}
	return points[len(points)-1]
}
