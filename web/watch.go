package web

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"meltspan/calibrate"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/trial"
)

// watches follow running trials, each once for all who watch it.
type watches struct {
	s      *Server
	ctx    context.Context
	cancel context.CancelFunc
	wait   sync.WaitGroup
	mu     sync.Mutex
	list   map[string]*watch
}

func newWatches(s *Server) *watches {
	ctx, cancel := context.WithCancel(context.Background())
	return &watches{s: s, ctx: ctx, cancel: cancel, list: map[string]*watch{}}
}

func (ws *watches) stop() {
	ws.cancel()
	ws.wait.Wait()
}

// watch follows one trial. What happened is a log that only grows at its end:
// each watcher reads it from where it stands, so none misses an event because
// it was slow, or away for a while.
type watch struct {
	key     string
	trial   int64
	learned *calibrate.Posterior // nil: the design's own uncertainties
	kept    string               // its number in the notebook
	name    string               // of this log, before the numbers of its events
	cancel  context.CancelFunc

	mu        sync.Mutex
	changed   chan struct{}
	first     int // number of log[0]
	log       []happening
	watchers  int
	forecasts []*calibrate.Forecast
	updates   int // made since this watch began
}

type happening struct {
	kind string
	data json.RawMessage
	show func(u quantity.Display) (any, error) // in place of data, for what is worded in a reader's units
}

// in is what a reader is told of it.
func (h *happening) in(u quantity.Display) (any, error) {
	if h.show != nil {
		return h.show(u)
	}
	return h.data, nil
}

// mostHappenings bounds the log; a watcher that comes back after more than
// that is told to look at the whole anew.
const mostHappenings = 8192

// mostForecasts bounds the forecasts that are drawn.
const mostForecasts = 400

// join finds the watch of a trial or begins one.
func (ws *watches) join(id int64, learnedBy string, learned *calibrate.Posterior) (*watch, error) {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	if ws.ctx.Err() != nil {
		return nil, &Problem{Status: http.StatusServiceUnavailable, Title: "Stopping", Detail: "The program is being stopped."}
	}
	key := fmt.Sprintf("%d %s", id, learnedBy)
	w := ws.list[key]
	if w == nil {
		ctx, cancel := context.WithCancel(ws.ctx)
		w = &watch{key: key, trial: id, learned: learned, kept: learnedBy, name: rand.Text()[:8], cancel: cancel, changed: make(chan struct{})}
		ws.list[key] = w
		ws.wait.Go(func() { w.read(ctx, ws.s) })
		ws.wait.Go(func() { w.foretell(ctx, ws.s) })
	}
	w.watchers++
	return w, nil
}

// lingering is how long a watch goes on without watchers: a page that loads
// again finds it.
const lingering = 30 * time.Second

func (ws *watches) leave(w *watch) {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	if w.watchers--; w.watchers > 0 {
		return
	}
	time.AfterFunc(lingering, func() {
		ws.mu.Lock()
		defer ws.mu.Unlock()
		if w.watchers == 0 && ws.list[w.key] == w {
			delete(ws.list, w.key)
			w.cancel()
		}
	})
}

// add puts an event at the end of the log.
func (w *watch) add(kind string, v any) {
	var b bytes.Buffer
	if err := report.JSON(&b, v); err != nil {
		return
	}
	w.keep(happening{kind: kind, data: b.Bytes()})
}

func (w *watch) keep(h happening) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.log = append(w.log, h)
	if extra := len(w.log) - mostHappenings; extra > mostHappenings/4 {
		w.log, w.first = append([]happening(nil), w.log[extra:]...), w.first+extra
	}
	close(w.changed)
	w.changed = make(chan struct{})
}

// since are the events from a number on; whole is false when some of them are
// no longer kept.
func (w *watch) since(next int) (events []happening, from int, changed <-chan struct{}, whole bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	whole = next >= w.first && next <= w.first+len(w.log)
	if !whole {
		next = w.first
	}
	return w.log[next-w.first:], next, w.changed, whole
}

// news is what came into a series since the last look.
type news struct {
	Name    string       `json:"name"`
	Unit    string       `json:"kind"`
	From    int          `json:"from"`  // number of the first of Samples
	Count   int          `json:"count"` // of all samples
	Samples [][2]float64 `json:"samples,omitempty"`
	Last    [2]float64   `json:"last"` // time, value
}

// mostTold bounds the samples told one by one in an event; of more, only the
// last are.
const mostTold = 200

// read looks for new readings and events of the trial again and again.
func (w *watch) read(ctx context.Context, s *Server) {
	seen, events, troubled := map[int64]int{}, -1, ""
	for {
		err := w.look(ctx, s, seen, &events)
		switch {
		case ctx.Err() != nil:
			return
		case err != nil && err.Error() != troubled:
			troubled = err.Error()
			w.add("trouble", problemOf(err))
		case err == nil:
			troubled = ""
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(s.o.Poll):
		}
	}
}

func (w *watch) look(ctx context.Context, s *Server, seen map[int64]int, events *int) error {
	n, err := s.existing(ctx)
	if err != nil {
		return err
	}
	head, err := n.Head(ctx, w.trial)
	if err != nil {
		return err
	}
	if len(head.Trial.Events) != *events {
		*events = len(head.Trial.Events)
		w.add("trial", listing(&head))
	}
	var all []news
	for i, extent := range head.Series {
		if extent.Samples <= seen[extent.ID] {
			continue
		}
		one, err := fresh(ctx, n, extent, &head.Trial.Series[i], seen[extent.ID])
		if err != nil {
			return err
		}
		seen[extent.ID] = one.Count
		all = append(all, one)
	}
	if len(all) > 0 {
		w.add("readings", all)
	}
	return nil
}

func fresh(ctx context.Context, n *notebook.Notebook, extent notebook.Extent, series *trial.Series, from int) (news, error) {
	samples, err := n.Samples(ctx, extent.ID, max(from, extent.Samples-mostTold))
	if err != nil {
		return news{}, err
	}
	out := news{Name: string(series.Quantity), Unit: string(series.Quantity.Measures()), From: max(from, extent.Samples-mostTold)}
	if series.Place != "" {
		out.Name += ", " + series.Place
	}
	out.Count = out.From + len(samples)
	for _, x := range samples {
		out.Samples = append(out.Samples, [2]float64{x.Time, x.Value})
		out.Last = [2]float64{x.Time, x.Value}
	}
	return out, nil
}

// watchTrial streams readings, events and forecasts of a trial. Each event has a
// number; who comes back with the last one (Last-Event-ID) gets what followed.
func (s *Server) watchTrial(w http.ResponseWriter, r *http.Request) error {
	n, id, err := s.trialOf(r)
	if err != nil {
		return err
	}
	if _, err := n.Head(r.Context(), id); err != nil {
		return err
	}
	u, err := unitsOf(r)
	if err != nil {
		return err
	}
	followed, err := s.joined(r, id)
	if err != nil {
		return err
	}
	defer s.watches.leave(followed)
	next := 0
	if name, at, ok := strings.Cut(r.Header.Get("Last-Event-ID"), "-"); ok && name == followed.name {
		if k, err := strconv.Atoi(at); err == nil && k >= 0 && k < math.MaxInt32 {
			next = k + 1
		}
	}
	out := newStream(w)
	for {
		events, from, changed, whole := followed.since(next)
		if !whole {
			if out.send("", "again", map[string]int{"from": from}) != nil {
				return nil
			}
		}
		for i, e := range events {
			data, err := e.in(u)
			if err != nil {
				e.kind, data = "trouble", problemOf(err)
			}
			if out.send(fmt.Sprintf("%s-%d", followed.name, from+i), e.kind, data) != nil {
				return nil // whoever went away needs no answer
			}
		}
		next = from + len(events)
		if !out.wait(r.Context(), changed, s.watches.ctx.Done()) {
			return nil
		}
	}
}

// joined finds the watch that a request means. With learned=latest, the forecast
// begins from what the latest calibration says instead of the design alone.
func (s *Server) joined(r *http.Request, id int64) (*watch, error) {
	switch r.URL.Query().Get("learned") {
	case "":
		return s.watches.join(id, "", nil)
	case "latest":
		p, number, err := s.latest(r.Context(), id)
		if err != nil {
			return nil, err
		}
		return s.watches.join(id, fmt.Sprint(number), p)
	}
	return nil, bad("latest, or nothing", "There is no such calibration.")
}

// forecastPicture draws how the forecast went so far.
func (s *Server) forecastPicture(w http.ResponseWriter, r *http.Request) error {
	id, err := number(r)
	if err != nil {
		return err
	}
	followed, err := s.joined(r, id)
	if err != nil {
		return err
	}
	defer s.watches.leave(followed)
	followed.mu.Lock()
	list := append([]*calibrate.Forecast(nil), followed.forecasts...)
	followed.mu.Unlock()
	if len(list) < 2 {
		return missing("There is one forecast at most so far: no course to draw.")
	}
	p, err := report.ForecastPicture(list)
	if err != nil {
		return err
	}
	svg, err := p.SVG()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Write(svg)
	return nil
}
