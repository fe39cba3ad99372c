package report

import (
	"image/color"
	"math"
	"slices"
	"strings"

	"meltspan/quantity"
	"meltspan/report/sheet"
)

// plotAxis lays a varied input along an axis of a picture: by its value, or by
// its logarithm.
type plotAxis struct {
	scale           // of coordinates
	labels []string // of the ticks
	log    bool
}

// newPlotAxis covers the values on the pixels a to b, with a margin at both
// ends: a share of the whole, or half the distance to the neighbour.
func newPlotAxis(v *variedAxis, a, b float64, halves bool) plotAxis {
	p := plotAxis{log: v.log}
	at := make([]float64, len(v.shown))
	for i, x := range v.shown {
		at[i] = p.coordinate(x)
	}
	slices.Sort(at)
	lo, hi := span(at)
	last := len(at) - 1
	before, after := 0.03*(hi-lo), 0.03*(hi-lo)
	if halves && last > 0 {
		before, after = (at[1]-at[0])/2, (at[last]-at[last-1])/2
	}
	if !(finite(hi-lo) && before > 0 && after > 0) { // one value, or none that can be drawn
		if !finite(lo + hi) {
			lo, hi = 0, 0
		}
		before, after = 0.5, 0.5
	}
	p.scale = scale{lo: lo - before, hi: hi + after, a: a, b: b}
	p.step = niceStep((p.hi - p.lo) / 9)
	if v.Count {
		p.step = max(p.step, 1)
	}
	p.tick(lo, hi)
	return p
}

// coordinate is where a value lies along the axis, before scaling.
func (p plotAxis) coordinate(x float64) float64 {
	if p.log {
		return math.Log10(x)
	}
	return x
}

// pixel is where a value lies on the sheet.
func (p plotAxis) pixel(x float64) float64 { return p.at(p.coordinate(x)) }

// tick places the ticks: at even steps, or at 1, 2 and 5 times powers of ten,
// and powers of ten alone where those would crowd.
func (p *plotAxis) tick(lo, hi float64) {
	if !p.log {
		p.fillTicks()
		for _, t := range p.ticks {
			p.labels = append(p.labels, p.label(t))
		}
		return
	}
	multiples := []float64{1, 2, 5}
	if hi-lo > 4 {
		multiples = multiples[:1]
	}
	for power := math.Floor(p.lo); power <= p.hi; power++ {
		for _, m := range multiples {
			value := m * math.Pow(10, power)
			if at := math.Log10(value); at >= p.lo && at <= p.hi {
				p.ticks = append(p.ticks, at)
				p.labels = append(p.labels, quantity.FormatIn(value, "", "", 1))
			}
		}
	}
}

// drawBelow writes ticks and title below a plot whose lower edge is at y, and
// returns where they end.
func (p plotAxis) drawBelow(s *sheet.Sheet, y float64, title string) float64 {
	end := math.Inf(-1) // of the label before
	for i, t := range p.ticks {
		x := p.at(t)
		s.Line(x, y, x, y+4, rule, 1)
		label := sheet.Text{X: x, Y: y + 17, Size: smallSize, Anchor: sheet.Middle, Colour: muted, Content: p.labels[i]}
		if from, _, to, _ := label.Bounds(); from > end+4 {
			s.Write(label)
			end = to
		}
	}
	s.Write(sheet.Text{X: (p.a + p.b) / 2, Y: y + 35, Size: textSize, Anchor: sheet.Middle, Colour: ink, Content: sheet.Clip(withSigns(title), s.Width-32, textSize, false)})
	return y + 44
}

// drawBeside writes ticks and title left of a plot whose left edge is at x.
func (p plotAxis) drawBeside(s *sheet.Sheet, x float64, title string) {
	last := math.Inf(1) // label's height
	for i, t := range p.ticks {
		y := p.at(t)
		s.Line(x-4, y, x, y, rule, 1)
		if last-y < lineHeight {
			continue
		}
		last = y
		s.Write(sheet.Text{X: x - 7, Y: y + 4, Size: smallSize, Anchor: sheet.End, Colour: muted, Content: sheet.Clip(p.labels[i], x-36, smallSize, false)})
	}
	s.Write(sheet.Text{X: 21, Y: (p.a + p.b) / 2, Size: textSize, Anchor: sheet.Middle, Upright: true, Colour: ink, Content: sheet.Clip(withSigns(title), math.Abs(p.b-p.a)+40, textSize, false)})
}

// withSigns spells units with the signs that pictures have and terminals may
// lack.
func withSigns(text string) string {
	return strings.NewReplacer("degC", "°C", "degF", "°F", "m2", "m²", "m3", "m³", "in2", "in²", "ft2", "ft²").Replace(text)
}

// The marks of a variation.
const (
	markLongest = "longest"
	markSafest  = "safest"
	markNow     = "now"
)

// drawVaryMark draws a mark with its middle at (x, y).
func drawVaryMark(s *sheet.Sheet, mark string, x, y float64) {
	p := sheet.Path{Stroke: ink, Width: 1.4, Title: mark, Data: []sheet.Datum{{Name: "mark", Value: mark}}}
	switch mark {
	case markLongest:
		const r, k = 7.0, 7.0 * 0.5523 // a circle of four cubics, common practice
		p.Fill = yellow
		p.Move(x+r, y)
		p.Curve(sheet.Point{X: x + r, Y: y + k}, sheet.Point{X: x + k, Y: y + r}, sheet.Point{X: x, Y: y + r})
		p.Curve(sheet.Point{X: x - k, Y: y + r}, sheet.Point{X: x - r, Y: y + k}, sheet.Point{X: x - r, Y: y})
		p.Curve(sheet.Point{X: x - r, Y: y - k}, sheet.Point{X: x - k, Y: y - r}, sheet.Point{X: x, Y: y - r})
		p.Curve(sheet.Point{X: x + k, Y: y - r}, sheet.Point{X: x + r, Y: y - k}, sheet.Point{X: x + r, Y: y}).Close()
	case markSafest:
		const r = 5.0
		p.Fill = color.White
		p.Move(x, y-r).Line(x+r, y+r).Line(x-r, y+r).Close()
	case markNow:
		const r = 6.0
		for _, stroke := range []struct {
			colour color.Color
			width  float64
		}{{color.White, 5}, {ink, 2}} {
			p := p
			p.Stroke, p.Width, p.Steps = stroke.colour, stroke.width, nil
			p.Move(x-r, y-r).Line(x+r, y+r)
			p.Move(x-r, y+r).Line(x+r, y-r)
			s.Draw(p)
		}
		return
	}
	s.Draw(p)
}

// legendItem is a sign and what it stands for.
type legendItem struct {
	draw func(x, y float64) // about 20 pixels wide
	text string
}

// drawLegend writes items in rows from y down and returns their lower end.
func drawLegend(s *sheet.Sheet, y float64, items []legendItem) float64 {
	const left, sign, gap, height = 28.0, 16.0, 26.0, 19.0
	x := left
	y += height / 2
	for _, item := range items {
		text := sheet.Clip(withSigns(item.text), s.Width-left-sign-16, smallSize, false)
		width := sign + sheet.TextWidth(text, smallSize, false)
		if x > left && x+width > s.Width-12 {
			x, y = left, y+height
		}
		item.draw(x, y)
		s.Write(sheet.Text{X: x + sign, Y: y + 4, Size: smallSize, Colour: ink, Content: text})
		x += width + gap
	}
	return y + height/2
}

// markItem is a mark of the variation in the legend.
func markItem(s *sheet.Sheet, mark, text string) legendItem {
	return legendItem{func(x, y float64) { drawVaryMark(s, mark, x, y) }, text}
}
