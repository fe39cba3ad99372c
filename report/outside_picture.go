package report

import (
	"fmt"
	"image/color"
	"math"
	"sort"
	"strings"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

// OutsidePicture draws what a thermal camera would see of the side at one of
// the frames of run.Section: at the left the side in the colours of
// SectionPicture, beside it the temperature over the height, with the room, the
// dew point and, shaded, the heights that sweat. It is an error when the run
// holds no section, or one that cannot be drawn.
func OutsidePicture(u quantity.Display, run *result.Run, frame int) (*Picture, error) {
	section, err := checkedSection(run, frame)
	if err != nil {
		return nil, fmt.Errorf("report: outside: %w", err)
	}
	bands := outsideBands(section, section.Frames[frame])
	if len(bands) == 0 {
		return nil, fmt.Errorf("report: outside: no cell of the section of design %q reaches to its outer radius", run.Design)
	}
	d := &outsideDrawing{units: u, section: section, frame: section.Frames[frame], scale: scaleOf(section), bands: bands, sheet: sheet.New(sectionWidth, 800)}
	d.draw(run)
	return &Picture{d.sheet}, nil
}

// outsideBand is a band of the outside at one temperature.
type outsideBand struct {
	low, high, kelvin float64
	radius            float64
	plate             string // "" of the body
}

// outsideBands are the outermost cells from below upwards, and then the
// plates.
func outsideBands(s *result.Section, f result.Frame) []outsideBand {
	var out []outsideBand
	for i, c := range s.Cells {
		if math.Abs(c.Out-s.Outer) < 1e-6 {
			out = append(out, outsideBand{low: c.Low, high: c.High, kelvin: f.Temperature[i], radius: s.Outer})
		}
	}
	if len(out) == 0 {
		return nil
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].low < out[b].low })
	under := s.Floor + f.PlateHeight
	plate := func(name string, p result.SectionPlate, kelvin float64) {
		low := under + p.Above
		// What stands below the rim inside the body is not seen.
		if p.Radius < s.Outer {
			low = max(low, s.Height)
		}
		if high := under + p.Above + p.Thickness; high > low {
			out = append(out, outsideBand{low, high, kelvin, p.Radius, name})
		}
	}
	plate("lower plate", s.Lower, f.LowerPlate)
	if s.Upper != nil && finite(f.UpperPlate) {
		plate("upper plate", *s.Upper, f.UpperPlate)
	}
	return out
}

type outsideDrawing struct {
	units   quantity.Display
	section *result.Section
	frame   result.Frame
	scale   sectionScale
	bands   []outsideBand
	sheet   *sheet.Sheet

	temperature, height scale // in the reader's units to x and y
}

const (
	outsideBroad = 360.0 // of the side as seen
	outsideTall  = 300.0
	plotLeft     = 470.0
	plotRight    = 750.0
)

func (d *outsideDrawing) draw(run *result.Run) {
	s := d.sheet
	name := nameOf(run.Design, run.Revision)
	s.Title = "Predicted temperatures of the outside of " + name
	top := heading(s, name, "outside, as a thermal camera would see it from the side, "+momentText(d.frame)) + 26
	radius, height := reach(d.section)
	perMetre := min(outsideBroad/(2*radius), outsideTall/height)
	ground := math.Round(top + height*perMetre)
	high := d.units.Of(height, quantity.Length)
	d.height = scale{lo: 0, hi: high, a: ground, b: top, step: niceStep(high / 8)}
	d.height.fillTicks()
	d.temperature = d.temperatureScale()

	d.drawSide(plotLeft-70-radius*perMetre, perMetre, radius)
	sweats := d.drawPlot(top, ground)
	y := drawColours(s, d.units, ground+74, d.scale, sectionLeft+40, sectionLeft+560, d.frame)
	s.Desc = d.captionText(run, sweats)
	caption(s, y+10, s.Desc)
}

func (d *outsideDrawing) temperatureScale() scale {
	values := []float64{d.frame.Room}
	if d.frame.DewPoint > 0 {
		values = append(values, d.frame.DewPoint)
	}
	for _, b := range d.bands {
		values = append(values, b.kelvin)
	}
	lo, hi := span(shownIn(d.units, values, quantity.Temperature))
	out := niceScale(lo-0.02*(hi-lo), hi+0.02*(hi-lo), 6)
	out.a, out.b = plotLeft, plotRight
	return out
}

func (d *outsideDrawing) atKelvin(kelvin float64) float64 {
	return d.temperature.at(d.units.Of(kelvin, quantity.Temperature))
}

func (d *outsideDrawing) atHeight(z float64) float64 {
	return d.height.at(d.units.Of(z, quantity.Length))
}

// drawSide draws the side as it is seen, true to scale.
func (d *outsideDrawing) drawSide(axis, perMetre, radius float64) {
	s := d.sheet
	outline := func(x, y, w, h float64) {
		s.Draw(sheet.Path{Steps: sheet.Box(x, y, w, h), Stroke: ink, Width: 0.8})
	}
	side := func(radius, low, high float64) (x, y, w, h float64) {
		x, y = whole(axis-radius*perMetre), whole(d.atHeight(high))
		return x, y, whole(2 * radius * perMetre), whole(d.atHeight(low)) - y
	}
	for _, b := range d.bands {
		if b.plate == "" {
			x, y, w, h := side(b.radius, b.low, b.high)
			s.Rect(x, y, w, h, d.scale.colour(b.kelvin), 1)
		}
	}
	outline(side(d.section.Outer, 0, d.section.Height))
	for _, b := range d.bands {
		if b.plate != "" {
			x, y, w, h := side(b.radius, b.low, b.high)
			s.Rect(x, y, w, max(h, 2), d.scale.colour(b.kelvin), 1)
			outline(x, y, w, max(h, 2))
		}
	}
	s.Line(axis-radius*perMetre-10, d.height.a+1, axis+radius*perMetre+10, d.height.a+1, ink, 2)
	s.Write(sheet.Text{X: axis - radius*perMetre - 10, Y: d.height.a + 15, Size: smallSize, Colour: muted, Content: "table"})
}

// sweatShade lies over the heights that are below the dew point.
var sweatShade = color.RGBA{0xCF, 0xE6, 0xF5, 0xFF}

// drawPlot draws temperature over height and reports whether anything sweats.
func (d *outsideDrawing) drawPlot(top, ground float64) (sweats bool) {
	s := d.sheet
	for _, b := range d.bands {
		if b.kelvin < d.frame.DewPoint {
			sweats = true
			y0, y1 := d.atHeight(b.high), d.atHeight(b.low)
			s.Rect(plotLeft, y0, plotRight-plotLeft, max(y1-y0, 2), sweatShade, 1)
		}
	}
	for _, t := range d.temperature.ticks {
		x := d.temperature.at(t)
		s.Line(x, top, x, ground, grid, 1)
		s.Line(x, ground, x, ground+4, rule, 1)
		s.Write(sheet.Text{X: x, Y: ground + 17, Size: smallSize, Anchor: sheet.Middle, Colour: muted, Content: d.temperature.label(t)})
	}
	for _, t := range d.height.ticks {
		y := d.height.at(t)
		s.Line(plotLeft, y, plotRight, y, grid, 1)
		s.Write(sheet.Text{X: plotLeft - 6, Y: y + 4, Size: smallSize, Anchor: sheet.End, Colour: muted, Content: d.height.label(t)})
	}
	s.Line(plotLeft, top, plotLeft, ground, rule, 1)
	s.Line(plotLeft, ground, plotRight, ground, rule, 1)
	s.Write(sheet.Text{X: (plotLeft + plotRight) / 2, Y: ground + 35, Size: textSize, Anchor: sheet.Middle, Colour: ink, Content: "surface temperature (" + sign(d.units, quantity.Temperature) + ")"})
	s.Write(sheet.Text{X: plotLeft - 36, Y: (top + ground) / 2, Size: textSize, Anchor: sheet.Middle, Upright: true, Colour: ink, Content: "height over the table (" + sign(d.units, quantity.Length) + ")"})
	d.drawLimits(top, ground)
	d.drawCourse()
	return sweats
}

// drawLimits draws the room and the dew point across the plot.
func (d *outsideDrawing) drawLimits(top, ground float64) {
	var texts []string
	var want, width []float64
	for _, m := range []struct {
		name   string
		kelvin float64
		line   stroke
	}{
		{"dew point", d.frame.DewPoint, stroke{purple, 1.6, []float64{2, 3}}},
		{"room", d.frame.Room, stroke{muted, 1.2, []float64{8, 4}}},
	} {
		if !(m.kelvin > 0 && m.kelvin < 2000) {
			continue
		}
		x, text := d.atKelvin(m.kelvin), m.name+" "+degrees(d.units, m.kelvin)
		d.sheet.Line(x, top-4, x, ground, m.line.colour, m.line.width, m.line.dash...)
		texts, want = append(texts, text), append(want, x)
		width = append(width, sheet.TextWidth(text, smallSize, false)+10)
	}
	for i, x := range spread(want, width, plotLeft-40, plotRight+60) {
		d.sheet.Write(sheet.Text{X: x, Y: top - 9, Size: smallSize, Anchor: sheet.Middle, Colour: ink, Content: texts[i]})
	}
}

// drawCourse draws the body's line and a bar for each plate.
func (d *outsideDrawing) drawCourse() {
	body := sheet.Path{Stroke: green, Width: 2, Title: "outside of the body"}
	var points []sheet.Point
	for _, b := range d.bands {
		x := d.atKelvin(b.kelvin)
		if b.plate == "" {
			if len(points) == 0 {
				points = append(points, sheet.Point{X: x, Y: d.atHeight(b.low)})
			}
			points = append(points, sheet.Point{X: x, Y: d.atHeight((b.low + b.high) / 2)})
			continue
		}
		y0, y1 := d.atHeight(b.high), d.atHeight(b.low)
		d.sheet.Rect(x-2, y0, 4, max(y1-y0, 3), vermillion, 1)
		text := sheet.Text{X: x + 7, Y: (y0+y1)/2 + 4, Size: smallSize, Colour: ink, Halo: true, Content: b.plate + " " + degrees(d.units, b.kelvin)}
		if x > (plotLeft+plotRight)/2 {
			text.X, text.Anchor = x-7, sheet.End
		}
		d.sheet.Write(text)
	}
	for i, p := range points {
		if i == 0 {
			body.Move(p.X, p.Y)
		} else {
			body.Line(p.X, p.Y)
		}
	}
	last := points[len(points)-1]
	body.Line(last.X, d.atHeight(d.section.Height))
	d.sheet.Draw(body)
}

func (d *outsideDrawing) captionText(run *result.Run, sweats bool) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Prediction, not a measurement (model: %s). Line: the outermost cells of the body, at most %s wide, whose temperature stands for the surface. Bars: edges of the plates; what lies between them is not shown.",
		run.Depth, d.units.FormatShort(d.section.Spacing, quantity.Length, 2))
	switch {
	case !(d.frame.DewPoint > 0):
		b.WriteString(" The dew point is not known.")
	case sweats:
		b.WriteString(" Shaded: below the dew point, where the outside sweats.")
	default:
		b.WriteString(" Nothing of it is below the dew point.")
	}
	return b.String()
}
