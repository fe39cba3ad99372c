package report

import (
	"errors"
	"fmt"
	"io"
	"math"

	"meltspan/calibrate"
	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/report/sheet"
)

// LoadText writes what a bench log says of a load.
func LoadText(w io.Writer, u quantity.Display, l *calibrate.Load) error {
	if l == nil {
		return errors.New("report: text: no bench log was given")
	}
	p := &textpage.Page{CutLong: true}
	verdict := "long and steady enough"
	if !l.Enough {
		verdict = "not long or steady enough"
	}
	p.Paraf(0, 2, "%s: %s of log, %s.", l.Trial, quantity.FormatDuration(l.Duration), verdict)
	rows := [][]string{{"", "value", "middle 90 %"}}
	add := func(what string, e calibrate.Estimate, kind quantity.Kind) {
		if !finite(e.Value) {
			rows = append(rows, []string{what, "not in this log", ""})
			return
		}
		i := e.Interval()
		rows = append(rows, []string{what, u.Format(e.Value, kind, 3), u.Format(i.Low, kind, 3) + " to " + u.Format(i.High, kind, 3)})
	}
	add("stall difference", l.Stall, quantity.TemperatureDifference)
	add("conductance at rest", l.Still, quantity.ThermalConductance)
	add("intake per cycle", l.Cycle, quantity.HeatPerCycle)
	add("speed at the stall", l.Speed, quantity.Frequency)
	add("gain of speed per kelvin", l.Slope, quantity.Frequency)
	p.Table("lrr", rows)
	p.Paraf(2, 2, "%s in the log; %s of it steady.", counted(l.Stalls, "stall"), percent(l.Steady))
	settingsText(p, u, l.Settings)
	remarksText(p, u, l.Remarks)
	return writeText(w, p)
}

// HeaterText writes what a heater on the upper plate says.
func HeaterText(w io.Writer, u quantity.Display, h *calibrate.Heated) error {
	if h == nil {
		return errors.New("report: text: no heater test was given")
	}
	p := &textpage.Page{}
	p.Paraf(0, 2, "%s: conductance at rest %s, from %.2f W of heater, %.2f W from the room and a plate difference of %s.",
		h.Trial, uncertain(h.Still, quantity.ThermalConductance), h.Power.Value, h.FilmHeat.Value, differenceText(u, h.Difference.Value))
	p.Para(2, 2, "The heater's power is measured; the air film's share rests on the handbook.")
	settingsText(p, u, h.Settings)
	remarksText(p, u, h.Remarks)
	return writeText(w, p)
}

// BlankText writes what a weighed melt says of a stand alone.
func BlankText(w io.Writer, u quantity.Display, b *calibrate.Blank) error {
	if b == nil {
		return errors.New("report: text: no weighed melt was given")
	}
	p := &textpage.Page{}
	p.Paraf(0, 2, "%s: %.1f g melted in %s, a mean heat of %s; the stand alone leaks %s.", b.Trial, 1000*b.Melted.Value,
		quantity.FormatDuration(b.Over), uncertain(b.Heat, quantity.Power), uncertain(b.Leak, quantity.ThermalConductance))
	p.Paraf(2, 2, "Masses and room are measured (%s over melting); the heat of fusion is the handbook's; the lid's share is assumed.", differenceText(u, b.Drive))
	remarksText(p, u, b.Remarks)
	return writeText(w, p)
}

func uncertain(e calibrate.Estimate, kind quantity.Kind) string {
	return quantity.FormatValue(quantity.Value{SI: e.Value, Spread: e.Uncertainty, Origin: quantity.Fitted}, kind)
}

func settingsText(p *textpage.Page, u quantity.Display, list []calibrate.Setting) {
	if len(list) == 0 {
		return
	}
	p.Heading("For the design")
	var rows [][]string
	for _, s := range list {
		rows = append(rows, []string{s.Path + ":", u.Restate(s.Value)})
	}
	p.Table("ll", rows)
}

func remarksText(p *textpage.Page, u quantity.Display, list []string) {
	if len(list) == 0 {
		return
	}
	p.Heading("Remarks")
	for _, r := range list {
		p.Para(2, 2, "- "+u.Restate(r))
	}
}

// IntakePicture draws the heat that a load took per kelvin against its speed, a
// dot for each stretch of the log, with the line fitted.
func IntakePicture(l *calibrate.Load) (*Picture, error) {
	if l == nil {
		return nil, errors.New("report: intake picture: no bench log was given")
	}
	var xs, ys []float64
	for _, p := range l.Points {
		if finite(p.Speed) && p.Difference > 2 && p.Heat > 0 {
			xs, ys = append(xs, 60*p.Speed), append(ys, 1000*p.Heat/p.Difference)
		}
	}
	if len(xs) == 0 {
		return nil, fmt.Errorf("report: intake picture: the log of %q holds no speed; there is nothing to draw the heat against", l.Trial)
	}
	const left, right, height = 80.0, 780.0, 320.0
	s := sheet.New(820, 480)
	s.Title = "Heat taken by the load in " + l.Trial
	s.Desc = "Plates and speed are measured; the heat is not a measurement: it is worked out from the upper plate's film by the handbook. Each dot is a stretch of the log; the line is the fit, which takes the sensors' constant errors into account and so need not pass through the middle of the dots."
	y := heading(s, s.Title, "heat per kelvin of plate difference against speed")
	top := y + 10
	_, far := span(xs)
	_, high := span(ys)
	h, v := niceScale(0, far, 8), niceScale(0, high, 8)
	h.a, h.b, v.a, v.b = left, right, top+height, top
	for _, t := range h.ticks {
		s.Line(h.at(t), top, h.at(t), top+height, grid, 1)
		s.Write(sheet.Text{X: h.at(t), Y: top + height + 17, Size: smallSize, Anchor: sheet.Middle, Colour: muted, Content: h.label(t)})
	}
	for _, t := range v.ticks {
		s.Line(left, v.at(t), right, v.at(t), grid, 1)
		s.Write(sheet.Text{X: left - 6, Y: v.at(t) + 4, Size: smallSize, Anchor: sheet.End, Colour: muted, Content: v.label(t)})
	}
	for i := range xs {
		s.Draw(sheet.Path{Steps: sheet.Box(h.at(xs[i])-2, v.at(ys[i])-2, 4, 4), Fill: blue, Opacity: 0.6})
	}
	if finite(l.Still.Value) && finite(l.Cycle.Value) {
		at := func(rpm float64) float64 { return 1000 * (l.Still.Value + l.Cycle.Value*rpm/60) }
		reach := math.Min(h.hi, (v.hi-at(0))/math.Max(at(1)-at(0), 1e-12))
		s.Line(h.at(0), v.at(at(0)), h.at(reach), v.at(at(reach)), vermillion, 2)
	}
	s.Line(left, top, left, top+height, rule, 1)
	s.Line(left, top+height, right, top+height, rule, 1)
	s.Write(sheet.Text{X: 21, Y: top + height/2, Size: textSize, Anchor: sheet.Middle, Upright: true, Colour: ink, Content: "heat per kelvin (mW/K)"})
	s.Write(sheet.Text{X: (left + right) / 2, Y: top + height + 37, Size: textSize, Anchor: sheet.Middle, Colour: ink, Content: "speed (rpm)"})
	caption(s, top+height+50, s.Desc)
	return &Picture{s}, nil
}
