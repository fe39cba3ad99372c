package report

import (
	"errors"
	"fmt"
	"image/color"

	"meltspan/predict"
	"meltspan/report/sheet"
)

// bandRow is one line of a band picture: a band, a single value, or both.
type bandRow struct {
	label            string
	low, median, top float64 // NaN or 0, 0, 0: no band
	point            float64 // NaN: none
	ceiling          bool    // the point is a ceiling, not a nominal run
	colour           color.Color
}

func (r bandRow) hasBand() bool {
	return finite(r.low) && finite(r.median) && finite(r.top) && r.top > 0
}

const (
	bandRowHeight = 40.0
	bandLeft      = 190.0
	bandRight     = 235.0 // room for the values beside the bars
)

// BandPicture draws the band of the run time, that of the last ice, the
// nominal run and the ceilings on one time axis. A ceiling more than three
// times as far as all else is told in the caption, not drawn.
func BandPicture(a *predict.Answer) (*Picture, error) {
	if a == nil {
		return nil, errors.New("report: band picture: no answer was given")
	}
	rows := []bandRow{{
		label: "run time", low: a.Band.Low, median: a.Band.Median, top: a.Band.High,
		point: nominalRunTime(a), colour: blue,
	}}
	if a.LastIce.Samples > 0 && finite(a.LastIce.High) && a.LastIce.High > 0 {
		r := bandRow{label: "last of the store", low: a.LastIce.Low, median: a.LastIce.Median, top: a.LastIce.High, point: nan, colour: skyBlue}
		if a.Nominal != nil {
			r.point = a.Nominal.LastIce
		}
		rows = append(rows, r)
	}
	reach := farthest(rows)
	rest := ""
	for _, c := range []struct {
		label, why string
		time       float64
	}{
		{"ceiling, still air", "the envelope filled with ideal still air", a.Ceiling.StillAir},
		{"ceiling, no leak", "all heat through the load at its least intake", a.Ceiling.NoLeak},
	} {
		switch {
		case !finite(c.time) || c.time <= 0:
		case reach > 0 && c.time > 3*reach:
			rest += fmt.Sprintf(" Off the axis: %s (%s), %s.", c.label, c.why, roundCeiling(c.time))
		default:
			rows = append(rows, bandRow{label: c.label, low: nan, median: nan, top: nan, point: c.time, ceiling: true, colour: green})
		}
	}
	if farthest(rows) <= 0 {
		return nil, fmt.Errorf("report: band picture: the answer for design %q holds no run time above zero", a.Design)
	}
	s := sheet.New(820, 300)
	s.Title = "Predicted run time of " + nameOf(a.Design, a.Revision)
	s.Desc = bandCaption(a.Band) + rest
	y := heading(s, nameOf(a.Design, a.Revision), "predicted run time with its band, and what limits it")
	y = drawBandRows(s, y+8, rows)
	caption(s, y, s.Desc)
	return &Picture{s}, nil
}

func nominalRunTime(a *predict.Answer) float64 {
	if a.Nominal == nil {
		return nan
	}
	return a.Nominal.RunTime
}

func farthest(rows []bandRow) float64 {
	var all []float64
	for _, r := range rows {
		all = append(all, r.low, r.median, r.top, r.point)
	}
	_, hi := span(all)
	return hi
}

func bandCaption(b predict.Band) string {
	text := "Prediction, not a measurement. "
	if !(b.High > 0) || b.Samples == 0 {
		return text + "No band was worked out."
	}
	text += fmt.Sprintf("Each bar holds %s of %d samples of the uncertain inputs; the stroke in it is the median, the diamond the run with all inputs nominal.", percent(b.Probability), b.Samples)
	if b.NeverStarted > 0 {
		text += fmt.Sprintf(" In %s of the samples it never starts (counted as zero).", percent(b.NeverStarted))
	}
	if b.StillRunning > 0 {
		text += fmt.Sprintf(" In %s it is still running when the simulation ends (counted with that time).", percent(b.StillRunning))
	}
	return text
}

// drawBandRows draws rows on a common time axis from y down and returns where
// they end, axis included.
func drawBandRows(s *sheet.Sheet, y float64, rows []bandRow) float64 {
	f := frame{left: bandLeft, right: s.Width - bandRight}
	f.time, f.unit, f.inUnit = timeScale(farthest(rows)*1.02, f.left, f.right)
	bottom := y + bandRowHeight*float64(len(rows))
	for _, t := range f.time.ticks {
		s.Line(f.time.at(t), y, f.time.at(t), bottom, grid, 1)
	}
	for i, r := range rows {
		drawBandRow(s, f.x, y+bandRowHeight*(float64(i)+0.5), r, bandTimes)
	}
	s.Line(f.left, bottom, f.right, bottom, rule, 1)
	return drawTimeAxis(s, f, bottom, "time since the load was set on the store")
}

// drawBandRow draws one row with its middle at y; show prints its values.
func drawBandRow(s *sheet.Sheet, x func(float64) float64, y float64, r bandRow, show func(...float64) []string) {
	lines := sheet.Wrap(r.label, bandLeft-30, textSize, false)
	writeLines(s, 16, y+4-7*float64(len(lines)-1), 14, sheet.Text{Size: textSize, Colour: ink}, lines)
	end := 0.0
	var text string
	if r.hasBand() {
		p := sheet.Path{Steps: sheet.Box(x(r.low), y-8, max(1, x(r.top)-x(r.low)), 16), Fill: r.colour, Opacity: 0.45, Stroke: r.colour, Width: 1}
		s.Draw(p)
		s.Line(x(r.median), y-8, x(r.median), y+8, ink, 2.4)
		end = x(r.top)
		t := show(r.low, r.median, r.top)
		text = t[1] + " (" + t[0] + " to " + t[2] + ")"
	}
	if finite(r.point) {
		if r.ceiling {
			s.Line(x(r.point), y-11, x(r.point), y+11, r.colour, 4)
		} else {
			drawDiamond(s, x(r.point), y)
		}
		end = max(end, x(r.point)+6)
		if text == "" {
			text = show(0, r.point)[1]
		}
	}
	writeBeside(s, end, bandLeft, y, text)
}

// writeBeside writes text right of x at the height of a row, or, where the
// sheet ends before the text does, above the row's bar and flush right.
func writeBeside(s *sheet.Sheet, x, least, y float64, text string) {
	t := sheet.Text{X: max(x, least) + 8, Y: y + 4, Size: smallSize, Colour: ink, Halo: true, Content: text}
	if _, _, right, _ := t.Bounds(); right > s.Width-8 {
		t.X, t.Y, t.Anchor = s.Width-8, y-13, sheet.End
	}
	s.Write(t)
}

func drawDiamond(s *sheet.Sheet, x, y float64) {
	p := sheet.Path{Fill: color.White, Stroke: ink, Width: 1.4}
	p.Move(x, y-6).Line(x+6, y).Line(x, y+6).Line(x-6, y).Close()
	s.Draw(p)
}
