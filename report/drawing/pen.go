package drawing

import (
	"image/color"
	"math"

	"meltspan/report/sheet"
)

// Widths of lines, mm, of line group 0.5, and of the frame (ISO 128-2, ISO 5457).
const (
	wide   = 0.5
	narrow = 0.25
	border = 0.7
)

// Heights of capitals, mm.
const (
	large  = 3.5
	small  = 2.5
	tiny   = 1.8
	ascent = 0.73 // capitals over the size of the font, as sheet.Text.Bounds has it
)

// chain is the long-dashed dotted line 04.1: dashes of 24 line widths, gaps of
// 3 and dots of half a width.
var chain = []float64{24 * narrow, 3 * narrow, 0.5 * narrow, 3 * narrow}

var ink = color.Black

// at is a place on paper, mm.
type at struct{ x, y float64 }

// stroke is a straight line on paper.
type stroke struct{ a, b at }

func (s stroke) length() float64 { return math.Hypot(s.b.x-s.a.x, s.b.y-s.a.y) }

// box is an upright rectangle on paper.
type box struct{ left, top, right, bottom float64 }

func (b box) grown(by float64) box {
	return box{b.left - by, b.top - by, b.right + by, b.bottom + by}
}

func (b box) meets(o box) bool {
	return b.left < o.right && o.left < b.right && b.top < o.bottom && o.top < b.bottom
}

func (b box) within(o box) bool {
	return b.left >= o.left && b.right <= o.right && b.top >= o.top && b.bottom <= o.bottom
}

// crossed reports whether a line runs through a box, by cutting the line at
// each of its sides in turn.
func (b box) crossed(s stroke) bool {
	from, to := 0.0, 1.0
	cut := func(start, change, low, high float64) bool {
		if math.Abs(change) < 1e-12 {
			return start > low && start < high
		}
		t0, t1 := (low-start)/change, (high-start)/change
		from, to = max(from, min(t0, t1)), min(to, max(t0, t1))
		return from < to
	}
	return cut(s.a.x, s.b.x-s.a.x, b.left, b.right) && cut(s.a.y, s.b.y-s.a.y, b.top, b.bottom)
}

// pen draws on a sheet in millimetres.
type pen struct{ s *sheet.Sheet }

const unit = sheet.PixelsPerMillimetre

func (p pen) line(s stroke, width float64, dash ...float64) {
	p.draw(sheet.Path{Stroke: ink, Width: width * unit, Dash: scaled(dash)}, s.a, s.b)
}

func scaled(dash []float64) []float64 {
	out := make([]float64, len(dash))
	for i, d := range dash {
		out[i] = d * unit
	}
	return out
}

func (p pen) draw(path sheet.Path, points ...at) {
	for i, q := range points {
		if i == 0 {
			path.Move(q.x*unit, q.y*unit)
		} else {
			path.Line(q.x*unit, q.y*unit)
		}
	}
	p.s.Draw(path)
}

func (p pen) outline(width float64, points ...at) {
	p.draw(sheet.Path{Stroke: ink, Width: width * unit}, append(points, points[0])...)
}

func (p pen) box(b box, width float64) {
	p.outline(width, at{b.left, b.top}, at{b.right, b.top}, at{b.right, b.bottom}, at{b.left, b.bottom})
}

// arrow draws a filled head of 15 degrees with its tip at one place, coming
// from the direction of another.
func (p pen) arrow(tip, from at) {
	d := math.Hypot(from.x-tip.x, from.y-tip.y)
	if d == 0 {
		return
	}
	ux, uy := (from.x-tip.x)/d, (from.y-tip.y)/d
	half := arrowLength * math.Tan(7.5*math.Pi/180)
	base := at{tip.x + arrowLength*ux, tip.y + arrowLength*uy}
	p.draw(sheet.Path{Fill: ink}, tip, at{base.x - half*uy, base.y + half*ux}, at{base.x + half*uy, base.y - half*ux}, tip)
}

const arrowLength = 3.0

// dot ends a leader on a surface.
func (p pen) dot(c at) { p.circle(c, 0.6, ink, 0) }

func (p pen) circle(c at, radius float64, fill color.Color, width float64) {
	const k = 0.5522847498 // control points of a quarter circle over its radius
	r, x, y := radius*unit, c.x*unit, c.y*unit
	q := func(dx, dy float64) sheet.Point { return sheet.Point{X: x + dx*r, Y: y + dy*r} }
	path := sheet.Path{Fill: fill}
	if width > 0 {
		path.Stroke, path.Width = ink, width*unit
	}
	path.Move(x+r, y).Curve(q(1, k), q(k, 1), q(0, 1)).Curve(q(-k, 1), q(-1, k), q(-1, 0)).
		Curve(q(-1, -k), q(-k, -1), q(0, -1)).Curve(q(k, -1), q(1, -k), q(1, 0)).Close()
	p.s.Draw(path)
}

// text is one line with its baseline at a place; height is that of capitals.
type text struct {
	at      at
	height  float64
	content string
	anchor  sheet.Anchor
	upright bool
	bold    bool
}

func (t text) laid() sheet.Text {
	return sheet.Text{X: t.at.x * unit, Y: t.at.y * unit, Size: t.height / ascent * unit, Bold: t.bold,
		Anchor: t.anchor, Colour: ink, Upright: t.upright, Content: t.content}
}

func (t text) box() box {
	left, top, right, bottom := t.laid().Bounds()
	return box{left / unit, top / unit, right / unit, bottom / unit}
}

func (p pen) text(t text) { p.s.Write(t.laid()) }

func widthOf(content string, height float64) float64 {
	return sheet.TextWidth(content, height/ascent*unit, false) / unit
}
