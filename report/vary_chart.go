package report

import (
	"errors"
	"fmt"

	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/report/sheet"
)

// VaryPicture draws a variation whose values rise along each axis: over one
// input the run time with its band and the chance of an early stall, over two
// a map of the median run time. It is an error when no point has a run time
// above zero.
func VaryPicture(u quantity.Display, data *predict.Variation) (*Picture, error) {
	if err := checkVariation(data); err != nil {
		return nil, fmt.Errorf("report: variation: %w", err)
	}
	v := newVariation(u, data)
	if v.Longest < 0 || !v.hasBand(v.Longest) || !v.hasBand(v.Safest) || !(v.Points[v.Longest].Band.High > 0) {
		return nil, errors.New("report: variation: none of the values gives a run time")
	}
	if len(v.axes) == 2 {
		return v.mapPicture(), nil
	}
	return v.chart(), nil
}

// varyCaption says what both pictures rest on.
func (v *variation) varyCaption() string {
	return fmt.Sprintf("Prediction, not a measurement. %d samples of the uncertain inputs at every value, the same draws for all.", v.Samples)
}

// bestItems are the marks of both optima in the legend.
func (v *variation) bestItems(s *sheet.Sheet) []legendItem {
	best, safest := v.Points[v.Longest].Band, v.Points[v.Safest].Band
	return []legendItem{
		markItem(s, markLongest, "longest median: "+v.time(best.Median)+" at "+v.place(v.Longest)),
		markItem(s, markSafest, "longest lower end: "+v.time(safest.Low)+" at "+v.place(v.Safest)),
	}
}

// curves are what the chart shows at each value; NaN where there is none.
type varyCurves struct {
	at                                []float64 // coordinates along the axis
	nominal, low, median, high, early []float64 // in the unit of time; early in %
}

func (v *variation) curves(axis plotAxis, inUnit float64) varyCurves {
	var c varyCurves
	for i, p := range v.Points {
		c.at = append(c.at, axis.coordinate(v.axes[0].shown[p.At[0]]))
		nominal, low, median, high, early := nan, nan, nan, nan, nan
		if p.Impossible == "" {
			nominal = p.Nominal / inUnit
		}
		if v.hasBand(i) {
			low, median, high, early = p.Band.Low/inUnit, p.Band.Median/inUnit, p.Band.High/inUnit, 100*p.Early
		}
		c.nominal, c.low, c.median, c.high, c.early = append(c.nominal, nominal), append(c.low, low), append(c.median, median), append(c.high, high), append(c.early, early)
	}
	return c
}

func (v *variation) chart() *Picture {
	a := &v.axes[0]
	s := sheet.New(920, 600)
	s.Title = "Predicted run time of " + nameOf(v.Design, v.Revision) + " by " + a.Path
	f := frame{left: 80, right: 700, labels: 908, inUnit: 1}
	axis := newPlotAxis(a, f.left, f.right, false)
	f.time = axis.scale
	longest := 0.0
	for i, p := range v.Points {
		if v.hasBand(i) {
			longest = max(longest, p.Band.High, p.Nominal)
		}
	}
	_, unit, inUnit := timeScale(longest, 0, 1)
	c := v.curves(axis, inUnit)

	y := heading(s, nameOf(v.Design, v.Revision), "run time by "+a.Path+": "+v.units.Restate(sentenceStart(a.About)))
	items := append(v.bestItems(s), legendItem{func(x, y float64) { drawDiamond(s, x, y) }, "nominal run"})
	now := axis.coordinate(a.inUnit(a.Now))
	nowShown := finite(now) && now >= axis.lo && now <= axis.hi
	if nowShown {
		items = append(items, legendItem{func(x, y float64) { drawNowLine(s, x, y-8, y+8) }, "as it is now: " + a.withUnit(a.nowLabel())})
	}
	top := drawLegend(s, y, items) + 8
	times := panel{title: "run time (" + unit + ")", height: 270, zero: true, courses: []course{
		{label: "upper end of the band", values: c.high, stroke: stroke{blue, 1, []float64{2, 3}}},
		{label: "median", values: c.median, stroke: stroke{blue, 2.2, nil}},
		{label: "lower end of the band", values: c.low, stroke: stroke{blue, 1, []float64{6, 3}}},
		{values: c.nominal}, // for the scale
	}}
	stalls := panel{title: "early stall (%)", height: 110, zero: true, courses: []course{
		{label: "stalls early or never starts", values: c.early, stroke: stroke{vermillion, 2, nil}},
	}}
	hours := valueScale(times)
	hours.a, hours.b = top+times.height, top
	below := top + times.height + panelGap
	_, most := span(c.early)
	shares := niceScale(0, max(10, most), 3)
	shares.a, shares.b = below+stalls.height, below

	drawPanelAxes(s, f, top, times, hours)
	drawPanelAxes(s, f, below, stalls, shares)
	c.fillBand(s, f, hours)
	if nowShown {
		drawNowLine(s, f.x(now), top, below+stalls.height)
	}
	drawCourses(s, f, top, panel{height: times.height, courses: times.courses[:3]}, hours, c.at)
	drawCourses(s, f, below, stalls, shares, c.at)
	for i, n := range c.nominal {
		if finite(n) {
			drawDiamond(s, f.x(c.at[i]), hours.at(n))
		}
	}
	drawVaryMark(s, markLongest, f.x(c.at[v.Longest]), hours.at(c.median[v.Longest]))
	drawVaryMark(s, markSafest, f.x(c.at[v.Safest]), hours.at(c.low[v.Safest]))
	end := axis.drawBelow(s, below+stalls.height, a.titled())
	s.Desc = v.varyCaption() + fmt.Sprintf(" Shaded: %s of the samples. Early stall: the samples that never start, or stall long before the store is spent.", percent(predict.Probability))
	if v.someImpossible() {
		s.Desc += " Gaps: values that make no possible design."
	}
	caption(s, end+4, s.Desc)
	return &Picture{s}
}

func drawNowLine(s *sheet.Sheet, x, y0, y1 float64) { s.Line(x, y0, x, y1, ink, 1.2, 5, 3) }

// fillBand shades the band, broken where there is none; a lone value gets a bar.
func (c *varyCurves) fillBand(s *sheet.Sheet, f frame, v scale) {
	const half = 3.0 // of a lone value's bar
	for i := 0; i < len(c.at); i++ {
		if !finite(c.low[i]) {
			continue
		}
		from := i
		for i+1 < len(c.at) && finite(c.low[i+1]) {
			i++
		}
		if from == i {
			x, y := f.x(c.at[i]), v.at(c.high[i])
			s.Rect(x-half, y, 2*half, v.at(c.low[i])-y, skyBlue, 0.35)
			continue
		}
		p := sheet.Path{Fill: skyBlue, Opacity: 0.3}
		p.Move(f.x(c.at[from]), v.at(c.high[from]))
		for j := from + 1; j <= i; j++ {
			p.Line(f.x(c.at[j]), v.at(c.high[j]))
		}
		for j := i; j >= from; j-- {
			p.Line(f.x(c.at[j]), v.at(c.low[j]))
		}
		s.Draw(*p.Close())
	}
}
