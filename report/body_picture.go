package report

import (
	"cmp"
	"errors"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/solid"
)

// The view of BodyPicture.
const (
	bodyWidth  = 860.0
	bodyColumn = 600.0              // of the stack; what is left takes the parts beside it
	bodyTilt   = 24 * math.Pi / 180 // looking down by
	bodyTurn   = 0.31               // rad about the axis, so that the cut passes between what stands round it
	bodyChord  = 0.15e-3            // m, error of facets: half a pixel
	bodyGap    = 15e-3              // m between parts pulled apart
	bodyScale  = 4300.0             // pixels per metre at most
)

// BodyPicture draws the printed parts from their meshes: cut open, pulled apart
// along the axis, and in the order in which they go together; what stands beside
// the device (mould, feet) to the right. Design and revision go into the title.
func BodyPicture(u quantity.Display, name, revision string, parts []solid.Part) (*Picture, error) {
	if len(parts) == 0 {
		return nil, errors.New("report: body: there are no parts")
	}
	var stack, beside []solid.Piece
	for i := range parts {
		mesh, err := solid.NewMesh(&parts[i], bodyChord)
		if err != nil {
			return nil, fmt.Errorf("report: body: %w", err)
		}
		p := solid.Piece{Part: &parts[i], Mesh: mesh}
		if p.Part.Name == "mould" || p.Part.Name == "foot" {
			beside = append(beside, p)
		} else {
			stack = append(stack, p)
		}
	}
	slices.SortStableFunc(stack, func(a, b solid.Piece) int {
		return cmp.Compare(math.Round(1e6*upTo(a)), math.Round(1e6*upTo(b)))
	})
	b := &bodyDrawing{units: u, sheet: sheet.New(bodyWidth, 100)}
	b.perMetre = min(bodyScale, bodyColumn*0.62/widest(stack), (bodyWidth-bodyColumn-40)/max(widest(beside), 1e-3))
	top := heading(b.sheet, "Printed parts, cut open: "+name, "revision "+revision+"; pulled apart along the axis, from the same meshes as the files, with coarser facets")
	b.sheet.Title = "Printed parts of " + name
	low := b.column(stack, bodyColumn*0.36, top, 0)
	if len(beside) > 0 {
		low = max(low, b.column(beside, bodyColumn+(bodyWidth-bodyColumn)/2-20, top, labelRoom))
	}
	b.bar(low + 6)
	b.sheet.Desc = "From below, as they go together: " + strings.TrimSuffix(strings.TrimSpace(b.desc), ";") + ". Sizes as designed, not a measurement."
	caption(b.sheet, low+26, "Cut faces are coloured, a colour for each part; everything else is shaded by how it faces the light. "+
		"The cut passes between ribs and pegs where it can. Sizes: outer diameter and height.")
	return &Picture{b.sheet}, nil
}

// upTo is the height of a part's top in the assembly.
func upTo(p solid.Piece) float64 {
	_, h := p.Part.Bounds()
	return p.Part.Lift + h
}

func widest(pieces []solid.Piece) float64 {
	w := 0.0
	for _, p := range pieces {
		r, _ := p.Part.Bounds()
		w = max(w, 2*r)
	}
	return w
}

type bodyDrawing struct {
	units    quantity.Display
	sheet    *sheet.Sheet
	perMetre float64
	desc     string
	colours  int
}

// labelRoom is the height of a label, pixels.
const labelRoom = 40.0

// column draws parts one above the other, the last on top, about the axis at x,
// each clear of the one above by some pixels where asked for, and returns how far
// down it came.
func (b *bodyDrawing) column(pieces []solid.Piece, x, top, clear float64) float64 {
	sin, cos := math.Sin(bodyTilt), math.Cos(bodyTilt)
	// Heights at which the parts' undersides stand, from the bottom.
	z, bases := 0.0, make([]float64, len(pieces))
	high := 0.0
	for i, p := range pieces {
		r, h := p.Part.Bounds()
		bases[i] = z
		high = max(high, (z+h)*cos+r*sin)
		z += h + bodyGap
		if clear > 0 {
			z += clear/b.perMetre/cos - bodyGap + r*sin/cos
		}
	}
	ground := top + 12 + high*b.perMetre
	for i, p := range pieces {
		b.part(p, x, ground-bases[i]*cos*b.perMetre)
	}
	return ground + labelRoom
}

// surface is one face of a part behind the cut, with what orders it.
type surface struct {
	low, high float64
	depth     float64
	shade     float64
	points    [][3]float64
}

// part draws one part with its underside at y.
func (b *bodyDrawing) part(p solid.Piece, x, y float64) {
	sin, cos := math.Sin(bodyTilt), math.Cos(bodyTilt)
	faces, cut := p.Mesh.Turn(bodyTurn).Half()
	at := func(v [3]float64) (float64, float64) {
		return x + v[0]*b.perMetre, y - (v[2]*cos+v[1]*sin)*b.perMetre
	}
	var seen []surface
	for _, f := range faces {
		if s, ok := newSurface(f, sin, cos); ok {
			seen = append(seen, s)
		}
	}
	// Seen from above, what hides something stands higher: level by level from the
	// bottom, level faces before the upright ones that stand on them, and among
	// those the farther first.
	slices.SortStableFunc(seen, func(s, t surface) int {
		switch {
		case s.low != t.low:
			return order(s.low < t.low)
		case (s.high == s.low) != (t.high == t.low):
			return order(s.high == s.low)
		case s.depth != t.depth:
			return order(s.depth > t.depth)
		}
		return 0
	})
	for _, s := range seen {
		var path sheet.Path
		for i, v := range s.points {
			px, py := at(v)
			if i == 0 {
				path.Move(px, py)
			} else {
				path.Line(px, py)
			}
		}
		c := grey(s.shade)
		path.Close()
		path.Fill, path.Stroke, path.Width = c, c, 0.4
		b.sheet.Draw(path)
	}
	colours := []color.RGBA{skyBlue, orange, green, yellow, purple}
	outline := sheet.Path{Fill: colours[b.colours%len(colours)], Stroke: ink, Width: 0.7}
	b.colours++
	for _, line := range cut {
		for i, q := range line {
			px, py := at([3]float64{q[0], 0, q[1]})
			if i == 0 {
				outline.Move(px, py)
			} else {
				outline.Line(px, py)
			}
		}
		outline.Close()
	}
	b.sheet.Draw(outline)
	b.label(p, x, y)
}

func order(before bool) int {
	if before {
		return -1
	}
	return 1
}

// newSurface keeps what faces the viewer.
func newSurface(points [][3]float64, sin, cos float64) (surface, bool) {
	a, c, e := points[0], points[1], points[2]
	u := [3]float64{c[0] - a[0], c[1] - a[1], c[2] - a[2]}
	v := [3]float64{e[0] - a[0], e[1] - a[1], e[2] - a[2]}
	n := [3]float64{u[1]*v[2] - u[2]*v[1], u[2]*v[0] - u[0]*v[2], u[0]*v[1] - u[1]*v[0]}
	size := math.Sqrt(n[0]*n[0] + n[1]*n[1] + n[2]*n[2])
	if size == 0 || -n[1]*cos+n[2]*sin <= 0 {
		return surface{}, false
	}
	s := surface{low: math.Inf(1), high: math.Inf(-1), points: points}
	for _, p := range points {
		s.low, s.high = min(s.low, p[2]), max(s.high, p[2])
		s.depth += p[1] / float64(len(points))
	}
	// Light from above, from the left and from behind the viewer.
	light := [3]float64{-0.45, -0.55, 0.70}
	s.shade = max(0, n[0]*light[0]+n[1]*light[1]+n[2]*light[2]) / size
	return s, true
}

func grey(shade float64) color.RGBA {
	v := uint8(math.Round(112 + 116*shade))
	return color.RGBA{v, v, min(v+4, 255), 0xFF}
}

// label writes the part's name and size beside it.
func (b *bodyDrawing) label(p solid.Piece, x, y float64) {
	r, h := p.Part.Bounds()
	px := x + r*b.perMetre + 12
	size := "Ø " + b.units.FormatIn(2*r, quantity.Length, "mm", 4) + " x " + b.units.FormatIn(h, quantity.Length, "mm", 3)
	words := p.Part.Label
	if p.Part.Count > 1 {
		words = fmt.Sprintf("%d x %s", p.Part.Count, words)
	}
	middle := y - h*math.Cos(bodyTilt)*b.perMetre/2
	if p.Part.Name == "mould" || p.Part.Name == "foot" {
		px, middle = x, y+18
		b.sheet.Write(sheet.Text{X: px, Y: middle, Size: textSize, Bold: true, Colour: ink, Anchor: sheet.Middle, Content: words})
		b.sheet.Write(sheet.Text{X: px, Y: middle + 14, Size: smallSize, Colour: muted, Anchor: sheet.Middle, Content: size + ", " + p.Part.Material})
	} else {
		b.sheet.Write(sheet.Text{X: px, Y: middle, Size: textSize, Bold: true, Colour: ink, Content: words})
		b.sheet.Write(sheet.Text{X: px, Y: middle + 14, Size: smallSize, Colour: muted, Content: size + ", " + p.Part.Material})
	}
	b.desc += fmt.Sprintf("%s, %s; ", words, size)
}

// bar draws the scale.
func (b *bodyDrawing) bar(y float64) {
	long, words := scaleBar(b.units, 26e-3)
	b.sheet.Line(24, y, 24+long*b.perMetre, y, ink, 2)
	b.sheet.Write(sheet.Text{X: 24 + long*b.perMetre + 8, Y: y + 4, Size: smallSize, Colour: muted, Content: words + " across"})
}
