package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/report"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

// text says how a log was read, what is in it, and what became of it.
func (a *imported) text(w io.Writer, u quantity.Display) error {
	p := &textpage.Page{CutLong: true}
	l, m := a.Log, &a.Log.Mapping
	p.Paraf(0, 2, "%d rows from line %d on; %s, parted by %s, decimal %s.", l.Rows, m.FirstLine, m.Encoding, m.Delimiter, m.Decimal)
	p.Heading("Time")
	p.Para(2, 2, timeText(&m.Time, l.Absolute))
	p.Heading("Columns")
	rows := [][]string{{"column", "first", "is", "unit", "place"}}
	for _, c := range m.Columns {
		row := []string{c.Name, c.First, string(c.Quantity), c.Unit, c.Place}
		if c.Quantity == "" {
			row[2], row[3], row[4] = "left out", "", ""
		}
		rows = append(rows, row)
	}
	p.Table("lrlll", rows)
	for _, c := range m.Columns {
		if c.Assumed != "" {
			p.Paraf(2, 2, "%s: %s.", c.Name, c.Assumed)
		}
	}
	report.SeriesText(p, u, a.series, a.Series)
	if l.Unread > 0 {
		p.Heading("Rows without a readable time")
		p.Paraf(2, 2, "%d of %d rows have no place in the series:", l.Unread, l.Rows)
		for _, u := range l.Examples {
			p.Paraf(4, 2, "line %d: %s", u.Line, quoted(textpage.Plain(u.Text)))
		}
		if l.Unread > len(l.Examples) {
			p.Para(4, 2, "...")
		}
	}
	p.Heading("Trial")
	start := quantity.FormatDuration(a.Start - l.First)
	switch {
	case l.Absolute:
		p.Paraf(2, 2, "The load was set on at %s: %s.", report.MomentText(a.Start, record.ZoneText(m.Time.Zone, a.Start)), a.Because)
	case a.Start < l.First:
		p.Paraf(2, 2, "The load was set on %s before the first row: %s.", quantity.FormatDuration(l.First-a.Start), a.Because)
	case start == "0 s":
		p.Paraf(2, 2, "The load was set on at the first row: %s.", a.Because)
	default:
		p.Paraf(2, 2, "The load was set on %s after the first row: %s.", start, a.Because)
	}
	p.Para(2, 2, a.outcomeText())
	if a.Trial == 0 {
		p.Para(2, 2, "A dry run: nothing was kept.")
	} else {
		p.Para(2, 2, keptText(a.Trial, a.Name, a.Notebook))
	}
	_, err := io.WriteString(w, p.String())
	return err
}

// timeText says in words how time is written.
func timeText(t *logfile.Time, absolute bool) string {
	var b strings.Builder
	switch {
	case t.Form == logfile.EveryRow:
		fmt.Fprintf(&b, "A row each %s", quantity.FormatDuration(t.Every))
	case len(t.Columns) == 2:
		fmt.Fprintf(&b, "Columns %s and %s, %s", quoted(t.Columns[0]), quoted(t.Columns[1]), t.Form)
	default:
		fmt.Fprintf(&b, "Column %s, %s", quoted(t.Columns[0]), t.Form)
	}
	if absolute && t.Form != logfile.EpochSeconds && t.Form != logfile.EpochMillis {
		zone := t.Zone
		if zone == "" {
			zone = "that of this machine"
		}
		fmt.Fprintf(&b, "; zone where none is stated: %s", zone)
	}
	if t.Assumed != "" {
		fmt.Fprintf(&b, " (%s)", t.Assumed)
	}
	return b.String() + "."
}

func (a *imported) outcomeText() string {
	var stall *trial.Event
	for i := range a.Found {
		if a.Found[i].Kind == trial.Stalled {
			stall = &a.Found[i]
		}
	}
	switch {
	case stall != nil:
		return fmt.Sprintf("It stalled after %s +- %s, by its %s.", quantity.FormatDuration(stall.Time), quantity.FormatDuration(math.Max(stall.Uncertainty, 1)), stall.Source)
	case a.Outcome == trial.HasStalled:
		return "Its stall was typed in by hand; what the log says of it was not kept."
	case a.Outcome == trial.Unknown:
		return "When it stalled is not told by this log."
	}
	return "By this log it " + strings.Replace(string(a.Outcome), "still running", "was still running", 1) + "."
}
