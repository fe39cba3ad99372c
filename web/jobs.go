package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"
	"slices"
	"strconv"
	"sync"
	"time"

	"meltspan/quantity"
)

// job is work that takes longer than a request should: it runs on when the
// page looks elsewhere, tells how far it is, and can be ended.
type job struct {
	ID     string
	order  order
	begun  time.Time
	cancel context.CancelFunc

	mu      sync.Mutex
	changed chan struct{} // closed at each change, and made anew
	stage   string
	done    int
	of      int
	over    bool
	result  *finished
	failed  *Problem
	moved   time.Time // last told
}

// Limits of jobs. Their results stay in memory; the notebook, where there is one,
// keeps them beyond that.
const (
	mostJobs     = 24 // kept, finished ones included
	mostRunning  = 4
	progressWait = 100 * time.Millisecond // between two told of
)

type jobs struct {
	mu     sync.Mutex
	ctx    context.Context
	cancel context.CancelFunc
	wait   sync.WaitGroup
	list   []*job // oldest first
	last   int
}

func newJobs() *jobs {
	ctx, cancel := context.WithCancel(context.Background())
	return &jobs{ctx: ctx, cancel: cancel}
}

// stop ends all jobs and waits for them.
func (js *jobs) stop() {
	js.cancel()
	js.wait.Wait()
}

// start begins a job. Those that were finished first make room.
func (js *jobs) start(in order, work func(ctx context.Context, tell func(stage string, done, of int)) (*finished, error)) (*job, error) {
	js.mu.Lock()
	defer js.mu.Unlock()
	if js.ctx.Err() != nil {
		return nil, &Problem{Status: http.StatusServiceUnavailable, Title: "Stopping", Detail: "The program is being stopped."}
	}
	running := 0
	for _, j := range js.list {
		if !j.ended() {
			running++
		}
	}
	if running >= mostRunning {
		return nil, &Problem{Status: http.StatusTooManyRequests, Title: "Busy", Detail: fmt.Sprintf("%d computations are under way already.", running), Right: "wait for one to end, or end one"}
	}
	for i := 0; len(js.list) >= mostJobs && i < len(js.list); i++ {
		if js.list[i].ended() {
			js.list = append(js.list[:i:i], js.list[i+1:]...)
			break
		}
	}
	ctx, cancel := context.WithCancel(js.ctx)
	js.last++
	j := &job{ID: strconv.Itoa(js.last), order: in, begun: time.Now(), cancel: cancel, changed: make(chan struct{})}
	js.list = append(js.list, j)
	js.wait.Go(func() {
		defer cancel()
		defer func() {
			if x := recover(); x != nil {
				debug.PrintStack()
				j.end(nil, &Problem{Status: http.StatusInternalServerError, Title: "A fault inside", Detail: "The program met a fault of its own."})
			}
		}()
		result, err := work(ctx, j.tell)
		j.end(result, err)
	})
	return j, nil
}

// all are the jobs as they are now, oldest first.
func (js *jobs) all() []*job {
	js.mu.Lock()
	defer js.mu.Unlock()
	return slices.Clone(js.list)
}

func (js *jobs) find(id string) (*job, error) {
	js.mu.Lock()
	defer js.mu.Unlock()
	for _, j := range js.list {
		if j.ID == id {
			return j, nil
		}
	}
	return nil, missing("There is no such computation any more: the program was started anew, or many others came after it.")
}

func (j *job) ended() bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.over
}

// change does what f does and wakes those who watch.
func (j *job) change(f func()) {
	j.mu.Lock()
	defer j.mu.Unlock()
	f()
	close(j.changed)
	j.changed = make(chan struct{})
}

// tell notes progress, now and then.
func (j *job) tell(stage string, done, of int) {
	j.mu.Lock()
	quiet := stage == j.stage && done < of && time.Since(j.moved) < progressWait
	j.mu.Unlock()
	if !quiet {
		j.change(func() { j.stage, j.done, j.of, j.moved = stage, done, of, time.Now() })
	}
}

// end notes the result. A job that was ended may still have one, of less.
func (j *job) end(result *finished, err error) {
	j.change(func() {
		j.over = true
		switch {
		case result != nil:
			j.result = result
			result.Partial = err != nil
		case errors.Is(err, context.Canceled):
			j.failed = &Problem{Status: http.StatusConflict, Title: "Ended", Detail: "The computation was ended before it had anything to show."}
		default:
			j.failed = problemOf(err)
		}
	})
}

// state is what a watcher sees.
type state struct {
	ID     string    `json:"id"`
	Kind   string    `json:"kind"`
	Name   string    `json:"name"`  // of the design, as it was opened
	About  string    `json:"about"` // what was asked for, in words
	Begun  float64   `json:"begun_unix_s"`
	Stage  string    `json:"stage,omitempty"`
	Done   int       `json:"done"`
	Of     int       `json:"of"`
	Over   bool      `json:"over"`
	Result *finished `json:"result,omitempty"`
	Failed *Problem  `json:"failed,omitempty"`
}

// in is the state with its result in the units of a reader.
func (s state) in(u quantity.Display) (state, error) {
	if s.Result == nil {
		return s, nil
	}
	shown, err := s.Result.in(u)
	s.Result = shown
	return s, err
}

func (j *job) now() (state, <-chan struct{}) {
	j.mu.Lock()
	defer j.mu.Unlock()
	return state{j.ID, j.order.Kind, j.order.Name, j.order.about(), float64(j.begun.UnixMilli()) / 1000, j.stage, j.done, j.of, j.over, j.result, j.failed}, j.changed
}

// listJobs tells of all jobs in memory, without their results: a page that was
// loaded anew, or another browser, finds them by it.
func (s *Server) listJobs(w http.ResponseWriter, r *http.Request) error {
	out := []listedJob{}
	for _, j := range s.jobs.all() {
		now, _ := j.now()
		one := listedJob{state: now}
		if now.Result != nil {
			one.Kept, one.Partial = now.Result.Kept, now.Result.Partial
		}
		one.Result = nil
		out = append(out, one)
	}
	reply(w, http.StatusOK, map[string]any{"jobs": out})
	return nil
}

// listedJob is a job in the list: of its result only whether it is kept.
type listedJob struct {
	state
	Kept    int64 `json:"kept,omitempty"`
	Partial bool  `json:"partial,omitempty"`
}

func (s *Server) getJob(w http.ResponseWriter, r *http.Request) error {
	j, err := s.jobs.find(r.PathValue("id"))
	if err != nil {
		return err
	}
	u, err := unitsOf(r)
	if err != nil {
		return err
	}
	now, _ := j.now()
	if now, err = now.in(u); err != nil {
		return err
	}
	reply(w, http.StatusOK, now)
	return nil
}

func (s *Server) endJob(w http.ResponseWriter, r *http.Request) error {
	j, err := s.jobs.find(r.PathValue("id"))
	if err != nil {
		return err
	}
	j.cancel()
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// watchJob streams how far a job is, and in the end its result.
func (s *Server) watchJob(w http.ResponseWriter, r *http.Request) error {
	j, err := s.jobs.find(r.PathValue("id"))
	if err != nil {
		return err
	}
	u, err := unitsOf(r)
	if err != nil {
		return err
	}
	out := newStream(w)
	for {
		now, changed := j.now()
		if now, err = now.in(u); err != nil {
			now.Result, now.Failed = nil, problemOf(err)
		}
		if out.send("", "state", now) != nil || now.Over || !out.wait(r.Context(), changed, nil) {
			return nil // whoever went away needs no answer
		}
	}
}
