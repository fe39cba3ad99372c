package report

import (
	"errors"
	"fmt"
	"math"

	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/report/sheet"
)

const (
	mostInfluences  = 10
	influenceHeight = 36.0
)

// Influences draws the inputs that matter most, in the answer's own order:
// what +10 % of each does to the run time, and how much of the band's
// variance it explains. It shows ten at most.
func Influences(u quantity.Display, a *predict.Answer) (*Picture, error) {
	if a == nil {
		return nil, errors.New("report: influences: no answer was given")
	}
	inputs := a.Inputs[:min(mostInfluences, len(a.Inputs))]
	if len(inputs) == 0 {
		return nil, fmt.Errorf("report: influences: the answer for design %q names no uncertain input", a.Design)
	}
	s := sheet.New(920, 500)
	s.Title = "What the run time of " + nameOf(a.Design, a.Revision) + " depends on"
	s.Desc = influencesCaption(a, len(inputs))
	y := heading(s, nameOf(a.Design, a.Revision), "the inputs that matter most to the run time") + 22
	changes, shares := make([]float64, len(inputs)), make([]float64, len(inputs))
	for i, in := range inputs {
		changes[i], shares[i] = 100*in.Change, 100*in.VarianceShare
	}
	drawInfluenceNames(s, u, y, inputs)
	// The bars' labels need room beyond the longest bars.
	y1 := drawBars(s, y, 395, 640, "change of run time for +10 % (%)", changes, func(i int) string { return orAbsent(inputs[i].Change, signedPercent) }, true)
	drawBars(s, y, 700, 865, "share of the band's variance (%)", shares, func(i int) string { return orAbsent(inputs[i].VarianceShare, percent) }, false)
	caption(s, y1+6, s.Desc)
	return &Picture{s}, nil
}

func influencesCaption(a *predict.Answer, shown int) string {
	text := "Prediction, not a measurement. "
	if shown < len(a.Inputs) {
		text += fmt.Sprintf("Shown are %d of %d uncertain inputs. ", shown, len(a.Inputs))
	}
	text += "For a temperature, +10 % means 10 % of the difference between room and store."
	switch {
	case sharesUnknown(a.Inputs):
		text += " " + tooFewToShare
	case finite(a.Residual):
		text += " " + residualSentence(a.Residual)
	}
	return text
}

func drawInfluenceNames(s *sheet.Sheet, u quantity.Display, y float64, inputs []predict.Influence) {
	for i, in := range inputs {
		middle := y + influenceHeight*(float64(i)+0.5)
		value := inputName(in)
		if in.Value.Present() {
			value += " = " + withSigns(inputText(u, in))
		}
		s.Write(sheet.Text{X: 16, Y: middle - 2, Size: textSize, Colour: ink, Content: sheet.Clip(value, 350, textSize, false)})
		s.Write(sheet.Text{X: 16, Y: middle + 11, Size: smallSize - 1, Colour: muted, Content: sheet.Clip(u.Restate(sentenceStart(in.About)), 350, smallSize-1, false)})
	}
}

// drawBars draws one column of horizontal bars between x0 and x1 with its
// axis below, and returns where that ends.
func drawBars(s *sheet.Sheet, y, x0, x1 float64, title string, values []float64, label func(int) string, bothWays bool) float64 {
	lo, hi := span(values)
	lo, hi = min(lo, 0), max(hi, 0)
	v := niceScale(lo, max(hi, lo+1e-3), 4)
	v.a, v.b = x0, x1
	bottom := y + influenceHeight*float64(len(values))
	for _, t := range v.ticks {
		s.Line(v.at(t), y, v.at(t), bottom, grid, 1)
		s.Write(sheet.Text{X: v.at(t), Y: bottom + 16, Size: smallSize, Anchor: sheet.Middle, Colour: muted, Content: v.label(t)})
	}
	for i, value := range values {
		middle := y + influenceHeight*(float64(i)+0.5)
		if !finite(value) {
			s.Write(sheet.Text{X: v.at(0) + 6, Y: middle + 4, Size: smallSize, Colour: ink, Content: label(i)})
			continue
		}
		from, to := v.at(min(value, 0)), v.at(max(value, 0))
		colour := blue
		if bothWays && value < 0 {
			colour = vermillion
		}
		s.Draw(sheet.Path{Steps: sheet.Box(from, middle-9, math.Max(to-from, 0.5), 18), Fill: colour, Opacity: 0.6, Stroke: colour, Width: 1})
		s.Write(sheet.Text{X: max(to, v.at(0)) + 6, Y: middle + 4, Size: smallSize, Colour: ink, Halo: true, Content: label(i)})
	}
	s.Line(v.at(0), y, v.at(0), bottom, ink, 1)
	s.Write(sheet.Text{X: (x0 + x1) / 2, Y: y - 8, Size: textSize, Anchor: sheet.Middle, Colour: ink, Content: title})
	return bottom + 20
}
