// Package sheet is a small drawing surface: shapes and text laid down once and
// written out as SVG or as PNG. It knows nothing of heat.
//
// Lengths are CSS pixels, the origin is the top left corner and y points down.
// A nil colour means that the part is not drawn.
package sheet

import (
	"fmt"
	"image/color"
)

// Sheet is one picture under construction.
type Sheet struct {
	Width, Height float64
	Title         string // one line; read out by screen readers
	Desc          string // a few sentences on what is to be seen
	items         []item
}

// New returns an empty white sheet.
func New(width, height float64) *Sheet {
	return &Sheet{Width: width, Height: height}
}

type item struct {
	path *Path
	text *Text
}

// Op is one step of a path.
type Op byte

// The steps a path is made of.
const (
	MoveTo  Op = 'M'
	LineTo  Op = 'L'
	CurveTo Op = 'C' // cubic: two control points, then the end point
	Close   Op = 'Z'
)

// Step is one step with its points, of which Close uses none, MoveTo and
// LineTo one, and CurveTo three.
type Step struct {
	Op     Op
	Points [3]Point
}

// Point is a place on the sheet.
type Point struct{ X, Y float64 }

// Path is an outline, filled, stroked or both.
type Path struct {
	Steps   []Step
	Fill    color.Color
	Opacity float64 // of the fill; 0 counts as 1
	Stroke  color.Color
	Width   float64   // of the stroke
	Dash    []float64 // lengths drawn and left out in turn; nil is solid
	Title   string    // shown when pointed at
	Data    []Datum   // carried into the SVG as data- attributes
}

// Datum is a fact about a shape that programs may read back from the SVG.
type Datum struct{ Name, Value string }

// Move starts a new outline at (x, y).
func (p *Path) Move(x, y float64) *Path { return p.add(MoveTo, Point{x, y}) }

// Line draws straight to (x, y).
func (p *Path) Line(x, y float64) *Path { return p.add(LineTo, Point{x, y}) }

// Curve draws a cubic to c by way of the control points a and b.
func (p *Path) Curve(a, b, c Point) *Path { return p.add(CurveTo, a, b, c) }

// Close draws back to where the outline started.
func (p *Path) Close() *Path { return p.add(Close) }

func (p *Path) add(op Op, points ...Point) *Path {
	s := Step{Op: op}
	copy(s.Points[:], points)
	p.Steps = append(p.Steps, s)
	return p
}

// Anchor says which part of a text stands at its point.
type Anchor string

// The anchors, in SVG's words.
const (
	Start  Anchor = "start"
	Middle Anchor = "middle"
	End    Anchor = "end"
)

// Text is one line of text with its baseline at (X, Y).
type Text struct {
	X, Y    float64
	Size    float64
	Bold    bool
	Anchor  Anchor // "" counts as Start
	Colour  color.Color
	Upright bool // turned a quarter to the left, to be read from below
	Halo    bool // white edge, for text that lies on lines
	Content string
}

// Draw lays a path on what is already there.
func (s *Sheet) Draw(p Path) { s.items = append(s.items, item{path: &p}) }

// Write lays a text on what is already there.
func (s *Sheet) Write(t Text) {
	if t.Anchor == "" {
		t.Anchor = Start
	}
	s.items = append(s.items, item{text: &t})
}

// Line draws one straight line.
func (s *Sheet) Line(x1, y1, x2, y2 float64, c color.Color, width float64, dash ...float64) {
	p := Path{Stroke: c, Width: width, Dash: dash}
	p.Move(x1, y1).Line(x2, y2)
	s.Draw(p)
}

// Rect draws a filled rectangle.
func (s *Sheet) Rect(x, y, w, h float64, fill color.Color, opacity float64) {
	s.Draw(Path{Steps: Box(x, y, w, h), Fill: fill, Opacity: opacity})
}

// Box returns the outline of a rectangle.
func Box(x, y, w, h float64) []Step {
	var p Path
	p.Move(x, y).Line(x+w, y).Line(x+w, y+h).Line(x, y+h).Close()
	return p.Steps
}

// Texts returns the texts laid down so far, for checks of the layout.
func (s *Sheet) Texts() []Text {
	var out []Text
	for _, it := range s.items {
		if it.text != nil {
			out = append(out, *it.text)
		}
	}
	return out
}

// Bounds returns the rectangle that a text covers: left, top, right, bottom.
func (t Text) Bounds() (x0, y0, x1, y1 float64) {
	w := TextWidth(t.Content, t.Size, t.Bold)
	shift := 0.0
	switch t.Anchor {
	case Middle:
		shift = -w / 2
	case End:
		shift = -w
	}
	// Liberation Sans rises 0.73 em (capitals) and falls 0.21 em.
	up, down := 0.73*t.Size, 0.21*t.Size
	if t.Upright {
		return t.X - up, t.Y - shift - w, t.X + down, t.Y - shift
	}
	return t.X + shift, t.Y - up, t.X + shift + w, t.Y + down
}

func (s *Sheet) check() error {
	if !(s.Width > 0 && s.Height > 0 && s.Width <= 10000 && s.Height <= 10000) {
		return fmt.Errorf("sheet: a picture of %g by %g pixels cannot be drawn; each side must be above 0 and at most 10000", s.Width, s.Height)
	}
	return nil
}
