package record

import (
	"fmt"
	"math"

	"meltspan/design"
	"meltspan/notebook"
	"meltspan/report"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

// Placement is where a trial starts in a log, and the log's series counted
// from there.
type Placement struct {
	Start   float64 // as the log counts, s
	Because string
	Series  []trial.Series
}

// longestBefore is how long before its log's first row a trial can have
// started, s: a month.
const longestBefore = 30 * 86400

// Place finds a trial's start in its log: so many seconds after the first row,
// or after the log's own nought (NaN: nothing says so), else as the trial says,
// else the log's nought or first row. A trial that knows no start learns it from
// a log with dates; zone is the one that the user named, if any.
func Place(l *logfile.Log, t *trial.Trial, after float64, zone string) (Placement, error) {
	var p Placement
	stated := !math.IsNaN(after)
	switch counted := !l.Absolute && l.Mapping.Time.Form != logfile.TimeOfDay; {
	case counted && stated:
		p.Start, p.Because = after, "as --start-after says"
	case counted:
		p.Start, p.Because = 0, "the log counts from there"
	case stated:
		p.Start, p.Because = l.First+after, "as --start-after says"
	case l.Absolute && !math.IsNaN(t.Start):
		p.Start, p.Because = t.Start, "as the trial says"
	default:
		p.Start, p.Because = l.First, "the first row, since nothing says otherwise"
	}
	if l.Absolute {
		if math.IsNaN(t.Start) {
			t.Start, t.Zone = p.Start, ZoneText(zone, p.Start)
		} else if stated && t.Start != p.Start {
			return p, design.Problem{What: "the trial starts at " + report.MomentText(t.Start, t.Zone) + " already", Right: `"meltspan trial change --start" first, or no --start-after`}
		}
		if p.Start > l.Last || p.Start < l.First-longestBefore {
			return p, design.Problem{What: fmt.Sprintf("the trial's start, %s, lies outside of the log, which goes from %s to %s",
				report.MomentText(p.Start, t.Zone), report.MomentText(l.First, t.Zone), report.MomentText(l.Last, t.Zone)),
				Right: "the moment at which the load was set on, and the zone of the log's times"}
		}
	}
	p.Series = l.Since(p.Start)
	return p, nil
}

// Detect looks in a trial's series for start and stall, with what its design
// says of the load (nil: nothing). It returns what it found but for what the
// user typed.
func Detect(t *trial.Trial, d *design.Design) (trial.Outcome, []trial.Event, error) {
	if t.Kind != trial.Run {
		return trial.Unknown, nil, nil
	}
	var known trial.Stalling
	if d != nil {
		arranged, err := t.Arranged(d)
		if err != nil {
			return trial.Unknown, nil, err
		}
		known = trial.StallingOf(arranged)
	}
	detection := t.Detect(known)
	var found []trial.Event
	for _, e := range []*trial.Event{detection.Start, detection.Stall} {
		if e != nil && e.Time >= 0 && !typed(t, e.Kind) {
			found = append(found, *e)
		}
	}
	return detection.Outcome, found, nil
}

// typed reports whether a user typed in an event of a kind.
func typed(t *trial.Trial, kind trial.EventKind) bool {
	for _, e := range t.Events {
		if e.Kind == kind && e.Source == ByHand {
			return true
		}
	}
	return false
}

// MostKeptLog bounds the logs that are kept as files beside their series, bytes.
const MostKeptLog = 64 << 20

// LogFile is a log as an attachment, under a name that is free among those that
// are attached; none when it is too large to be kept.
func LogFile(attached []notebook.Attachment, name string, data []byte) []notebook.File {
	if len(data) > MostKeptLog {
		return nil
	}
	free := name
	for i := 2; ; i++ {
		taken := false
		for _, a := range attached {
			taken = taken || a.Name == free
		}
		if !taken {
			return []notebook.File{{Attachment: notebook.Attachment{Name: free, Time: math.NaN(), Note: "the log as imported"}, Data: data}}
		}
		free = fmt.Sprintf("%d-%s", i, name)
	}
}
