package report

import (
	"errors"
	"fmt"

	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

// CompareChart draws the bands of two designs on one time axis, the band of
// their ratio, and below both plate differences against time. Parts of the
// comparison that are missing are left out.
func CompareChart(u quantity.Display, c *predict.Comparison) (*Picture, error) {
	if c == nil {
		return nil, errors.New("report: comparison chart: no comparison was given")
	}
	a, b := comparedNames(c)
	rows := []bandRow{
		{label: "A: " + a, low: c.BandA.Low, median: c.BandA.Median, top: c.BandA.High, point: c.NominalA, colour: orange},
		{label: "B: " + b, low: c.BandB.Low, median: c.BandB.Median, top: c.BandB.High, point: c.NominalB, colour: blue},
	}
	if farthest(rows) <= 0 {
		return nil, fmt.Errorf("report: comparison chart: neither %q nor %q ever runs; there is nothing to draw", a, b)
	}
	s := sheet.New(920, 600)
	s.Title = "Predicted run times of " + a + " and " + b
	s.Desc = bandCaption(c.BandA) + " Both designs were given the same unknowns in every sample, so the ratio is better known than either run time."
	y := heading(s, "A: "+a+"   against   B: "+b, compareHeadline(c))
	y = drawBandRows(s, y+8, rows)
	y = drawRatioRow(s, y+6, c)
	y = drawDifferences(s, u, y+10, c)
	caption(s, y, s.Desc)
	return &Picture{s}, nil
}

// drawRatioRow draws the ratio's band on an axis of its own that holds 1.
func drawRatioRow(s *sheet.Sheet, y float64, c *predict.Comparison) float64 {
	r := bandRow{label: "run time of B over that of A", low: c.Ratio.Low, median: c.Ratio.Median, top: c.Ratio.High, point: nan, colour: purple}
	if c.NominalA > 0 && c.NominalB > 0 {
		r.point = c.NominalB / c.NominalA
	}
	if !r.hasBand() && !finite(r.point) {
		return y
	}
	lo, hi := span([]float64{r.low, r.top, r.point, 1})
	v := niceScale(lo, hi, 8)
	v.a, v.b = bandLeft, s.Width-bandRight
	bottom := y + bandRowHeight
	for _, t := range v.ticks {
		s.Line(v.at(t), y, v.at(t), bottom, grid, 1)
		s.Line(v.at(t), bottom, v.at(t), bottom+4, rule, 1)
		s.Write(sheet.Text{X: v.at(t), Y: bottom + 17, Size: smallSize, Anchor: sheet.Middle, Colour: muted, Content: v.label(t)})
	}
	s.Line(v.at(1), y, v.at(1), bottom, ink, 1.2)
	s.Line(v.a, bottom, v.b, bottom, rule, 1)
	drawBandRow(s, v.at, y+bandRowHeight/2, r, ratios)
	s.Write(sheet.Text{X: (v.a + v.b) / 2, Y: bottom + 35, Size: textSize, Anchor: sheet.Middle, Colour: ink, Content: "ratio of run times (1: both alike)"})
	return bottom + 44
}

func ratios(values ...float64) []string {
	out := make([]string, len(values))
	for i, v := range values {
		out[i] = ratioText(v)
	}
	return out
}

func drawDifferences(s *sheet.Sheet, u quantity.Display, y float64, c *predict.Comparison) float64 {
	f := frame{left: 80, right: 700, labels: 908}
	var curves []course
	end := 0.0
	for _, d := range []struct {
		run    *result.Run
		label  string
		stroke stroke
	}{
		{c.RunA, "A: " + c.A, stroke{orange, 2, []float64{7, 3}}},
		{c.RunB, "B: " + c.B, stroke{blue, 2, nil}},
	} {
		if d.run == nil || !holdsNumber(d.run.Channel("difference")) {
			continue
		}
		times := inUnit(d.run.Times, quantity.Time, "s")
		curves = append(curves, course{label: d.label, values: shownIn(u, d.run.Channel("difference").Values, quantity.TemperatureDifference), stroke: d.stroke, times: times})
		_, last := span(times)
		end = max(end, last)
	}
	if len(curves) == 0 {
		return y
	}
	f.time, f.unit, f.inUnit = timeScale(end, f.left, f.right)
	y = drawPanel(s, f, y, panel{title: "plate difference (" + sign(u, quantity.TemperatureDifference) + ")", height: 190, zero: true, courses: curves}, nil)
	return drawTimeAxis(s, f, y, "time since the load was set on the store")
}
