package cli

import (
	"fmt"
	"io"
	"math"
	"strings"
	"sync"
	"time"

	"meltspan/quantity"
)

// progress shows how many runs of the model are done, on one line of a
// terminal, which it writes over.
type progress struct {
	w    io.Writer
	now  func() time.Time
	what string // is counted

	mutex       sync.Mutex
	start, next time.Time // start: of counting; zero before
	first, most int       // runs done: at the start, and now
	width       int       // of what the line shows
}

// Quick work shows nothing, and the line changes no faster than it is read.
const (
	progressAfter = 400 * time.Millisecond
	progressEvery = 200 * time.Millisecond
)

func newProgress(w io.Writer, now func() time.Time) *progress {
	return &progress{w: w, now: now, what: "run"}
}

// report may be called by several goroutines, in any order. The time left
// follows from the pace since the first call: what comes before the sampling
// would spoil it.
func (p *progress) report(done, of int) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	now := p.now()
	if p.start.IsZero() {
		p.start, p.next, p.first = now, now.Add(progressAfter), done
	}
	p.most = max(p.most, done)
	if now.Before(p.next) || p.most == p.first {
		return
	}
	p.next = now.Add(progressEvery)
	left := now.Sub(p.start).Seconds() / float64(p.most-p.first) * float64(of-p.most)
	p.show(fmt.Sprintf("%s %d of %d, about %s left", p.what, p.most, of, quantity.FormatDuration(math.Ceil(left))))
}

// clear takes the line away.
func (p *progress) clear() {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	if p.width > 0 {
		p.show("")
		io.WriteString(p.w, "\r")
	}
}

func (p *progress) show(text string) {
	io.WriteString(p.w, "\r"+text+strings.Repeat(" ", max(p.width-len(text), 0)))
	p.width = len(text)
}

// stages shows the progress of one stage of the work after the other, and what
// takes the line away. show may be called by several goroutines.
func (s *session) stages() (show func(stage string, done, of int), clear func()) {
	if s.quiet || !s.terminal {
		return func(string, int, int) {}, func() {}
	}
	var mutex sync.Mutex
	var now *progress
	stage := ""
	clear = func() {
		if now != nil {
			now.clear()
		}
	}
	show = func(what string, done, of int) {
		mutex.Lock()
		defer mutex.Unlock()
		if what != stage {
			clear()
			now, stage = newProgress(s.err, time.Now), what
			now.what = what
		}
		now.report(done, of)
	}
	return show, clear
}
