package web

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"meltspan/design"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/trial"
)

// running makes a notebook with a trial of the demo that has begun.
func running(t *testing.T, folder string) (*notebook.Notebook, int64, int64) {
	t.Helper()
	n, err := notebook.Open(t.Context(), filepath.Join(folder, "trials.notebook"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { n.Close() })
	kept, err := n.SaveDesign(t.Context(), "demo.yaml", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	id, err := n.CreateTrial(t.Context(), trial.Trial{Name: "live", Kind: trial.Run, Design: kept.Name, Revision: kept.Revision, Start: math.NaN(),
		Events: []trial.Event{{Kind: trial.LoadSet, Source: record.ByHand}}})
	if err != nil {
		t.Fatal(err)
	}
	series, err := n.OpenSeries(t.Context(), id, trial.Series{Quantity: trial.BottomPlate, Source: "invented", Uncertainty: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	return n, id, series
}

// listener is one who watches a trial: it counts the samples it is told of, and
// comes back where it was when its connection is cut.
type listener struct {
	samples, events, cuts int
	last                  string
}

// listen reads the stream until all samples have come. From time to time it
// hangs up and comes back with the number of the last event it had.
func (l *listener) listen(ctx context.Context, address string, want, cutAfter int) error {
	for l.samples < want {
		if err := l.once(ctx, address, want, cutAfter); err != nil {
			return err
		}
		l.cuts++
	}
	return nil
}

func (l *listener) once(ctx context.Context, address string, want, cutAfter int) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, "GET", address, nil)
	if err != nil {
		return err
	}
	if l.last != "" {
		r.Header.Set("Last-Event-ID", l.last)
	}
	a, err := http.DefaultClient.Do(r)
	if err != nil {
		return err
	}
	defer a.Body.Close()
	if a.StatusCode != http.StatusOK {
		return fmt.Errorf("status %d", a.StatusCode)
	}
	lines := bufio.NewScanner(a.Body)
	lines.Buffer(nil, 8<<20)
	var id, kind string
	var data strings.Builder
	seen := 0
	for lines.Scan() {
		field, value, _ := strings.Cut(lines.Text(), ": ")
		switch field {
		case "id":
			id = value
		case "event":
			kind = value
		case "data":
			data.WriteString(value)
		case "":
			if kind == "again" {
				return fmt.Errorf("events were lost")
			}
			if kind == "readings" {
				if err := l.count(data.String()); err != nil {
					return err
				}
			}
			l.last, l.events = id, l.events+1
			data.Reset()
			if seen++; seen == cutAfter || l.samples >= want {
				return nil
			}
		}
	}
	return lines.Err()
}

// count checks that the samples go on where the last ones ended.
func (l *listener) count(data string) error {
	var all []news
	if err := json.Unmarshal([]byte(data), &all); err != nil {
		return err
	}
	for _, s := range all {
		if s.From != l.samples {
			return fmt.Errorf("samples go on from %d, and %d were told of", s.From, l.samples)
		}
		for i, x := range s.Samples {
			if int(x[0]) != s.From+i {
				return fmt.Errorf("sample %d has the time %v", s.From+i, x[0])
			}
		}
		l.samples = s.Count
	}
	return nil
}

// Fifty clients watch one live trial, and cut their connections now and then; none
// loses an event.
func TestFiftyWatchers(t *testing.T) {
	const clients, pause = 50, 10 * time.Millisecond
	length := 2 * time.Second
	if text := os.Getenv("MELTSPAN_WATCH"); text != "" { // such as 1m
		var err error
		if length, err = time.ParseDuration(text); err != nil {
			t.Fatal(err)
		}
	}
	samples := int(length / pause)
	folder := t.TempDir()
	n, id, series := running(t, folder)
	address := served(t, Options{Folder: folder, Poll: 5 * time.Millisecond, Forecast: time.Hour}) + fmt.Sprintf("api/trials/%d/watch", id)
	ctx, cancel := context.WithTimeout(t.Context(), length+time.Minute)
	defer cancel()
	var wait sync.WaitGroup
	listeners := make([]listener, clients)
	for i := range listeners {
		wait.Go(func() {
			if err := listeners[i].listen(ctx, address, samples, 10+i); err != nil {
				t.Errorf("client %d, %d of %d samples: %v", i, listeners[i].samples, samples, err)
			}
		})
	}
	for i := range samples {
		if err := n.Append(ctx, series, trial.Sample{Time: float64(i), Value: 290}); err != nil {
			t.Fatal(err)
		}
		time.Sleep(pause)
	}
	wait.Wait()
	cuts := 0
	for _, l := range listeners {
		cuts += l.cuts
	}
	t.Logf("%d samples to each of %d clients; %d connections in all", samples, clients, cuts)
	if cuts <= clients {
		t.Errorf("only %d connections, so nothing was shown of coming back", cuts)
	}
}

// A running trial is foretold from its log, and again as readings come in.
func TestLiveForecast(t *testing.T) {
	folder := t.TempDir()
	n, id, series := running(t, folder)
	for i := range 60 {
		if err := n.Append(t.Context(), series, trial.Sample{Time: float64(60 * i), Value: 285.2}); err != nil {
			t.Fatal(err)
		}
	}
	d := newDesk(t, Options{Folder: folder, Poll: 10 * time.Millisecond, Forecast: 20 * time.Millisecond})
	w, err := d.watches.join(id, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	defer d.watches.leave(w)
	forecasts := func(want int) {
		t.Helper()
		deadline := time.Now().Add(60 * time.Second)
		for {
			w.mu.Lock()
			count := len(w.forecasts)
			w.mu.Unlock()
			if count >= want {
				return
			}
			if time.Now().After(deadline) {
				events, _, _, _ := w.since(0)
				for _, e := range events {
					t.Logf("%s %.200s", e.kind, e.data)
				}
				t.Fatalf("%d forecasts, want %d", count, want)
			}
			time.Sleep(10 * time.Millisecond)
		}
	}
	forecasts(1)
	if err := n.Append(t.Context(), series, trial.Sample{Time: 3700, Value: 285.3}); err != nil {
		t.Fatal(err)
	}
	forecasts(2)
	w.mu.Lock()
	first, second := w.forecasts[0], w.forecasts[1]
	w.mu.Unlock()
	if first.Now != 3540 || second.Now != 3700 || !(second.Stall.Low <= second.Stall.Median && second.Stall.Median <= second.Stall.High) {
		t.Errorf("forecasts at %v and %v: %+v", first.Now, second.Now, second.Stall)
	}
	picture := fmt.Sprintf("/api/trials/%d/forecast.svg", id)
	drawn := d.send(d.request("GET", picture, nil))
	if drawn.Code != 200 || !strings.Contains(drawn.Body.String(), "<svg") {
		t.Errorf("picture: status %d", drawn.Code)
	}

	// Each was kept. A server that is started anew tells the last one at once, and
	// draws the same course.
	if list := d.resultList(); len(list) != 1 || list[0].Kind != notebook.Forecast || list[0].Updates != 2 || !slices.Equal(list[0].Trials, []int64{id}) {
		t.Errorf("%+v", list)
	}
	var shown finished
	d.ask("GET", "/api/results/2", nil, 200, &shown)
	if !strings.Contains(shown.Text, "Stall: after") {
		t.Errorf("%.300s", shown.Text)
	}
	if err := d.Close(); err != nil {
		t.Fatal(err)
	}
	again := newDesk(t, Options{Folder: folder, Poll: 10 * time.Millisecond, Forecast: time.Hour})
	followed, err := again.watches.join(id, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	defer again.watches.leave(followed)
	for told := false; !told; {
		events, _, changed, _ := followed.since(0)
		for _, e := range events {
			if e.kind != "forecast" {
				continue
			}
			told = true
			other, err := quantity.ParseDisplay("degF,in")
			if err != nil {
				t.Fatal(err)
			}
			said, err := e.in(other)
			if words := fmt.Sprint(said); err != nil || !strings.Contains(words, "--units degF,in") || !strings.Contains(words, "Stall: after") {
				t.Errorf("%v, %s", err, words)
			} else {
				own(t, "forecast of before", words)
			}
		}
		if !told {
			<-changed
		}
	}
	if a := again.send(again.request("GET", picture, nil)); a.Body.String() != drawn.Body.String() {
		t.Errorf("the course is drawn otherwise: status %d", a.Code)
	}
}
