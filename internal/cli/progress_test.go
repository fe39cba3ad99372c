package cli

import (
	"strings"
	"testing"
	"time"
)

// clock is a clock that a test moves.
type clock struct{ at time.Time }

func (c *clock) now() time.Time { return c.at }

func TestProgressShowsNothingOfQuickWork(t *testing.T) {
	t.Parallel()
	var out strings.Builder
	c := &clock{time.Unix(0, 0)}
	p := newProgress(&out, c.now)
	p.report(1, 2)
	p.report(2, 2)
	p.clear()
	if out.String() != "" {
		t.Errorf("%q", out.String())
	}
}

func TestProgressSaysTheTimeLeftAndCleansUp(t *testing.T) {
	t.Parallel()
	var out strings.Builder
	c := &clock{time.Unix(0, 0)}
	p := newProgress(&out, c.now)
	c.at = c.at.Add(time.Hour) // before the sampling: must not count
	p.report(10, 1000)
	c.at = c.at.Add(10 * time.Second)
	p.report(260, 1000) // 250 in 10 s: 740 more take 29.6 s
	p.report(261, 1000) // too soon to show
	p.clear()
	line := "run 260 of 1000, about 30 s left"
	if want := "\r" + line + "\r" + strings.Repeat(" ", len(line)) + "\r"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
}

func TestProgressNeverGoesBack(t *testing.T) {
	t.Parallel()
	var out strings.Builder
	c := &clock{time.Unix(0, 0)}
	p := newProgress(&out, c.now)
	for _, done := range []int{1, 500, 499} { // the last one late, from another goroutine
		c.at = c.at.Add(time.Second)
		p.report(done, 1000)
	}
	if n := strings.Count(out.String(), "run 500 of"); n != 2 {
		t.Errorf("%q", out.String())
	}
}
