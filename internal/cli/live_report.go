package cli

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"time"

	"meltspan/internal/textpage"
	"meltspan/live"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/trial"
)

// liveAnswer is what a session of trial live came to.
type liveAnswer struct {
	Trial   int64        `json:"trial"`
	Name    string       `json:"name"`
	Source  string       `json:"source"`
	DryRun  bool         `json:"dry_run,omitempty"`
	Seconds float64      `json:"listened_s"`
	Kept    int          `json:"samples"`
	Unread  int          `json:"lines_not_read"`
	Losses  int          `json:"connections_lost"`
	Series  []liveSeries `json:"series"`
	Stalled *trial.Event `json:"stalled,omitempty"`
}

// liveSeries is a series of the trial, with what earlier sessions gave.
type liveSeries struct {
	Quantity trial.Quantity     `json:"quantity"`
	Place    string             `json:"place,omitempty"`
	Source   string             `json:"source"`
	Samples  int                `json:"samples"`
	Marked   map[trial.Mark]int `json:"marked,omitempty"`
	Gaps     int                `json:"gaps"`
	Last     float64            `json:"last"`
}

func (s *session) liveReport(in *live.Intake, status live.Status, took time.Duration, f *liveFlags) error {
	t, err := in.Notebook.Trial(context.WithoutCancel(s.ctx), in.Trial)
	if err != nil {
		return err
	}
	a := liveAnswer{Trial: in.Trial, Name: t.Name, Source: in.Source, DryRun: f.dry, Seconds: took.Seconds(),
		Kept: status.Kept, Unread: status.Bad, Losses: status.Losses, Stalled: status.Stalled}
	for i := range t.Series {
		x := &t.Series[i]
		marked := x.Marked()
		delete(marked, trial.Good)
		one := liveSeries{x.Quantity, x.Place, x.Source, len(x.Samples), marked, len(x.Gaps()), math.NaN()}
		if _, values := x.Good(); len(values) > 0 {
			one.Last = values[len(values)-1]
		}
		a.Series = append(a.Series, one)
	}
	if f.json {
		return report.JSON(s.out, &a)
	}
	fmt.Fprint(s.out, liveText(&a, &t, s.units))
	return nil
}

func liveText(a *liveAnswer, t *trial.Trial, u quantity.Display) string {
	var p textpage.Page
	listened := quantity.FormatDuration(a.Seconds)
	if a.DryRun {
		p.Paraf(0, 2, "Listened to %s for %s, and kept nothing.", a.Source, listened)
	} else {
		p.Paraf(0, 2, "%s: %d samples from %s in %s.", capital(trialLabel(a.Trial, t)), a.Kept, a.Source, listened)
	}
	if len(a.Series) > 0 {
		rows := [][]string{{"series", "samples", "marked", "gaps", "last"}}
		for _, x := range a.Series {
			name := string(x.Quantity)
			if x.Place != "" {
				name += ", " + x.Place
			}
			marked := 0
			for _, n := range x.Marked {
				marked += n
			}
			last := "none"
			if !math.IsNaN(x.Last) {
				last = reading(u, live.Value{Quantity: x.Quantity, SI: x.Last})
			}
			rows = append(rows, []string{name, strconv.Itoa(x.Samples), strconv.Itoa(marked), strconv.Itoa(x.Gaps), last})
		}
		p.Blank()
		p.Table("lrrrr", rows)
		p.Blank()
	}
	if a.Unread > 0 {
		p.Paraf(0, 2, "Lines not read: %d.", a.Unread)
	}
	if a.Losses > 0 {
		p.Paraf(0, 2, "The connection was lost %d times; the gaps are in the series.", a.Losses)
	}
	if e := a.Stalled; e != nil {
		p.Para(0, 2, stallWords(e))
	}
	return p.String()
}

func stallWords(e *trial.Event) string {
	return fmt.Sprintf("Stalled at %s +- %s after the start, by %s.", quantity.FormatDuration(e.Time),
		quantity.FormatDuration(math.Ceil(e.Uncertainty)), e.Source)
}

func capital(text string) string { return string(text[0]-'a'+'A') + text[1:] }
