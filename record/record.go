// Package record puts trials into a notebook and takes them out again to be
// shown, alike for the commands and for the page: what a user types of an
// event, a log with its place in the trial, the design kept beside it, and the
// view of it all.
//
// Mistakes of the user's come back as design.Problem.
package record

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"time"

	"meltspan/calibrate"
	"meltspan/design"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

// ByHand is the source of what a user typed.
const ByHand = "by hand"

// WatchSpread is the uncertainty of a time typed in without one, s: someone
// who looks up now and then sees a stall about so well (judgement).
const WatchSpread = 30.0

// Event reads an event that a user typed. Its time is one from setting on the
// load, or a moment where the trial's start, a Unix time, is known (else NaN);
// moments that state no zone are in the one given.
func Event(kind trial.EventKind, when string, start float64, zone *time.Location) (trial.Event, error) {
	e := trial.Event{Kind: kind, Source: ByHand, Uncertainty: WatchSpread}
	if v, err := quantity.Parse(when, quantity.Time); err == nil {
		if e.Time = v.SI; v.Spread > 0 {
			e.Uncertainty = v.Spread
		}
		return e, nil
	}
	at, ok := logfile.ParseMoment(when, zone)
	switch {
	case !ok:
		return e, design.Problem{What: fmt.Sprintf("the time of %q cannot be %.80q", kind, when), Right: `such as "6 h 40 min", "6 h 40 min +- 1 min", or "2026-01-31 20:22"`}
	case math.IsNaN(start):
		return e, design.Problem{What: fmt.Sprintf("%s at %.80q: when the load was set on is not known", kind, when), Right: `a time from setting on the load, such as "6 h 40 min", or the moment of setting it on as well`}
	}
	e.Time = at - start
	return e, nil
}

// AddEvent reads an event and keeps it with a trial of the notebook.
func AddEvent(ctx context.Context, n *notebook.Notebook, id int64, kind trial.EventKind, when, note string, zone *time.Location) (trial.Event, error) {
	head, err := n.Head(ctx, id)
	if err != nil {
		return trial.Event{}, err
	}
	e, err := Event(kind, when, head.Trial.Start, zone)
	if err != nil {
		return e, err
	}
	e.Note = note
	head.Trial.Events = append(head.Trial.Events, e)
	if err := head.Trial.Check(); err != nil {
		return e, design.Problem{What: err.Error(), Right: "times from setting on the load"}
	}
	return e, n.AddEvent(ctx, id, e)
}

// ZoneText is how a trial remembers its zone: as the user named it, else by
// the machine's offset at that moment, a Unix time.
func ZoneText(stated string, at float64) string {
	if stated != "" && !strings.EqualFold(stated, "local") {
		return stated
	}
	return time.Unix(int64(at), 0).Format("-07:00")
}

// Design is a design as it is to be kept: with the text that it was read from.
type Design struct {
	*design.Design
	File string
	Text []byte
	Open func(path string) ([]byte, error) // reads the room log beside it
}

// Create keeps a trial with its design, if there is one, and files. It returns
// the trial's number.
func Create(ctx context.Context, n *notebook.Notebook, d Design, t trial.Trial, files ...notebook.File) (int64, error) {
	if d.Design != nil {
		kept, err := n.SaveDesign(ctx, filepath.Base(d.File), d.Text, d.Open)
		if err != nil {
			return 0, err
		}
		t.Design, t.Revision = kept.Name, kept.Revision
	}
	return n.CreateTrial(ctx, t, files...)
}

// DesignOf reads a trial's design from the notebook; nil when it has none.
func DesignOf(ctx context.Context, n *notebook.Notebook, t *trial.Trial) (*design.Design, error) {
	if t.Revision == "" {
		return nil, nil
	}
	kept, err := n.Design(ctx, t.Revision)
	if err != nil {
		return nil, err
	}
	return kept.Parse()
}

// Case is a trial with its design, to be learned from.
func Case(ctx context.Context, n *notebook.Notebook, id int64) (calibrate.Case, error) {
	t, err := n.Trial(ctx, id)
	if err != nil {
		return calibrate.Case{}, err
	}
	d, err := DesignOf(ctx, n, &t)
	if err == nil && d == nil {
		err = design.Problem{What: fmt.Sprintf("trial %d, %s, has no design in the notebook, so nothing can be learned from it", id, t.Name),
			Right: "record or import it with its design, such as: meltspan trial import log.csv design.yaml"}
	}
	return calibrate.Case{Design: d, Trial: &t}, err
}
