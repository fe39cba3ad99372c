package live

import (
	"io"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// However a stream is cut into reads, the same lines come out.
func TestLinesDoNotDependOnHowTheStreamIsCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-z=0-9. ]{0,6}(\n|\r\n|\r)){0,8}[a-z]{0,3}`).Draw(t, "text")
		lines := func(cut func(left int) int) string {
			var out []string
			s := newSplitter(NewClock(), true, func(m Message) { out = append(out, m.Text) })
			for at := 0; at < len(text); {
				n := cut(len(text) - at)
				s.add([]byte(text[at : at+n]))
				at += n
			}
			return strings.Join(out, "|")
		}
		whole := lines(func(left int) int { return left })
		cut := lines(func(left int) int { return rapid.IntRange(1, left).Draw(t, "cut") })
		if whole != cut {
			t.Fatalf("%q: %q in one piece, %q in several", text, whole, cut)
		}
	})
}

func TestHeaderOrObjectAtTheStartIsNoTail(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"21.5\n3.25\n", "3.25"},
		{"bottom,top\n1,2\n", "bottom,top|1,2"},
		{"{\"t\":1}\n{\"t\":2}\n", `{"t":1}|{"t":2}`},
		{"# hello\n1\n", "# hello|1"},
		{":1}\n{\"t\":2}\n", `{"t":2}`},
	} {
		var out []string
		newSplitter(NewClock(), false, func(m Message) { out = append(out, m.Text) }).add([]byte(c.text))
		if got := strings.Join(out, "|"); got != c.want {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}

func TestLineWithoutEndIsBounded(t *testing.T) {
	longest := 0
	s := newSplitter(NewClock(), true, func(m Message) { longest = max(longest, len(m.Text)) })
	for range 100 {
		s.add([]byte(strings.Repeat("x", 1000)))
	}
	s.add([]byte("\n"))
	if longest != longestLine {
		t.Errorf("%d bytes kept, want %d", longest, longestLine)
	}
}

func TestReaderGivesAllLinesAndEnds(t *testing.T) {
	h := newHeard()
	r := &Reader{Label: "standard input", From: strings.NewReader("a=1\nb=2\nc=3"), Clock: NewClock()}
	if err := Listen(t.Context(), r, SerialWait, false, h.hear, h.tell); err != nil || h.texts() != "a=1|b=2|c=3" {
		t.Errorf("%q, %v", h.texts(), err)
	}
}

// A reader that waits for ever does not keep the program from ending.
func TestReaderEndsWithItsContext(t *testing.T) {
	from, to := io.Pipe()
	h := listening(t, &Reader{Label: "pipe", From: from, Clock: NewClock()})
	h.until(t, "the connection", func() bool { return len(h.changes) == 1 })
	t.Cleanup(func() { to.Close() }) // runs first: the routine that reads must end too
}

func TestClockGoesOnWhenTheComputersIsSet(t *testing.T) {
	wall, pace := 1000.0, 50.0
	c := newClock(func() float64 { return wall }, func() float64 { return pace })
	step := func(by, and float64) { wall, pace = wall+by+and, pace+by }
	step(10, 0)
	if c.Now() != 1010 || c.Shift() != 0 {
		t.Errorf("%g s, shift %g s", c.Now(), c.Shift())
	}
	step(10, -3600) // set back by an hour
	if now, by := c.Now(), c.Shift(); now != 1020 || by != -3600 || c.Shift() != 0 {
		t.Errorf("%g s, shift %g s; want 1020 and -3600, told once", now, by)
	}
	if c := NewClock(); c.Now() < 1.7e9 || c.Shift() != 0 {
		t.Errorf("the computer's clock gives %g s", c.Now())
	}
}
