package cli

import (
	"fmt"
	"io"
	"strings"
	"time"

	"meltspan/internal/textpage"
	"meltspan/live"
	"meltspan/quantity"
	"meltspan/trial"
)

// screen tells the user how things stand: sentences one below the other, and
// on a terminal a line beneath them that is written over.
type screen struct {
	s     *session
	line  string
	width int
}

func newScreen(s *session) *screen { return &screen{s: s} }

// tell writes a sentence, with the time of day.
func (c *screen) tell(text string) {
	if c.s.quiet {
		return
	}
	c.clear()
	var p textpage.Page
	p.Para(0, 9, time.Now().Format("15:04:05")+"  "+c.s.units.Restate(text))
	io.WriteString(c.s.err, p.String())
	c.put(c.line)
}

func (c *screen) show(status live.Status) {
	if c.s.quiet || !c.s.terminal {
		return
	}
	c.line = statusLine(status, c.s.units)
	c.put(c.line)
}

// put writes over the line. Characters count, not bytes.
func (c *screen) put(text string) {
	if !c.s.terminal {
		return
	}
	width := textpage.Columns(text)
	io.WriteString(c.s.err, "\r"+text+strings.Repeat(" ", max(c.width-width, 0)))
	c.width = width
}

func (c *screen) clear() {
	if c.width > 0 {
		c.put("")
		io.WriteString(c.s.err, "\r")
	}
}

// statusLine fits one line of a terminal: what matters most comes first.
func statusLine(status live.Status, u quantity.Display) string {
	var parts []string
	switch {
	case status.Waiting > 0:
		parts = append(parts, fmt.Sprintf("%d WAIT", status.Waiting))
	case status.Away:
		parts = append(parts, "AWAY")
	}
	parts = append(parts, age(status.Age), fmt.Sprintf("%.1f/s", status.Rate), fmt.Sprintf("%d kept", status.Kept))
	switch status.Losses {
	case 0:
	case 1:
		parts = append(parts, "1 gap")
	default:
		parts = append(parts, fmt.Sprintf("%d gaps", status.Losses))
	}
	if status.Bad > 0 {
		parts = append(parts, fmt.Sprintf("%d unread", status.Bad))
	}
	line := strings.Join(parts, ", ")
	for _, v := range status.Values {
		line += " | " + v.Name + " " + reading(u, v)
	}
	// One column stays free: at the last one, terminals break the line.
	return textpage.Cut(textpage.Plain(line), textpage.Width-1)
}

// reading is a value as people say it.
func reading(u quantity.Display, v live.Value) string {
	if v.Mark != trial.Good {
		return string(v.Mark)
	}
	digits := 3
	if v.Quantity == trial.Weight {
		digits = 5
	}
	return u.Format(v.SI, v.Quantity.Measures(), digits)
}
