package report

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

// ChartOptions is what a chart shows beside the run itself. Zero fields are
// left out.
type ChartOptions struct {
	Probability       float64 // of the band, such as 0.9
	Low, Median, High float64 // of the run time, s
	StallDifference   float64 // plate difference below which the load stops, K
}

// CourseOptions are those of an answer's nominal run.
func CourseOptions(a *predict.Answer, d *design.Design) ChartOptions {
	return ChartOptions{Probability: a.Band.Probability, Low: a.Band.Low, Median: a.Band.Median, High: a.Band.High, StallDifference: d.KeepDifference()}
}

// Chart draws temperatures, plate difference and what is left of the store
// against time, with the run's events. Channels that are missing or hold no
// number are left out; an error is returned only when there is nothing to
// draw.
func Chart(u quantity.Display, run *result.Run, o ChartOptions) (*Picture, error) {
	if run == nil {
		return nil, errors.New("report: chart: no run was given")
	}
	panels := chartPanels(u, run, o)
	if len(panels) == 0 {
		return nil, fmt.Errorf("report: chart: the run of design %q holds no temperature, difference or store channel with a number in it", run.Design)
	}
	times := inUnit(run.Times, quantity.Time, "s")
	s := sheet.New(920, 800)
	s.Title = "Predicted course of " + nameOf(run.Design, run.Revision)
	s.Desc = chartCaption(run, o)
	end := chartEnd(run, o)
	f := frame{left: 80, right: 700, labels: 908}
	f.time, f.unit, f.inUnit = timeScale(end, f.left, f.right)

	y := heading(s, nameOf(run.Design, run.Revision), headline(run))
	marks := placeEvents(chosenEvents(run, end), f, s.Width-8)
	f.top = y + marks.height + 6
	bottom := f.top - panelGap
	for _, p := range panels {
		bottom += p.height + panelGap
	}
	drawBand(s, f, bottom, o)
	at := f.top
	for _, p := range panels {
		at = drawPanel(s, f, at, p, times) + panelGap
	}
	marks.draw(s, f.top, bottom)
	at = drawTimeAxis(s, f, bottom, "time since the load was set on the store")
	caption(s, at+4, s.Desc)
	return &Picture{s}, nil
}

// temperatureStrokes is how each temperature is drawn, in the order of the
// legend for readers of grey copies: no two share both colour and dash.
var temperatureStrokes = []struct {
	id, label string
	stroke    stroke
}{
	{"room", "room air", stroke{muted, 1.2, []float64{8, 4}}},
	{"top_plate", "top plate", stroke{vermillion, 2, nil}},
	{"bottom_plate", "bottom plate", stroke{blue, 2, nil}},
	{"store", "store", stroke{skyBlue, 2.2, []float64{6, 2}}},
	{"outside", "outer skin, coldest", stroke{green, 1.8, []float64{10, 3, 2, 3}}},
	{"dew_point", "dew point of the room", stroke{purple, 1.6, []float64{2, 3}}},
}

func chartPanels(u quantity.Display, run *result.Run, o ChartOptions) []panel {
	var panels []panel
	temperatures := panel{title: "temperature (" + sign(u, quantity.Temperature) + ")", height: 260}
	for _, t := range temperatureStrokes {
		if c := run.Channel(t.id); holdsNumber(c) {
			temperatures.courses = append(temperatures.courses,
				course{label: labelOr(c, t.label), values: shownIn(u, c.Values, quantity.Temperature), stroke: t.stroke})
		}
	}
	if len(temperatures.courses) > 0 {
		panels = append(panels, temperatures)
	}
	if c := run.Channel("difference"); holdsNumber(c) {
		panels = append(panels, differencePanel(u, c, o))
	}
	if c := run.Channel("solid"); holdsNumber(c) {
		label := labelOr(c, "solid")
		panels = append(panels, panel{title: label + " left (g)", height: 130, zero: true, courses: []course{
			{label: label, values: inUnit(c.Values, quantity.Mass, "g"), stroke: stroke{skyBlue, 2.2, nil}},
		}})
	}
	return panels
}

func differencePanel(u quantity.Display, c *result.Channel, o ChartOptions) panel {
	p := panel{title: "plate difference (" + sign(u, quantity.TemperatureDifference) + ")", height: 150, zero: true, courses: []course{
		{label: labelOr(c, "plate difference"), values: shownIn(u, c.Values, quantity.TemperatureDifference), stroke: stroke{ink, 2, nil}},
	}}
	if o.StallDifference > 0 {
		stall := u.Of(o.StallDifference, quantity.TemperatureDifference)
		if lo, hi := span(c.Values); -lo > hi { // a hot store may be reported as a negative difference
			stall = -stall
		}
		p.courses = append(p.courses, course{
			label:  "stalls below " + withSigns(u.Format(o.StallDifference, quantity.TemperatureDifference, 2)),
			values: []float64{stall}, stroke: stroke{vermillion, 1.4, []float64{5, 4}}, level: true,
		})
	}
	return p
}

func holdsNumber(c *result.Channel) bool {
	if c == nil {
		return false
	}
	return slices.ContainsFunc(c.Values, func(v float64) bool { return math.Abs(v) < largestDrawn })
}

func labelOr(c *result.Channel, otherwise string) string {
	if c.Label != "" {
		return c.Label
	}
	return otherwise
}

// chartEnd is the last moment the chart must show, s.
func chartEnd(run *result.Run, o ChartOptions) float64 {
	_, end := span(inUnit(run.Times, quantity.Time, "s"))
	if o.hasBand() {
		end = max(end, o.High)
	}
	return end
}

func nameOf(design, revision string) string {
	if design == "" {
		design = "unnamed design"
	}
	if revision == "" {
		return design
	}
	design = textpage.Cut(design, 60) // so that the revision is always seen
	return design + ", revision " + revision
}

// headline says in one line how a run ended.
func headline(run *result.Run) string {
	switch run.End {
	case result.EndNeverStarted:
		return "never starts: the plate difference does not reach the start difference"
	case result.EndHorizon:
		return "still running after " + quantity.FormatDuration(run.Simulated) + ", where the simulation ended"
	case result.EndLimit:
		return "passes its temperature limit after " + quantity.FormatDuration(run.RunTime)
	}
	return "runs for " + quantity.FormatDuration(run.RunTime)
}

func chartCaption(run *result.Run, o ChartOptions) string {
	var b strings.Builder
	b.WriteString("Prediction, not a measurement")
	if run.Depth != "" {
		b.WriteString(" (model: " + run.Depth + ")")
	}
	b.WriteString(". Shown is the run with all inputs at their nominal values.")
	if o.hasBand() {
		t := bandTimes(o.Low, o.High, o.Median)
		fmt.Fprintf(&b, " Grey: the run time lies between %s and %s with %s probability; the dotted line in it is the median, %s.",
			t[0], t[1], percent(o.Probability), t[2])
	}
	if run.Channel("dew_point") != nil {
		b.WriteString(" Faces colder than the dew point sweat.")
	}
	return b.String()
}

func (o ChartOptions) hasBand() bool {
	return o.High > 0 && o.High >= o.Low && o.Low >= 0 && o.High < largestDrawn
}

// drawBand shades the band of the run time behind all panels.
func drawBand(s *sheet.Sheet, f frame, bottom float64, o ChartOptions) {
	if !o.hasBand() {
		return
	}
	x0, x1 := f.x(o.Low), f.x(o.High)
	s.Rect(x0, f.top, math.Max(x1-x0, 1), bottom-f.top, shade, 1)
	if o.Median >= o.Low && o.Median <= o.High {
		s.Line(f.x(o.Median), f.top, f.x(o.Median), bottom, rule, 1.2, 1, 3)
	}
}
