package report

import (
	"errors"
	"fmt"
	"image/color"
	"math"
	"strconv"

	"meltspan/report/sheet"
	"meltspan/search"
)

// aimAxis is how an aim is shown.
type aimAxis struct {
	title  string
	inUnit float64
	value  func(c *search.Candidate) float64
}

var aimAxes = map[search.Aim]aimAxis{
	search.AimPrintTime:  {"print time, estimated (h)", 3600, func(c *search.Candidate) float64 { return c.PrintTime }},
	search.AimFreezeTime: {"freezing time (h)", 3600, func(c *search.Candidate) float64 { return c.FreezeTime }},
	search.AimMaterial:   {"plastic, estimated (g)", 1e-3, func(c *search.Candidate) float64 { return c.Material }},
	search.AimSweat:      {"condensate (g)", 1e-3, func(c *search.Candidate) float64 { return c.Sweat }},
}

// SearchPicture draws the designs that a search found: run time against each of
// the other aims, or against print time where run time is the only one.
func SearchPicture(r *search.Result) (*Picture, error) {
	if r == nil || len(r.Front) == 0 {
		return nil, errors.New("report: search: nothing was found")
	}
	aims := r.Aims[1:]
	if len(aims) == 0 {
		aims = []search.Aim{search.AimPrintTime}
	}
	s := sheet.New(920, 600)
	s.Title = "Designs found by a search from " + nameOf(r.Design, r.Base.Revision)
	s.Desc = searchCaption(r)
	y := heading(s, nameOf(r.Design, r.Base.Revision), fmt.Sprintf("designs found by a search over %s", counted(len(r.Inputs), "input")))
	y = drawLegend(s, y, searchLegend(s, r)) + 8
	for _, aim := range aims {
		y = drawFront(s, r, aimAxes[aim], y) + 8
	}
	caption(s, y, s.Desc)
	return &Picture{s}, nil
}

func searchCaption(r *search.Result) string {
	text := "Prediction, not a measurement. Dots: run time at the " + atQuantile(r) + "; line above a dot: up to the median."
	if r.Front[0].Ranked == nil {
		text = "Prediction, not a measurement. The search was interrupted: run times are those of one adverse run each."
	}
	if len(r.Aims) > 1 {
		text += " No design of the front is beaten in every respect by another."
	}
	return text
}

func searchLegend(s *sheet.Sheet, r *search.Result) []legendItem {
	items := []legendItem{{func(x, y float64) { drawDot(s, x, y, 5, blue, "") }, "found, by number"}}
	if len(r.Beaten) > 0 {
		items = append(items, legendItem{func(x, y float64) { drawDot(s, x, y, 2.5, rule, "") }, "beaten when ranked"})
	}
	if finite(r.Base.RunTime()) {
		items = append(items, legendItem{func(x, y float64) { drawVaryMark(s, markNow, x, y) }, "as it is now: " + rankedTime(r.Base.RunTime())})
	}
	return items
}

func drawDot(s *sheet.Sheet, x, y, r float64, fill color.Color, mark string) {
	k := 0.5523 * r // a circle of four cubics, common practice
	p := sheet.Path{Fill: fill, Stroke: color.White, Width: 1}
	if mark != "" {
		p.Title, p.Data = "design "+mark, []sheet.Datum{{Name: "design", Value: mark}}
	}
	p.Move(x+r, y)
	p.Curve(sheet.Point{X: x + r, Y: y + k}, sheet.Point{X: x + k, Y: y + r}, sheet.Point{X: x, Y: y + r})
	p.Curve(sheet.Point{X: x - k, Y: y + r}, sheet.Point{X: x - r, Y: y + k}, sheet.Point{X: x - r, Y: y})
	p.Curve(sheet.Point{X: x - r, Y: y - k}, sheet.Point{X: x - k, Y: y - r}, sheet.Point{X: x, Y: y - r})
	p.Curve(sheet.Point{X: x + k, Y: y - r}, sheet.Point{X: x + r, Y: y - k}, sheet.Point{X: x + r, Y: y}).Close()
	s.Draw(p)
}

// drawFront draws run time over one aim below y, and returns where it ends.
func drawFront(s *sheet.Sheet, r *search.Result, a aimAxis, y float64) float64 {
	const left, right, height = 80.0, 890.0, 320.0
	var xs, ys []float64
	see := func(c *search.Candidate) {
		if x := a.value(c); finite(x) && finite(c.RunTime()) {
			xs, ys = append(xs, x/a.inUnit), append(ys, c.RunTime(), medianOf(c))
		}
	}
	see(&r.Base)
	for i := range r.Front {
		see(&r.Front[i])
	}
	for i := range r.Beaten {
		see(&r.Beaten[i])
	}
	_, longest := span(ys)
	_, unit, inUnit := timeScale(longest, 0, 1)
	for i := range ys {
		ys[i] /= inUnit
	}
	lo, hi := span(xs)
	across := niceScale(lo-0.02*(hi-lo), hi+0.04*(hi-lo), 8)
	across.a, across.b = left, right
	_, most := span(ys)
	up := niceScale(0, math.Max(most, 1e-3), 8)
	up.a, up.b = y+height, y
	f := frame{left: left, right: right, labels: right, inUnit: 1, time: across}
	drawPanelAxes(s, f, y, panel{title: "run time (" + unit + ")", height: height, zero: true}, up)
	at := func(c *search.Candidate) (float64, float64, bool) {
		x, t := a.value(c)/a.inUnit, c.RunTime()/inUnit
		return across.at(x), up.at(t), finite(x) && finite(t)
	}
	for i := range r.Beaten {
		if x, t, ok := at(&r.Beaten[i]); ok {
			drawDot(s, x, t, 2.5, rule, "")
		}
	}
	for i := range r.Front {
		if x, t, ok := at(&r.Front[i]); ok {
			s.Line(x, t, x, up.at(medianOf(&r.Front[i])/inUnit), skyBlue, 2)
		}
	}
	labelled := []sheet.Point{}
	for i := range r.Front {
		x, t, ok := at(&r.Front[i])
		if !ok {
			continue
		}
		drawDot(s, x, t, 5, blue, strconv.Itoa(i+1))
		free := true
		for _, p := range labelled {
			free = free && math.Hypot(p.X-x, p.Y-t) > 20
		}
		if free {
			labelled = append(labelled, sheet.Point{X: x, Y: t})
			s.Write(sheet.Text{X: x, Y: t + 19, Size: smallSize, Anchor: sheet.Middle, Colour: ink, Halo: true, Content: strconv.Itoa(i + 1)})
		}
	}
	if x, t, ok := at(&r.Base); ok {
		s.Line(x, t, x, up.at(medianOf(&r.Base)/inUnit), rule, 2)
		drawVaryMark(s, markNow, x, t)
	}
	for _, t := range across.ticks {
		s.Line(across.at(t), y+height, across.at(t), y+height+4, rule, 1)
		s.Write(sheet.Text{X: across.at(t), Y: y + height + 17, Size: smallSize, Anchor: sheet.Middle, Colour: muted, Content: across.label(t)})
	}
	s.Write(sheet.Text{X: (left + right) / 2, Y: y + height + 35, Size: textSize, Anchor: sheet.Middle, Colour: ink, Content: a.title})
	return y + height + 44
}

// medianOf is the median run time of a ranked design, else that it is judged
// by.
func medianOf(c *search.Candidate) float64 {
	if c.Ranked == nil {
		return c.RunTime()
	}
	return c.Ranked.Band.Median
}
