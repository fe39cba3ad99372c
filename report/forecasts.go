package report

import (
	"errors"
	"fmt"
	"io"

	"meltspan/calibrate"
	"meltspan/internal/textpage"
	"meltspan/quantity"
)

// ForecastsText writes how the forecasts of a trial went on while it ran, and
// when a question was decided.
func ForecastsText(w io.Writer, list []*calibrate.Forecast) error {
	if len(list) == 0 {
		return errors.New("report: text: no forecast was given")
	}
	p := &textpage.Page{CutLong: true}
	last := list[len(list)-1]
	p.Paraf(0, 2, "%s, as it was foretold while it ran (middle 90 %%).", last.Trial)
	head := []string{"after", "stall", "from", "to", "last ice"}
	align := "rrrrr"
	if last.Question != nil {
		head, align = append(head, "longer"), align+"r"
	}
	rows := [][]string{head}
	for _, f := range list {
		row := []string{quantity.FormatDuration(f.Now)}
		row = append(row, endCells(f)...)
		if f.Question != nil {
			row = append(row, probability(f.Question.Longer))
		}
		rows = append(rows, row)
	}
	p.Table(align, rows)
	if words := decidedWords(list); words != "" {
		p.Para(2, 2, words)
	}
	return writeText(w, p)
}

// endCells are median, ends and last ice of one forecast.
func endCells(f *calibrate.Forecast) []string {
	out := []string{absent, absent, absent, absent}
	switch {
	case f.Stalled:
		out[0], out[1], out[2] = quantity.FormatDuration(f.Stall.Median), "seen", ""
	case finite(f.Stall.Median):
		t := bandTimes(f.Stall.Median, f.Stall.Low, f.Stall.High)
		copy(out, t)
	}
	switch {
	case f.IceGone:
		out[3] = "gone"
	case finite(f.LastIce.Median):
		out[3] = bandTimes(f.LastIce.Median, f.LastIce.Low, f.LastIce.High)[0]
	}
	return out
}

// decidedWords says from when on a question stayed decided.
func decidedWords(list []*calibrate.Forecast) string {
	last := list[len(list)-1]
	if last.Question == nil {
		return ""
	}
	first, other := -1, -1
	for i, f := range list {
		q := f.Question
		if q.Decided && q.Verdict != last.Question.Verdict && other < 0 {
			other = i
		}
		switch {
		case !q.Decided || q.Verdict != last.Question.Verdict:
			first = -1
		case first < 0:
			first = i
		}
	}
	before := ""
	if other >= 0 {
		o := list[other]
		before = fmt.Sprintf(" Before, from %s, it had counted as decided the other way: %s, probability then %s.", quantity.FormatDuration(o.Now), o.Question.Verdict, probability(sureness(o.Question)))
	}
	if first < 0 {
		return fmt.Sprintf("Longer than %s? Not decided now.", last.Question.Than) + before
	}
	f := list[first]
	return fmt.Sprintf("Longer than %s? Decided from the forecast after %s on: %s (probability then %s).", f.Question.Than,
		quantity.FormatDuration(f.Now), f.Question.Verdict, probability(sureness(f.Question))) + before
}

// sureness is the probability of a verdict.
func sureness(q *calibrate.Question) float64 {
	if q.Verdict == "shorter" {
		return 1 - q.Longer
	}
	return q.Longer
}

// ForecastLine writes a forecast in one line or two.
func ForecastLine(w io.Writer, f *calibrate.Forecast) error {
	p := &textpage.Page{CutLong: true}
	c := endCells(f)
	text := fmt.Sprintf("%s: stall after %s [%s, %s], last ice after %s", quantity.FormatDuration(f.Now), c[0], c[1], c[2], c[3])
	if f.Stalled {
		text = fmt.Sprintf("%s: stalled after %s", quantity.FormatDuration(f.Now), c[0])
	}
	if f.IceGone {
		text += "; the ice is gone"
	}
	if q := f.Question; q != nil {
		text += fmt.Sprintf("; longer than %s: %s", q.Than, probability(q.Longer))
		if q.Decided {
			text += ", decided"
		}
	}
	p.Para(0, 2, text+".")
	return writeText(w, p)
}
