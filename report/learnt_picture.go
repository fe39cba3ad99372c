package report

import (
	"errors"
	"fmt"

	"meltspan/calibrate"
	"meltspan/quantity"
	"meltspan/report/sheet"
)

// PosteriorPicture draws prior and posterior of the unknowns that trials changed
// most, each in standard deviations of its prior, with the values beside.
func PosteriorPicture(u quantity.Display, c *calibrate.Posterior) (*Picture, error) {
	if c == nil {
		return nil, errors.New("report: posterior picture: no calibration was given")
	}
	list := shownUnknowns(c)
	if len(list) == 0 {
		return nil, errors.New("report: posterior picture: the trials changed no unknown")
	}
	const left, right, height = 300.0, 640.0, 34.0
	s := sheet.New(920, 600)
	s.Title = "What the trials taught"
	s.Desc = fmt.Sprintf("Fitted to %s by the model, not a measurement of each. Grey: the middle 90 %% before; blue: after, with its median. The axis counts in standard deviations of the prior, so that all unknowns share it; values stand on the right.",
		counted(len(c.Trials), "trial"))
	y := heading(s, s.Title, "unknowns before and after, those followed exactly first") + 10
	v := niceScale(-3, 3, 6)
	v.a, v.b = left, right
	bottom := y + height*float64(len(list))
	for _, t := range v.ticks {
		s.Line(v.at(t), y, v.at(t), bottom, grid, 1)
		s.Line(v.at(t), bottom, v.at(t), bottom+4, rule, 1)
		s.Write(sheet.Text{X: v.at(t), Y: bottom + 17, Size: smallSize, Anchor: sheet.Middle, Colour: muted, Content: v.label(t)})
	}
	clip := func(z float64) float64 { return v.at(min(max(z, v.lo), v.hi)) }
	const half = 1.645
	for i, x := range list {
		middle := y + height*(float64(i)+0.5)
		s.Write(sheet.Text{X: 16, Y: middle + 4, Size: textSize, Colour: ink, Content: sheet.Clip(unknownName(x.Column), left-30, textSize, false)})
		s.Rect(clip(-half), middle-9, clip(half)-clip(-half), 18, rule, 0.35)
		low, high := clip(x.Shift-half*x.Spread), clip(x.Shift+half*x.Spread)
		s.Draw(sheet.Path{Steps: sheet.Box(low, middle-5, max(high-low, 1), 10), Fill: blue, Opacity: 0.6, Stroke: blue, Width: 1})
		s.Line(clip(x.Shift), middle-8, clip(x.Shift), middle+8, ink, 2.2)
		s.Write(sheet.Text{X: right + 14, Y: middle + 4, Size: smallSize, Colour: ink, Content: sheet.Clip(withSigns(intervalText(u, x.Posterior, x.Column)), s.Width-right-22, smallSize, false)})
	}
	s.Line(left, bottom, right, bottom, rule, 1)
	s.Write(sheet.Text{X: (left + right) / 2, Y: bottom + 35, Size: textSize, Anchor: sheet.Middle, Colour: ink, Content: "standard deviations of the prior"})
	caption(s, bottom+46, s.Desc)
	return &Picture{s}, nil
}

// LearntRunTimes draws the run times of designs, and of trials foretold blind,
// before and after, on one axis.
func LearntRunTimes(predictions []*calibrate.Prediction, blind []*calibrate.Blind) (*Picture, error) {
	var rows []bandRow
	add := func(label string, p *calibrate.Prediction, seen float64) {
		rows = append(rows,
			bandRow{label: label + ", before", low: p.Prior.Low, median: p.Prior.Median, top: p.Prior.High, point: nan, colour: rule},
			bandRow{label: label + ", after", low: p.Posterior.Low, median: p.Posterior.Median, top: p.Posterior.High, point: seen, colour: blue})
	}
	for _, p := range predictions {
		add(p.Design, p, nan)
	}
	for _, b := range blind {
		add(b.Trial, b.Prediction, b.Seen)
	}
	if farthest(rows) <= 0 || len(rows) == 0 {
		return nil, errors.New("report: run times: none of the designs runs; there is nothing to draw")
	}
	s := sheet.New(820, 300)
	s.Title = "Run times before and after calibration"
	s.Desc = "Prediction of a trial to come, not a measurement, the scatter between trials included. Each bar holds the middle 90 %; the stroke is the median; a diamond is a run time that was seen in a trial that was not learned from."
	y := heading(s, s.Title, "what the trials taught carries over to other designs")
	caption(s, drawBandRows(s, y+8, rows), s.Desc)
	return &Picture{s}, nil
}
