package report

import (
	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

// drawColours draws the scale of colours from x0 to x1 with the room and the
// dew point marked above it, and returns its lower end.
func drawColours(s *sheet.Sheet, u quantity.Display, y float64, c sectionScale, x0, x1 float64, f result.Frame) float64 {
	at := func(kelvin float64) float64 { return x0 + c.share(kelvin)*(x1-x0) }
	drawColourBar(s, y, scale{lo: u.Of(c.lo, quantity.Temperature), hi: u.Of(c.hi, quantity.Temperature), a: x0, b: x1}, "temperature ("+sign(u, quantity.Temperature)+")")

	var texts []string
	var want, width []float64
	beyond := y + barHeight + 16
	for _, m := range []struct {
		name   string
		kelvin float64
	}{{"dew point", f.DewPoint}, {"room", f.Room}} {
		text := m.name + " " + degrees(u, m.kelvin)
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
	return y + barHeight + 20
}

const barHeight = 12.0

// drawColourBar draws the scale of colours over the values and pixels of c,
// with ticks below it and its title beside it.
func drawColourBar(s *sheet.Sheet, y float64, c scale, title string) {
	for i := range colourSteps {
		a, b := whole(c.a+(c.b-c.a)*float64(i)/colourSteps), whole(c.a+(c.b-c.a)*float64(i+1)/colourSteps)
		s.Rect(a, y, b-a, barHeight, stepColour(i), 1)
	}
	s.Draw(sheet.Path{Steps: sheet.Box(c.a, y, c.b-c.a, barHeight), Stroke: rule, Width: 0.8})
	c.step = niceStep((c.hi - c.lo) / 9)
	c.fillTicks()
	for _, t := range c.ticks {
		s.Line(c.at(t), y+barHeight, c.at(t), y+barHeight+4, rule, 1)
		s.Write(sheet.Text{X: c.at(t), Y: y + barHeight + 16, Size: smallSize, Anchor: sheet.Middle, Colour: muted, Content: c.label(t)})
	}
	s.Write(sheet.Text{X: c.b + 22, Y: y + barHeight, Size: textSize, Colour: ink, Content: title})
}
