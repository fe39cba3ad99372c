package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

// Layer is a part of SectionPicture that may be left out.
type Layer string

// The layers.
const (
	Contours Layer = "contours"
	HeatFlux Layer = "heat flux"
)

// SectionPicture draws the section through the axis at one of the frames of
// run.Section, true to scale: every cell in the colour of its temperature, at
// the left half with arrows of the heat flux, at the right half with contours.
// The colours are the same for all frames of a run. It is an error when the run
// holds no section, or one that cannot be drawn.
func SectionPicture(u quantity.Display, run *result.Run, frame int, without ...Layer) (*Picture, error) {
	d, err := newSectionDrawing(u, run, frame)
	if err != nil {
		return nil, fmt.Errorf("report: section: %w", err)
	}
	d.draw(without)
	return &Picture{d.sheet}, nil
}

func newSectionDrawing(u quantity.Display, run *result.Run, frame int) (*sectionDrawing, error) {
	section, err := checkedSection(run, frame)
	if err != nil {
		return nil, err
	}
	l, err := newLattice(section)
	if err != nil {
		return nil, err
	}
	return &sectionDrawing{
		units: u, run: run, lattice: l, field: newField(l, section.Frames[frame].Temperature), frame: section.Frames[frame],
		scale: scaleOf(section), sheet: sheet.New(sectionWidth, 800),
	}, nil
}

const (
	sectionWidth  = 860.0
	sectionLeft   = 24.0
	sectionBroad  = 620.0 // widest the section is drawn
	sectionTall   = 380.0 // highest
	beyondTheBody = 14.0  // the table's line
)

// sectionDrawing is one picture of a section in the making.
type sectionDrawing struct {
	units quantity.Display
	run   *result.Run
	*lattice
	field *field
	frame result.Frame
	scale sectionScale
	sheet *sheet.Sheet

	plates                 []rect  // as drawn
	axis, ground, perMetre float64 // pixels: x of r = 0, y of z = 0, scale
}

func (d *sectionDrawing) x(r float64) float64 { return d.axis + r*d.perMetre }
func (d *sectionDrawing) y(z float64) float64 { return d.ground - z*d.perMetre }

// reach is the largest radius and height of all frames.
func reach(s *result.Section) (radius, height float64) {
	radius, height = max(s.Outer, s.Lower.Radius), s.Height
	above := s.Lower.Thickness
	if s.Upper != nil {
		radius = max(radius, s.Upper.Radius)
		above = max(above, s.Upper.Above+s.Upper.Thickness)
	}
	for _, f := range s.Frames {
		height = max(height, s.Floor+f.PlateHeight+above)
	}
	return min(radius, largestSection), min(height, largestSection)
}

func (d *sectionDrawing) draw(without []Layer) {
	s := d.sheet
	name := nameOf(d.run.Design, d.run.Revision)
	s.Title = "Predicted temperatures in the section of " + name
	y := heading(s, name, "section "+momentText(d.frame)) + 12
	radius, height := reach(d.section)
	d.perMetre = min((sectionBroad-2*beyondTheBody)/(2*radius), sectionTall/height)
	d.axis = math.Round(sectionLeft + beyondTheBody + radius*d.perMetre)
	d.ground = math.Round(y + height*d.perMetre)

	flux, contours := !slices.Contains(without, HeatFlux), !slices.Contains(without, Contours)
	d.drawCells()
	d.drawCavities()
	d.drawStore()
	d.drawOutlines()
	labels := d.writeStore()
	key, length := 0.0, 0.0
	if flux {
		key, length = d.drawFlux()
	}
	var values []contourLabel
	if contours {
		values = d.drawContours()
	}
	labels = append(labels, d.drawPlates()...)
	d.drawTable(radius)
	d.writeLabels(labels, radius, y)
	d.writeContours(values)
	y = d.drawKeys(d.ground+34, key, length, len(values) > 0)
	y = drawColours(s, d.units, y+30, d.scale, sectionLeft+40, sectionLeft+560, d.frame)
	s.Desc = d.captionText(flux, contours)
	caption(s, y+10, s.Desc)
}

// captionText is the same for all frames of a run, so that all are of one size.
func (d *sectionDrawing) captionText(flux, contours bool) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Prediction, not a measurement (model: %s, cells of at most %s). True to scale; one range of colours for all moments of this run.", d.run.Depth, d.units.FormatShort(d.section.Spacing, quantity.Length, 2))
	if flux {
		b.WriteString(" Left half: heat flux in the printed parts, each arrow as long as its flux by the key.")
	}
	if contours {
		b.WriteString(" Right half: contours in the printed parts.")
	}
	b.WriteString(" Hatched: cavities.")
	if d.section.Pegs > leastDrawn {
		b.WriteString(" Dotted: tops of the pegs.")
	}
	if len(d.section.NotShown) > 0 {
		b.WriteString(" Not in the section: " + strings.Join(d.section.NotShown, "; ") + ".")
	}
	return b.String()
}

// scaleBar is the longest of a few round lengths that is no longer than most, m,
// with its words.
func scaleBar(u quantity.Display, most float64) (length float64, words string) {
	round := []float64{10, 20} // mm
	if u.Symbol(quantity.Length) == "in" {
		round = []float64{0.25, 0.5, 1}
	}
	shown := round[0]
	for _, x := range round {
		if u.SI(x, quantity.Length) < most {
			shown = x
		}
	}
	return u.SI(shown, quantity.Length), fmt.Sprintf("%g %s", shown, u.Symbol(quantity.Length))
}

// drawKeys draws the scale of lengths and the key of the arrows, and says what
// the contours are.
func (d *sectionDrawing) drawKeys(y, key, arrow float64, contours bool) float64 {
	s := d.sheet
	length, words := scaleBar(d.units, 130/d.perMetre)
	x := sectionLeft + 40
	end := x + length*d.perMetre
	s.Line(x, y, end, y, ink, 2)
	for _, at := range []float64{x, end} {
		s.Line(at, y-4, at, y+4, ink, 1)
	}
	text := func(x float64, content string) float64 {
		s.Write(sheet.Text{X: x, Y: y + 4, Size: smallSize, Colour: ink, Content: content})
		return x + sheet.TextWidth(content, smallSize, false)
	}
	x = text(end+8, words) + 40
	if key > 0 {
		d.drawArrow(sheet.Point{X: x, Y: y}, sheet.Point{X: x + arrow, Y: y})
		x = text(x+arrow+8, fmt.Sprintf("%g W/m²", key)) + 40
	}
	if contours {
		text(x, fmt.Sprintf("contours every %g %s, in %s", d.contourStep(), sign(d.units, quantity.TemperatureDifference), sign(d.units, quantity.Temperature)))
	}
	return y + 8
}
