package report

import (
	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

// drawColours draws the scale of colours from x0 to x1 with the room and the
// dew point marked above it, and returns its lower end.
func drawColours(s *sheet.Sheet, y float64, c sectionScale, x0, x1 float64, f result.Frame) float64 {
	const height = 12.0
	at := func(kelvin float64) float64 { return x0 + c.share(kelvin)*(x1-x0) }
	for i := range colourSteps {
		a, b := whole(x0+(x1-x0)*float64(i)/colourSteps), whole(x0+(x1-x0)*float64(i+1)/colourSteps)
		s.Rect(a, y, b-a, height, stepColour(i), 1)
	}
	s.Draw(sheet.Path{Steps: sheet.Box(x0, y, x1-x0, height), Stroke: rule, Width: 0.8})
	lo, _ := quantity.In(c.lo, quantity.Temperature, "degC")
	hi, _ := quantity.In(c.hi, quantity.Temperature, "degC")
	ticks := scale{lo: lo, hi: hi, a: x0, b: x1, step: niceStep((hi - lo) / 9)}
	ticks.fillTicks()
	for _, t := range ticks.ticks {
		s.Line(ticks.at(t), y+height, ticks.at(t), y+height+4, rule, 1)
		s.Write(sheet.Text{X: ticks.at(t), Y: y + height + 16, Size: smallSize, Anchor: sheet.Middle, Colour: muted, Content: ticks.label(t)})
	}
	s.Write(sheet.Text{X: x1 + 22, Y: y + height, Size: textSize, Colour: ink, Content: "temperature (°C)"})

	var texts []string
	var want, width []float64
	beyond := y + height + 16
	for _, m := range []struct {
		name   string
		kelvin float64
	}{{"dew point", f.DewPoint}, {"room", f.Room}} {
		text := m.name + " " + celsius(m.kelvin)
		switch {
		case !(m.kelvin > 0 && m.kelvin < 2000): // not known
		case m.kelvin < c.lo || m.kelvin > c.hi:
			s.Write(sheet.Text{X: x1 + 22, Y: beyond, Size: smallSize, Colour: muted, Content: text + ": off the scale"})
		default:
			texts, want = append(texts, text), append(want, at(m.kelvin))
			width = append(width, sheet.TextWidth(text, smallSize, false)+16)
		}
	}
	for i, x := range spread(want, width, x0-30, x1+60) {
		p := sheet.Path{Fill: ink}
		p.Move(want[i], y-1).Line(want[i]-4, y-7).Line(want[i]+4, y-7).Close()
		s.Draw(p)
		s.Write(sheet.Text{X: x, Y: y - 11, Size: smallSize, Anchor: sheet.Middle, Colour: ink, Content: texts[i]})
	}
	return y + height + 20
}
