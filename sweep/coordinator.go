package sweep

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"sync"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
	"github.com/nats-io/nuid"

	"meltspan/predict"
	"meltspan/search"
)

// Coordinator hands out the candidates of one search and collects what comes
// back.
type Coordinator struct {
	AckWait time.Duration // 0: DefaultAckWait
	Handful int           // candidates in a job; 0: 8

	board   *board
	conn    *nats.Conn
	sweep   string
	watch   jetstream.KeyWatcher
	started int // jobs handed out

	task     string // key of the task in hand
	scenario *predict.Scenario
	tasks    int

	mutex sync.Mutex
	tally Tally
}

// Tally counts what a sweep has done.
type Tally struct {
	Jobs        int            `json:"jobs"`
	Candidates  int            `json:"candidates"`
	Redelivered int            `json:"jobs_done_by_another"` // after their first worker was gone
	Workers     map[string]int `json:"jobs_by_worker"`
}

// NewCoordinator reaches the server and begins a sweep.
func NewCoordinator(ctx context.Context, a Access, ackWait time.Duration) (*Coordinator, error) {
	if ackWait <= 0 {
		ackWait = DefaultAckWait
	}
	c := &Coordinator{AckWait: ackWait, Handful: 8, sweep: nuid.Next(), tally: Tally{Workers: map[string]int{}}}
	var err error
	if c.conn, err = a.connect("coordinator"); err != nil {
		return nil, fmt.Errorf("sweep: %w", err)
	}
	if c.board, err = open(ctx, c.conn); err == nil {
		_, err = c.board.workers(ctx, ackWait)
	}
	if err == nil {
		c.watch, err = c.board.done.Watch(context.WithoutCancel(ctx), c.sweep+".*")
	}
	if err != nil {
		c.conn.Close()
		return nil, err
	}
	return c, nil
}

// Close takes what is left of the sweep off the server.
func (c *Coordinator) Close(ctx context.Context) error {
	defer c.conn.Close()
	err := c.watch.Stop()
	err = errors.Join(err, c.board.queue.Purge(ctx, jetstream.WithPurgeSubject(subject+c.sweep)))
	for i := range c.tasks {
		err = errors.Join(err, c.board.tasks.Purge(ctx, c.taskKey(i)))
	}
	for i := range c.started {
		err = errors.Join(err, c.board.done.Purge(ctx, (&job{Sweep: c.sweep, Index: i}).key()))
	}
	if err != nil {
		return fmt.Errorf("sweep: %w", err)
	}
	return nil
}

// Tally is what was done so far.
func (c *Coordinator) Tally() Tally {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	out := c.tally
	out.Workers = maps.Clone(out.Workers)
	return out
}

func (c *Coordinator) taskKey(i int) string { return fmt.Sprintf("%s.%d", c.sweep, i) }

// Screen works candidates out by whoever takes the jobs. It is a search.Screen.
func (c *Coordinator) Screen(ctx context.Context, p *search.Problem, scenario *predict.Scenario, at [][]float64) ([]*search.Figures, error) {
	out := make([]*search.Figures, len(at))
	if c.task == "" || scenario != c.scenario {
		if err := c.announce(ctx, p, scenario); err != nil {
			return out, err
		}
	}
	open, first := map[int]*job{}, map[int]int{} // first candidate of each job
	for from := 0; from < len(at); from += c.Handful {
		j := &job{Sweep: c.sweep, Task: c.task, Index: c.started, At: at[from:min(from+c.Handful, len(at))]}
		c.started++
		open[j.Index], first[j.Index] = j, from
		if err := c.publish(ctx, j, 0); err != nil {
			return out, err
		}
	}
	return out, c.collect(ctx, open, first, out)
}

// announce makes a task known to the workers.
func (c *Coordinator) announce(ctx context.Context, p *search.Problem, scenario *predict.Scenario) error {
	data, err := encode(p.Task(scenario))
	if err != nil {
		return err
	}
	key := c.taskKey(c.tasks)
	if _, err := c.board.tasks.Put(ctx, key, data); err != nil {
		return fmt.Errorf("sweep: %w", err)
	}
	c.tasks++
	c.task, c.scenario = key, scenario
	return nil
}

func (c *Coordinator) publish(ctx context.Context, j *job, again int) error {
	data, err := encode(j)
	if err != nil {
		return err
	}
	if _, err := c.board.js.Publish(ctx, subject+j.Sweep, data, jetstream.WithMsgID(fmt.Sprintf("%s.%d", j.key(), again))); err != nil {
		return fmt.Errorf("sweep: %w", err)
	}
	return nil
}

// patience is after how many times to acknowledge without any result the open
// jobs are handed out once more: a server that keeps its queue in memory may
// have been started anew. A job that is then done twice still has one result.
const patience = 10

// collect waits for the results of the open jobs.
func (c *Coordinator) collect(ctx context.Context, open map[int]*job, first map[int]int, out []*search.Figures) error {
	quiet := time.NewTimer(patience * c.AckWait)
	defer quiet.Stop()
	for again := 1; len(open) > 0; {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-quiet.C:
			for _, index := range slices.Sorted(maps.Keys(open)) {
				if err := c.publish(ctx, open[index], again); err != nil {
					return err
				}
			}
			again++
			quiet.Reset(patience * c.AckWait)
		case entry, alive := <-c.watch.Updates():
			if !alive {
				return errors.New("sweep: the server ended the watch on results")
			}
			if entry == nil || entry.Operation() != jetstream.KeyValuePut {
				continue // all that was there before, or a key taken away
			}
			var r result
			if err := decode(entry.Value(), &r); err != nil {
				return err
			}
			j, waiting := open[r.Index]
			if !waiting {
				continue
			}
			switch {
			case r.Failure != "":
				return fmt.Errorf("sweep: worker %s: %s", r.Worker, r.Failure)
			case len(r.Figures) != len(j.At):
				return fmt.Errorf("sweep: worker %s sent %d figures for %d candidates", r.Worker, len(r.Figures), len(j.At))
			}
			for i := range r.Figures {
				out[first[r.Index]+i] = &r.Figures[i]
			}
			delete(open, r.Index)
			c.count(&r)
			quiet.Reset(patience * c.AckWait)
		}
	}
	return nil
}

func (c *Coordinator) count(r *result) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.tally.Jobs++
	c.tally.Candidates += len(r.Figures)
	c.tally.Workers[r.Worker]++
	if r.Delivered > 1 {
		c.tally.Redelivered++
	}
}

// WorkHere takes jobs in this process as well, until the context ends.
func (c *Coordinator) WorkHere(ctx context.Context, name string) error {
	w := Worker{Name: name, AckWait: c.AckWait}
	return w.serve(ctx, c.conn)
}
