package report

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"meltspan/calibrate"
	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/report/sheet"
)

// ComparisonText writes trials brought to common conditions.
func ComparisonText(w io.Writer, u quantity.Display, c *calibrate.Comparison) error {
	if c == nil || len(c.Trials) == 0 {
		return errors.New("report: text: no comparison of trials was given")
	}
	p := &textpage.Page{CutLong: true}
	for _, pair := range slices.Concat(c.Contests, c.Pairs) {
		p.Para(0, 2, contestWords(pair))
	}
	p.Heading("Each trial under common conditions")
	rows := [][]string{{"trial", "design", "seen", "correction", "corrected", "from", "to"}}
	for _, t := range c.Trials {
		b := bandTimes(t.Corrected.Median, t.Corrected.Low, t.Corrected.High)
		rows = append(rows, []string{t.Name, t.Design, quantity.FormatDuration(t.Observed), signedPercent(t.Factor.Median - 1), b[0], b[1], b[2]})
	}
	p.Table("llrrrrr", rows)
	p.Para(2, 2, "Corrected: as it would have run; the band holds the errors of correction and stopwatch, not the scatter from trial to trial.")
	for _, s := range c.Common {
		p.Paraf(2, 2, "Common condition: %s = %s.", s.Path, u.Restate(s.Value))
	}
	p.Heading("Grounds")
	p.Para(2, 2, repeatWords(c.Repeat))
	p.Paraf(2, 2, "Corrections are by the calibrated model, %d draws, seed %d; the run times are measured.", c.Draws, c.Seed)
	listCautions(p, u, c.Cautions)
	return writeText(w, p)
}

// contestWords says which of two runs longer, by how much and how surely.
func contestWords(c calibrate.Pair) string {
	d, chance, sign, word := c.Difference, c.Longer, 1.0, "longer"
	if d.Median < 0 {
		chance, sign, word = 1-c.Longer, -1, "shorter"
	}
	minutes := func(s float64) string { return fmt.Sprintf("%.0f", math.Round(sign*s/60)) }
	low, high := minutes(d.Low), minutes(d.High)
	if sign < 0 {
		low, high = high, low
	}
	p := "above 0.995"
	if chance < 0.995 {
		p = fmt.Sprintf("%.2f", chance)
	}
	return fmt.Sprintf("%s runs %s than %s by %s min [%s, %s], probability %s.", c.B, word, c.A, minutes(d.Median), low, high, p)
}

func repeatWords(r calibrate.Repeat) string {
	if !r.Estimated {
		return fmt.Sprintf("Scatter between trials of one design: assumed %s; no design was tried twice.", percent(r.Assumed))
	}
	return fmt.Sprintf("Scatter between trials of one design: %s [%s, %s], from %d trials that repeat, with %s assumed beforehand.",
		percent(r.Value.Median), percent(r.Value.Low), percent(r.Value.High), r.Repeats, percent(r.Assumed))
}

// ComparisonPicture draws the corrected run times with those seen.
func ComparisonPicture(u quantity.Display, c *calibrate.Comparison) (*Picture, error) {
	if c == nil || len(c.Trials) == 0 {
		return nil, errors.New("report: comparison picture: no comparison of trials was given")
	}
	colours := []stroke{{colour: blue}, {colour: orange}, {colour: green}, {colour: purple}, {colour: vermillion}}
	design := map[string]int{}
	var rows []bandRow
	for _, t := range c.Trials {
		if _, known := design[t.Revision]; !known {
			design[t.Revision] = len(design)
		}
		colour := colours[design[t.Revision]%len(colours)].colour
		rows = append(rows, bandRow{label: t.Name + ", " + t.Design, low: t.Corrected.Low, median: t.Corrected.Median, top: t.Corrected.High, point: t.Observed, colour: colour})
	}
	s := sheet.New(820, 300)
	s.Title = "Trials under common conditions"
	s.Desc = "Diamonds are run times as seen. Bars are corrections of these by the calibrated model, not a measurement: the middle 90 % of what each would have been under the common conditions. One colour is one design."
	under := ""
	for i, x := range c.Common {
		if i > 0 {
			under += ", "
		}
		under += x.Path + " " + u.Restate(x.Value)
	}
	y := heading(s, s.Title, under)
	caption(s, drawBandRows(s, y+8, rows), s.Desc)
	return &Picture{s}, nil
}
