package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"
	"strconv"
	"sync"
	"time"

	"meltspan/quantity"
	"meltspan/report"
	"meltspan/search"
)

// job is work that takes longer than a request should: it runs on when the
// page looks elsewhere, tells how far it is, and can be ended.
type job struct {
	ID     string
	Kind   string
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

// finished is what a job came to.
type finished struct {
	Text     string    `json:"text,omitempty"`     // as the command prints it
	Command  string    `json:"command"`            // that does the same
	Pictures []drawing `json:"pictures,omitempty"` // in the order in which to show them
	Frames   []moment  `json:"frames,omitempty"`   // of a section; their pictures are fetched by number
	Points   []point   `json:"points,omitempty"`   // of a search
	Partial  bool      `json:"partial,omitempty"`  // ended before it was through
	Files    []string  `json:"files,omitempty"`    // to be fetched by name
	Kept     int64     `json:"kept,omitempty"`     // number in the notebook's results

	// What is shown in the units of a reader is made for each who asks.
	show  func(f *finished, u quantity.Display) error // fills in Text, Pictures and Points
	frame func(u quantity.Display, number int, what string) (*report.Picture, error)
	found *search.Result
	file  func(u quantity.Display, name string) ([]byte, error)
}

type drawing struct {
	Name string `json:"name"`
	SVG  string `json:"svg"`
}

// moment is one frame of a section.
type moment struct {
	Time  float64 `json:"time_s"`
	Words string  `json:"words"`
	Event string  `json:"event,omitempty"`
}

// point is one design of a search, as it is drawn and opened.
type point struct {
	Number  int     `json:"number"`
	Name    string  `json:"name"`
	RunTime float64 `json:"run_time_s"`
	Run     string  `json:"run_time"`
	Median  float64 `json:"median_s"` // NaN: only screened
	Print   float64 `json:"print_s"`
	Plastic float64 `json:"plastic_kg"`
	Changes string  `json:"changes"`
}

// Limits of jobs: results are kept in memory.
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
func (js *jobs) start(kind string, work func(ctx context.Context, tell func(stage string, done, of int)) (*finished, error)) (*job, error) {
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
	j := &job{ID: strconv.Itoa(js.last), Kind: kind, cancel: cancel, changed: make(chan struct{})}
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
	shown := *s.Result
	shown.Command = inUnits(shown.Command, u)
	s.Result = &shown
	if shown.show == nil {
		return s, nil
	}
	return s, shown.show(&shown, u)
}

func (j *job) now() (state, <-chan struct{}) {
	j.mu.Lock()
	defer j.mu.Unlock()
	return state{j.ID, j.Kind, j.stage, j.done, j.of, j.over, j.result, j.failed}, j.changed
}

// outcome is the result of a job that must be there.
func (s *Server) outcome(r *http.Request) (*finished, error) {
	j, err := s.jobs.find(r.PathValue("id"))
	if err != nil {
		return nil, err
	}
	now, _ := j.now()
	if now.Result == nil {
		return nil, missing("The computation has no result yet.")
	}
	return now.Result, nil
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
		if err := out.send("", "state", now); err != nil || now.Over {
			return nil // whoever went away needs no answer
		}
		select {
		case <-changed:
		case <-time.After(beat):
			if out.beat() != nil {
				return nil
			}
		case <-r.Context().Done():
			return nil
		}
	}
}
