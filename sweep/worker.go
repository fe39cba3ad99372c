package sweep

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"meltspan/predict"
	"meltspan/search"
)

// Worker takes jobs and works them out on all cores of its machine.
type Worker struct {
	Name    string
	AckWait time.Duration        // 0: DefaultAckWait
	OnJob   func(jobs int)       // called as each job is taken, with the number taken so far
	OnTrial func(candidates int) // called as each job is done, with the candidates done so far

	tasks map[string]*prepared // the latest only: a search goes on to the next and never back
	jobs  atomic.Int64
	total atomic.Int64
}

// prepared is a task that was read.
type prepared struct {
	problem  *search.Problem
	scenario *predict.Scenario
	failed   error
}

// Work takes jobs until the context ends. A job in hand is then given back.
func (w *Worker) Work(ctx context.Context, a Access) error {
	conn, err := a.connect(w.Name)
	if err != nil {
		return fmt.Errorf("sweep: %w", err)
	}
	defer conn.Close()
	return w.serve(ctx, conn)
}

// fetchWait is how long a worker waits for a job before it asks again.
const fetchWait = time.Second

func (w *Worker) serve(ctx context.Context, conn *nats.Conn) error {
	if w.AckWait <= 0 {
		w.AckWait = DefaultAckWait
	}
	b, err := open(ctx, conn)
	if err != nil {
		return err
	}
	jobs, err := b.workers(ctx, w.AckWait)
	if err != nil {
		return err
	}
	for ctx.Err() == nil {
		batch, err := jobs.Fetch(1, jetstream.FetchMaxWait(fetchWait))
		if err != nil { // the server is away: the connection comes back by itself
			pause(ctx, fetchWait)
			continue
		}
		for m := range batch.Messages() {
			if err := w.do(ctx, b, m); err != nil && ctx.Err() == nil {
				return err
			}
		}
		if batch.Error() != nil { // such as a server that was started anew and has no queue yet
			pause(ctx, fetchWait)
		}
	}
	return nil
}

func pause(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

// do works one job out. Only what the server refuses is an error: a job that
// cannot be done has that for its result.
func (w *Worker) do(ctx context.Context, b *board, m jetstream.Msg) error {
	var j job
	if err := decode(m.Data(), &j); err != nil {
		return m.Term() // nobody can read it
	}
	delivered := 1
	if meta, err := m.Metadata(); err == nil {
		delivered = int(meta.NumDelivered)
	}
	if w.OnJob != nil {
		w.OnJob(int(w.jobs.Add(1)))
	}
	alive := w.stayAlive(ctx, m)
	r := w.result(ctx, b, &j, delivered)
	alive()
	if ctx.Err() != nil {
		return m.Nak() // another does it at once
	}
	data, err := encode(r)
	if err != nil {
		return err
	}
	// Made once: a result that is there already stays, whoever it is from.
	if _, err := b.done.Create(ctx, j.key(), data); err != nil && !errors.Is(err, jetstream.ErrKeyExists) {
		return nil // not acknowledged: the job comes again, here or elsewhere
	}
	if w.OnTrial != nil {
		w.OnTrial(int(w.total.Add(int64(len(j.At)))))
	}
	return m.Ack()
}

// stayAlive tells the server now and then that the job is in good hands.
func (w *Worker) stayAlive(ctx context.Context, m jetstream.Msg) (stop func()) {
	ctx, cancel := context.WithCancel(ctx)
	done := make(chan struct{})
	go func() {
		defer close(done)
		tick := time.NewTicker(w.AckWait / 4)
		defer tick.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-tick.C:
				_ = m.InProgress() // a server that is away gives the job to another, which does no harm
			}
		}
	}()
	return func() { cancel(); <-done }
}

func (w *Worker) result(ctx context.Context, b *board, j *job, delivered int) (r result) {
	r = result{Index: j.Index, Worker: w.Name, Delivered: delivered}
	defer func() {
		if fault := recover(); fault != nil { // one candidate must not end a worker
			r.Figures, r.Failure = nil, fmt.Sprintf("a fault of the program: %v", fault)
		}
	}()
	if delivered > mostDeliveries {
		r.Failure = fmt.Sprintf("%d workers ended at this job", delivered-1)
		return r
	}
	p := w.prepare(ctx, b, j.Task)
	if p.failed != nil {
		r.Failure = p.failed.Error()
		return r
	}
	figures, err := search.Local(ctx, p.problem, p.scenario, j.At)
	if err != nil {
		r.Failure = err.Error()
		return r
	}
	for _, f := range figures {
		r.Figures = append(r.Figures, *f)
	}
	return r
}

// prepare reads a task, once for all its jobs.
func (w *Worker) prepare(ctx context.Context, b *board, key string) *prepared {
	if p, known := w.tasks[key]; known {
		return p
	}
	p := &prepared{}
	entry, err := b.tasks.Get(ctx, key)
	if err != nil {
		p.failed = fmt.Errorf("the task of the job is gone: %w", err)
		return p // not kept: it may have been the connection
	}
	var t search.Task
	if p.failed = decode(entry.Value(), &t); p.failed == nil {
		p.scenario = t.Scenario
		p.problem, p.failed = t.Problem()
	}
	w.tasks = map[string]*prepared{key: p}
	return p
}
