package report

import (
	"errors"
	"fmt"
	"io"

	"meltspan/calibrate"
	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/report/sheet"
)

// ForecastText writes what a running trial says of its end.
func ForecastText(w io.Writer, u quantity.Display, f *calibrate.Forecast) error {
	if f == nil {
		return errors.New("report: text: no forecast was given")
	}
	p := &textpage.Page{CutLong: true}
	p.Paraf(0, 2, "%s, %s after the load was set on.", f.Trial, quantity.FormatDuration(f.Now))
	end := func(what string, seen bool, i calibrate.Interval) {
		switch {
		case seen:
			p.Paraf(2, 2, "%s: %s, seen.", what, quantity.FormatDuration(i.Median))
		case finite(i.Median):
			t := bandTimes(i.Low, i.Median, i.High)
			p.Paraf(2, 2, "%s: after %s, between %s and %s with 90 %% probability.", what, t[1], t[0], t[2])
		default:
			p.Paraf(2, 2, "%s: cannot be foretold.", what)
		}
	}
	end("Stall", f.Stalled, f.Stall)
	end("Last of the ice", f.IceGone, f.LastIce)
	if !f.Stalled && finite(f.Stall.Median) {
		p.Paraf(2, 2, "Ice is left at the stall with %s probability.", probability(f.IceAfter))
	}
	if q := f.Question; q != nil {
		p.Blank()
		p.Para(2, 2, questionWords(q, f.Stalled))
		p.Para(2, 2, "The other run time counts as it was seen, in its own room.")
	}
	listCautions(p, u, f.Cautions)
	p.Heading("Grounds")
	p.Paraf(2, 2, "Forecast by the model, weighed by the log so far: %d runs in the population, %.0f effective, %d numbers from the log, seed %d.", f.Members, f.Size, f.Features, f.Seed)
	p.Para(2, 2, "Measured: the log. Taken to go on as last seen: the room.")
	p.Paraf(2, 2, "Assumed: times differ from the model's by %s from design to design and %s from trial to trial, temperatures by %s; the load of one trial stalls at a difference of its own, %s about the design's.",
		percent(f.Assumed.Design), percent(f.Assumed.Repeat), differenceText(u, f.Assumed.Temperature), differenceText(u, f.Assumed.Stall))
	return writeText(w, p)
}

// questionWords says whether a contest is decided.
func questionWords(q *calibrate.Question, over bool) string {
	than := fmt.Sprintf("%s (%s)", q.Than, quantity.FormatDuration(q.Time))
	if !q.Decided {
		return fmt.Sprintf("Longer than %s? Not decided: probability %s, wanted %s or its opposite. Let it run on.", than, probability(q.Longer), percent(q.Confidence))
	}
	if over {
		return fmt.Sprintf("Longer than %s? It ran %s, probability %s.", than, q.Verdict, probability(sureness(q)))
	}
	return fmt.Sprintf("Longer than %s? Decided: %s, probability %s, as long as the room stays as it is. For this question the trial can be stopped.", than, q.Verdict, probability(sureness(q)))
}

// ForecastPicture draws how the bands of a trial's end narrowed from forecast to
// forecast.
func ForecastPicture(list []*calibrate.Forecast) (*Picture, error) {
	if len(list) == 0 {
		return nil, errors.New("report: forecast picture: no forecast was given")
	}
	now := make([]float64, len(list))
	pick := func(of func(*calibrate.Forecast) float64) []float64 {
		out := make([]float64, len(list))
		for i, f := range list {
			now[i] = f.Now
			out[i] = of(f) / 3600
		}
		return out
	}
	line := func(label string, s stroke, of func(*calibrate.Forecast) float64) course {
		return course{label: label, values: pick(of), stroke: s}
	}
	thin := stroke{blue, 1.2, []float64{4, 3}}
	courses := []course{
		line("stall, 95 % end", thin, func(f *calibrate.Forecast) float64 { return f.Stall.High }),
		line("stall, median", stroke{blue, 2.2, nil}, func(f *calibrate.Forecast) float64 { return f.Stall.Median }),
		line("stall, 5 % end", thin, func(f *calibrate.Forecast) float64 { return f.Stall.Low }),
		line("last ice, median", stroke{skyBlue, 2, []float64{8, 3}}, func(f *calibrate.Forecast) float64 { return f.LastIce.Median }),
		line("the present", stroke{muted, 1.2, []float64{2, 3}}, func(f *calibrate.Forecast) float64 { return f.Now }),
	}
	last := list[len(list)-1]
	if q := last.Question; q != nil {
		courses = append(courses, course{label: "run time of " + q.Than, values: []float64{q.Time / 3600}, stroke: stroke{vermillion, 1.4, []float64{5, 4}}, level: true})
	}
	s := sheet.New(920, 480)
	s.Title = "Forecast of " + last.Trial
	s.Desc = "Forecast, not a measurement: when the load will stall, by each forecast made while the trial ran. Dashed: the ends of the middle 90 %."
	y := heading(s, s.Title, fmt.Sprintf("%d forecasts, the last after %s", len(list), quantity.FormatDuration(last.Now)))
	f := frame{left: 80, right: 700, labels: 908}
	_, end := span(now)
	f.time, f.unit, f.inUnit = timeScale(end, f.left, f.right)
	y = drawPanel(s, f, y+8, panel{title: "foretold time (h)", height: 300, zero: true, courses: courses}, now)
	y = drawTimeAxis(s, f, y, "time of the forecast since the load was set on the store")
	caption(s, y+4, s.Desc)
	return &Picture{s}, nil
}
