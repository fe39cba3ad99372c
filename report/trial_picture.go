package report

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/trial"
)

// logStrokes is how the series of each quantity are drawn: as the chart of a
// prediction draws the same places.
var logStrokes = map[trial.Quantity]stroke{
	trial.Room:        {muted, 1.2, []float64{8, 4}},
	trial.TopPlate:    {vermillion, 1.6, nil},
	trial.BottomPlate: {blue, 1.6, nil},
	trial.Water:       {skyBlue, 2.2, []float64{6, 2}},
	trial.Wall:        {green, 1.8, []float64{10, 3, 2, 3}},
	trial.Spot:        {purple, 1.6, []float64{2, 3}},
	trial.Speed:       {ink, 1.6, nil},
	trial.Humidity:    {green, 1.2, nil},
	trial.Weight:      {skyBlue, 2, nil},
	trial.HeaterPower: {orange, 1.8, nil},
}

// predictedStroke is how a prediction looks behind the series it is for.
func predictedStroke(s stroke) stroke { return stroke{s.colour, 1.4, []float64{1.5, 3}} }

// logPanel is a panel with what is doubtful in it.
type logPanel struct {
	panel
	series    []trial.Series // behind its courses
	predicted int            // how many of the courses, the first ones, are predicted
}

// TrialPicture draws what was logged in a trial against time, with events,
// gaps and doubtful readings, and the prediction behind it where there is one.
func TrialPicture(u quantity.Display, v *TrialView) (*Picture, error) {
	if v == nil {
		return nil, errors.New("report: trial: none was given")
	}
	end := v.shownEnd()
	panels := v.panels(u, end)
	if len(panels) == 0 {
		return nil, fmt.Errorf("report: trial %d has no series with a good reading after its start", v.Number)
	}
	s := sheet.New(920, 800)
	name := v.Title()
	s.Title, s.Desc = name, v.pictureCaption()
	f := frame{left: 80, right: 700, labels: 908}
	f.time, f.unit, f.inUnit = timeScale(end, f.left, f.right)
	y := heading(s, name, nameOf(v.Trial.Design, v.Trial.Revision)+"; run time "+v.RunTimeText())
	marks := placeEvents(trialMarks(v.Trial.Events, end), f, s.Width-8)
	f.top = y + marks.height + 6
	at := f.top
	for i := range panels {
		drawLogPanel(s, f, at, &panels[i])
		at += panels[i].height + panelGap
	}
	bottom := at - panelGap
	marks.draw(s, f.top, bottom)
	at = drawTimeAxis(s, f, bottom, "time since the load was set on the store")
	caption(s, at+4, s.Desc)
	return &Picture{s}, nil
}

// shownEnd is the last moment that the picture shows, s.
func (v *TrialView) shownEnd() float64 {
	end := 0.0
	for i := range v.Trial.Series {
		if times, _ := v.Trial.Series[i].Good(); len(times) > 0 {
			end = max(end, times[len(times)-1])
		}
	}
	for _, e := range v.Trial.Events {
		end = max(end, e.Time)
	}
	if p := v.Prediction; p != nil && p.RunTime > end { // a little of what follows the predicted stall, too
		end = min(1.02*p.RunTime, p.Simulated)
	}
	return end
}

func (v *TrialView) panels(u quantity.Display, end float64) []logPanel {
	var out []logPanel
	add := func(title string, height float64, zero bool, kind quantity.Kind, series []trial.Series, channels map[string]stroke) {
		p := logPanel{panel: panel{title: title + " (" + sign(u, kind) + ")", height: height, zero: zero}}
		if v.Prediction != nil {
			for _, id := range slices.Sorted(maps.Keys(channels)) {
				if c := v.Prediction.Channel(id); holdsNumber(c) {
					n := 0
					for n < len(v.Prediction.Times) && v.Prediction.Times[n] <= end {
						n++
					}
					p.courses = append(p.courses, course{times: v.Prediction.Times[:n], values: shownIn(u, c.Values[:n], kind), stroke: predictedStroke(channels[id])})
				}
			}
			p.predicted = len(p.courses)
		}
		for i := range series {
			times, values := broken(&series[i])
			times, values = fewer(times, values, end)
			if len(times) == 0 {
				continue
			}
			p.series = append(p.series, series[i])
			p.courses = append(p.courses, course{label: seriesName(&series[i]), times: times, values: shownIn(u, values, kind), stroke: logStrokes[series[i].Quantity]})
		}
		if len(p.series) > 0 {
			out = append(out, p)
		}
	}
	var temperatures []trial.Series
	for _, q := range []trial.Quantity{trial.Room, trial.TopPlate, trial.BottomPlate, trial.Wall, trial.Water, trial.Spot} {
		temperatures = append(temperatures, v.all(q)...)
	}
	add("temperature", 260, false, quantity.Temperature, temperatures, map[string]stroke{
		"top_plate": logStrokes[trial.TopPlate], "bottom_plate": logStrokes[trial.BottomPlate]})
	if d := v.difference(); d != nil {
		before := len(out)
		add("plate difference", 150, true, quantity.TemperatureDifference, d, map[string]stroke{"difference": {ink, 2, nil}})
		if v.Stall > 0 && len(out) > before {
			last := &out[len(out)-1]
			last.courses[len(last.courses)-1].label = "plate difference"
			last.courses[len(last.courses)-1].stroke = stroke{ink, 2, nil}
			last.courses = append(last.courses, course{label: "stalls below " + withSigns(u.Format(v.Stall, quantity.TemperatureDifference, 2)),
				values: []float64{u.Of(v.Stall, quantity.TemperatureDifference)}, stroke: stroke{vermillion, 1.4, []float64{5, 4}}, level: true})
		}
	}
	for _, q := range []trial.Quantity{trial.Speed, trial.Humidity, trial.Weight, trial.HeaterPower} {
		add(string(q), 110, q != trial.Humidity, q.Measures(), v.all(q), nil)
	}
	return out
}

func (v *TrialView) all(q trial.Quantity) []trial.Series {
	var out []trial.Series
	for _, s := range v.Trial.Series {
		if s.Quantity == q {
			out = append(out, s)
		}
	}
	return out
}

// difference is that of the plates, without its sign, at the times of the
// upper one's readings; nil when either was not logged.
func (v *TrialView) difference() []trial.Series {
	bottom, top := v.Trial.Find(trial.BottomPlate), v.Trial.Find(trial.TopPlate)
	if bottom == nil || top == nil {
		return nil
	}
	times, values := trial.PlateDifference(bottom, top)
	if _, hi := span(values); hi < 0 { // a hot store below
		for i := range values {
			values[i] = -values[i]
		}
	}
	s := trial.Series{Quantity: trial.TopPlate}
	for i := range times {
		s.Samples = append(s.Samples, trial.Sample{Time: times[i], Value: values[i]})
	}
	return []trial.Series{s}
}

// broken are the good readings, with a value that is none in each gap, so
// that the line breaks there.
func broken(s *trial.Series) (times, values []float64) {
	t, x := s.Good()
	gaps := s.Gaps()
	for i := range t {
		times, values = append(times, t[i]), append(values, x[i])
		if len(gaps) > 0 && t[i] == gaps[0].From {
			times, values = append(times, (gaps[0].From+gaps[0].To)/2), append(values, nan)
			gaps = gaps[1:]
		}
	}
	return times, values
}

// drawnColumns is how many stretches of time a line is reduced to: two to a
// pixel.
const drawnColumns = 1240

// fewer keeps, of the readings from the start to end, the lowest and highest
// in each of many short stretches: no more can be seen.
func fewer(times, values []float64, end float64) (t, x []float64) {
	from := 0
	for from < len(times) && times[from] < 0 {
		from++
	}
	times, values = times[from:], values[from:]
	if len(times) <= 2*drawnColumns {
		return times, values
	}
	for i := 0; i < len(times); {
		column := math.Floor(times[i] / end * drawnColumns)
		low, high, hole := i, i, -1
		for ; i < len(times) && math.Floor(times[i]/end*drawnColumns) == column; i++ {
			switch {
			case math.IsNaN(values[i]):
				hole = i
			case values[i] < values[low] || math.IsNaN(values[low]):
				low = i
			case values[i] > values[high] || math.IsNaN(values[high]):
				high = i
			}
		}
		kept := []int{low, high}
		if hole >= 0 {
			kept = append(kept, hole)
		}
		slices.Sort(kept)
		for _, k := range slices.Compact(kept) {
			t, x = append(t, times[k]), append(x, values[k])
		}
	}
	return t, x
}

// trialMarks are the events of a trial as marks above the panels.
func trialMarks(events []trial.Event, end float64) []mark {
	var out []mark
	for _, e := range events {
		if e.Time >= 0 && e.Time <= end && e.Kind != trial.LoadSet {
			out = append(out, mark{time: e.Time, text: quantity.FormatDuration(e.Time) + " " + string(e.Kind)})
		}
	}
	slices.SortStableFunc(out, func(a, b mark) int {
		switch {
		case a.time < b.time:
			return -1
		case a.time > b.time:
			return 1
		}
		return 0
	})
	return out
}

// drawLogPanel draws a panel: gaps, axes, prediction, series, and at its foot
// a tick for each doubtful reading.
func drawLogPanel(s *sheet.Sheet, f frame, y float64, p *logPanel) {
	for i := range p.series {
		for _, g := range p.series[i].Gaps() {
			if from, to := f.x(max(g.From, 0)), f.x(min(g.To, f.time.hi*f.inUnit)); to > from {
				s.Rect(from, y, max(to-from, 0.5), p.height, shade, 1)
			}
		}
	}
	v := valueScale(p.panel)
	v.a, v.b = y+p.height, y
	drawPanelAxes(s, f, y, p.panel, v)
	var ends []lineEnd
	for i, c := range p.courses {
		if end, ok := drawCourse(s, f, v, c, nil); ok && i >= p.predicted {
			ends = append(ends, end)
		}
	}
	drawLineEnds(s, f, y, y+p.height, ends)
	drawn := map[int]bool{} // by pixel
	for i := range p.series {
		for _, x := range p.series[i].Samples {
			at := int(f.x(x.Time))
			if x.Mark == trial.Good || x.Time < 0 || float64(at) > f.right || drawn[at] {
				continue
			}
			drawn[at] = true
			s.Line(float64(at), y+p.height, float64(at), y+p.height-6, vermillion, 1)
		}
	}
}

func (v *TrialView) pictureCaption() string {
	text := "Logged in the trial. The lines go through good readings; grey marks gaps, and ticks at the foot of a panel mark doubtful readings."
	for i := range v.Trial.Series {
		if times, _ := v.Trial.Series[i].Good(); len(times) > 0 && times[0] < 0 {
			text += " Readings from before the load was set on are not drawn."
			break
		}
	}
	if v.Prediction != nil {
		text += " Dotted behind them: the network's prediction with the trial's settings and its measured room, all else nominal; a prediction, not a measurement."
	}
	return text
}
