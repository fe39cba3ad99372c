package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/trial"
)

// TrialText writes a trial for people at a terminal.
func TrialText(w io.Writer, u quantity.Display, v *TrialView) error {
	p := &textpage.Page{CutLong: true}
	t := &v.Trial
	p.Para(0, 2, v.Title())
	rows := [][]string{{"kind", string(t.Kind)}}
	if t.Design != "" || t.Revision != "" {
		rows = append(rows, []string{"design", nameOf(t.Design, t.Revision)})
	}
	rows = append(rows, []string{"start", MomentText(t.Start, t.Zone)}, []string{"run time", v.RunTimeText()})
	if t.Note != "" {
		rows = append(rows, []string{"note", t.Note})
	}
	p.Explain(rows)
	if len(t.Settings) > 0 {
		p.Heading("As it was in this trial")
		var rows [][]string
		for _, s := range t.Settings {
			rows = append(rows, []string{s.Path, u.Restate(s.Value)})
		}
		p.Explain(rows)
	}
	if len(t.Events) > 0 {
		p.Heading("Events, from setting on the load")
		var rows [][]string
		for _, e := range t.Events {
			text := eventTime(&e)
			if e.Source != "" {
				text += ", by " + strings.TrimPrefix(e.Source, "by ")
			}
			if e.Note != "" {
				text += ": " + u.Restate(e.Note)
			}
			rows = append(rows, []string{string(e.Kind), text})
		}
		p.Explain(rows)
	}
	SeriesText(p, u, t.Series, v.Series)
	if len(v.Attachments) > 0 {
		p.Heading("Attached")
		var rows [][]string
		for _, a := range v.Attachments {
			about := a.Note
			if !math.IsNaN(a.Time) {
				about = strings.TrimSuffix("after "+quantity.FormatDuration(a.Time)+": "+about, ": ")
			}
			rows = append(rows, []string{a.Name, bytesText(a.Bytes), about})
		}
		p.Table("lrl", rows)
	}
	v.predictionText(p, u)
	return writeText(w, p)
}

// Title is how the trial is called.
func (v *TrialView) Title() string {
	if v.Trial.Name == "" || v.Trial.Name == fmt.Sprintf("trial %d", v.Number) {
		return fmt.Sprintf("Trial %d", v.Number)
	}
	return fmt.Sprintf("Trial %d, %s", v.Number, v.Trial.Name)
}

// bytesText is a size of a file.
func bytesText(n int64) string {
	switch {
	case n < 1000:
		return fmt.Sprintf("%d B", n)
	case n < 1000000:
		return fmt.Sprintf("%.0f kB", float64(n)/1e3)
	}
	return fmt.Sprintf("%.1f MB", float64(n)/1e6)
}

// eventTime is when an event was, with its uncertainty.
func eventTime(e *trial.Event) string {
	text := quantity.FormatDuration(e.Time)
	if e.Uncertainty > 0 {
		text += " +- " + quantity.FormatDuration(max(e.Uncertainty, 1))
	}
	return text
}

// RunTimeText is how long the load ran, with its uncertainty.
func (v *TrialView) RunTimeText() string {
	seconds, uncertainty, open := v.RunTime()
	switch {
	case math.IsNaN(seconds):
		return "not known"
	case open:
		return "at least " + quantity.FormatDuration(seconds) + ", when it was stopped by hand"
	}
	return eventTime(&trial.Event{Time: seconds, Uncertainty: uncertainty})
}

// RatioText is the run time as a multiple of what the network predicts for the
// trial.
func (v *TrialView) RatioText() string {
	seconds, _, open := v.RunTime()
	if v.Prediction == nil || open || !(v.Prediction.RunTime > 0) || !(seconds > 0) {
		return absent
	}
	return ratioText(seconds / v.Prediction.RunTime)
}

// MomentText is a Unix time in a zone: that of the trial, an offset or a
// name; UTC when the zone is not known here.
func MomentText(unix float64, zone string) string {
	if math.IsNaN(unix) {
		return "not known"
	}
	whole, part := math.Modf(unix)
	at := time.Unix(int64(whole), int64(part*1e9)).UTC()
	if place, err := time.LoadLocation(zone); err == nil && zone != "" {
		at = at.In(place)
	} else if offset, err := time.Parse("-07:00", zone); err == nil {
		at = at.In(offset.Location())
	}
	return at.Format("2006-01-02 15:04:05 -07:00")
}

// SeriesText lists series, and what is doubtful in them.
func SeriesText(p *textpage.Page, u quantity.Display, series []trial.Series, views []SeriesView) {
	if len(series) == 0 {
		return
	}
	p.Heading("Series")
	rows := [][]string{{"", "readings", "doubtful", "gaps", "every", "from", "mean", "to"}}
	for i, v := range views {
		q := series[i].Quantity
		show := func(x float64) string {
			return orAbsent(x, func(x float64) string { return u.FormatIn(x, q.Measures(), shownUnit(q), 3) })
		}
		rows = append(rows, []string{v.Name, fmt.Sprint(v.Samples), fmt.Sprint(v.Samples - v.Good), fmt.Sprint(len(v.Gaps)), orAbsent(v.Interval, quantity.FormatDuration), show(v.Low), show(v.Mean), show(v.High)})
	}
	p.Table("lrrrrrrr", rows)
	marked := false
	for _, v := range views {
		for _, m := range v.Marked {
			p.Paraf(2, 2, "%s: %s, %s.", v.Name, counted(m.Samples, "reading"), markWords[m.Mark])
			marked = true
		}
		for i, g := range v.Gaps {
			if i == shownGaps {
				p.Paraf(2, 2, "%s: and %s more.", v.Name, counted(len(v.Gaps)-i, "gap"))
				break
			}
			p.Paraf(2, 2, "%s: no good reading from %s to %s.", v.Name, quantity.FormatDuration(g.From), quantity.FormatDuration(g.To))
		}
	}
	if marked {
		p.Para(2, 2, "Doubtful readings are kept with their mark, and left out of all that is worked out.")
	}
}

// shownGaps is how many gaps of a series are listed.
const shownGaps = 3

var markWords = map[trial.Mark]string{
	trial.Fault:      "of a failing sensor",
	trial.Missing:    "missing or not a number",
	trial.Repeated:   "at a time that was there already",
	trial.Disordered: "out of order in time",
	trial.Excluded:   "excluded by hand",
}

func (v *TrialView) predictionText(p *textpage.Page, u quantity.Display) {
	if v.Prediction == nil {
		if v.Unpredicted != "" {
			p.Heading("Prediction")
			p.Para(2, 2, "There is none: "+u.Restate(v.Unpredicted)+".")
		}
		return
	}
	p.Heading("Prediction for this trial")
	p.Paraf(2, 2, "With its settings, in its room where that was logged, and all else nominal, the network %s.", headline(v.Prediction))
	if ratio := v.RatioText(); ratio != absent {
		p.Paraf(2, 2, "The trial ran %s times as long.", ratio)
	}
	p.Para(2, 2, `That is one course, not a band: "meltspan predict" gives the band.`)
}
