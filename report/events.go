package report

import (
	"fmt"
	"sort"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

// mark is an event as a chart shows it.
type mark struct {
	time float64
	text string
	x    float64
	row  int
}

// marks are the events above the panels, in rows; row 0 is the lowest.
type marks struct {
	list   []mark
	height float64
}

const rowHeight = 15.0

// chosenEvents reduces a run's events to one mark of each kind: the first
// time it happened, but for a stall the last time, since that one ends the
// run. Events outside the time shown, 0 to last seconds, are left out.
func chosenEvents(run *result.Run, last float64) []mark {
	seen := map[result.EventKind]int{} // index in out
	count := map[result.EventKind]int{}
	var out []mark
	var kinds []result.EventKind
	for _, e := range run.Events {
		if !(e.Time >= 0 && e.Time <= last) || e.Kind == result.LoadSet {
			continue
		}
		count[e.Kind]++
		text := string(e.Kind)
		if e.Kind == result.FirstSweat && e.Detail != "" {
			text += ", " + e.Detail
		}
		i, again := seen[e.Kind]
		switch {
		case !again:
			seen[e.Kind] = len(out)
			out = append(out, mark{time: e.Time, text: text})
			kinds = append(kinds, e.Kind)
		case e.Kind == result.Stalled:
			out[i].time = e.Time
		}
	}
	for i, kind := range kinds {
		if n := count[kind]; n > 1 && kind != result.FirstSweat {
			which := "first"
			if kind == result.Stalled {
				which = "last"
			}
			out[i].text += fmt.Sprintf(" (%s of %d)", which, n)
		}
		out[i].text = quantity.FormatDuration(out[i].time) + " " + out[i].text
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].time < out[b].time })
	return out
}

// placeEvents puts each label to the right of its event's line, in the lowest
// row in which it meets neither another label nor the line of a later event.
func placeEvents(list []mark, f frame, limit float64) marks {
	rows := 0
	for i := len(list) - 1; i >= 0; i-- {
		m := &list[i]
		m.x = f.x(m.time)
		m.text = sheet.Clip(m.text, limit-m.x-5, smallSize, false)
		end := m.x + 5 + sheet.TextWidth(m.text, smallSize, false) + 8
		for _, later := range list[i+1:] {
			if later.x < end {
				m.row = max(m.row, later.row+1)
			}
		}
		rows = max(rows, m.row+1)
	}
	return marks{list: list, height: float64(rows) * rowHeight}
}

// draw writes the labels above top and lines from them down to bottom.
func (m marks) draw(s *sheet.Sheet, top, bottom float64) {
	for _, e := range m.list {
		y := top - 6 - rowHeight*float64(e.row)
		s.Line(e.x, y-9, e.x, bottom, ink, 0.8, 3, 3)
		s.Write(sheet.Text{X: e.x + 5, Y: y, Size: smallSize, Colour: ink, Content: e.text})
	}
}
