package sweep

import (
	"bufio"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"reflect"
	"strings"
	"testing"
	"time"

	"meltspan/design"
	"meltspan/predict"
	"meltspan/search"
)

// The test binary serves as worker, too: a process of its own, told by the
// environment where to find its jobs and whether to hang at one of them.
const (
	workerURL  = "MELTSPAN_TEST_WORKER"
	workerName = "MELTSPAN_TEST_WORKER_NAME"
	hangs      = "MELTSPAN_TEST_WORKER_HANGS"
	ackWait    = time.Second
)

func TestMain(m *testing.M) {
	url := os.Getenv(workerURL)
	if url == "" {
		os.Exit(m.Run())
	}
	w := Worker{Name: os.Getenv(workerName), AckWait: ackWait}
	if os.Getenv(hangs) != "" {
		w.OnJob = func(jobs int) {
			if jobs == 2 {
				fmt.Println("holding a job")
				select {} // until it is killed
			}
		}
	}
	if err := w.Work(context.Background(), Access{URL: url}); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// spawn starts a worker process that ends with the test at the latest.
func spawn(t *testing.T, url, name string, extra ...string) (*exec.Cmd, *bufio.Scanner) {
	t.Helper()
	c := exec.Command(os.Args[0])
	c.Env = append(append(os.Environ(), workerURL+"="+url, workerName+"="+name), extra...)
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		c.Process.Kill()
		c.Wait()
	})
	return c, bufio.NewScanner(out)
}

func serve(t *testing.T) *Server {
	t.Helper()
	s, err := Start("127.0.0.1:0", "")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Stop(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func problem(t *testing.T) (*search.Problem, *predict.Scenario) {
	t.Helper()
	d, err := design.Parse("demo", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	var inputs []search.Input
	for _, in := range [][]string{{"stand.cup.diameter", "74 mm to 90 mm"}, {"stand.wall.cavities", "1 to 4"}, {"stand.material", "pla", "petg"}} {
		i, err := search.ParseInput(d, in[0], in[1:])
		if err != nil {
			t.Fatal(err)
		}
		inputs = append(inputs, i)
	}
	p, err := search.NewProblem(d, inputs, search.UsualLimits(d), nil, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	s, err := predict.NewScenario(context.Background(), d, p.Quantile, predict.Options{Samples: 150})
	if err != nil {
		t.Fatal(err)
	}
	return p, s
}

// candidates are spread over the space; some make no possible design.
func candidates(n int) [][]float64 {
	var out [][]float64
	for i := range n {
		out = append(out, []float64{0.074 + 0.016*float64(i)/float64(n), float64(1 + i%4), float64(i % 2)})
	}
	return out
}

// same compares figures, numbers that are none included.
func same(a, b *search.Figures) bool {
	number := func(x, y float64) bool { return x == y || math.IsNaN(x) && math.IsNaN(y) }
	return a != nil && b != nil && number(a.Nominal, b.Nominal) && number(a.Screened, b.Screened) && number(a.PrintTime, b.PrintTime) &&
		number(a.FreezeTime, b.FreezeTime) && number(a.Sweat, b.Sweat) && a.Impossible == b.Impossible && len(a.Breaches) == len(b.Breaches) &&
		(len(a.Breaches) == 0 || reflect.DeepEqual(a.Breaches, b.Breaches))
}

// Three worker processes, one of which takes a job and is killed with it in
// hand: another does that job, every candidate has its figures, the same as on
// one machine, and no job counts twice.
func TestKilledWorkersJobIsDoneByAnother(t *testing.T) {
	server := serve(t)
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	p, scenario := problem(t)
	at := candidates(120)
	want, err := search.Local(ctx, p, scenario, at)
	if err != nil {
		t.Fatal(err)
	}
	c, err := NewCoordinator(ctx, Access{URL: server.URL()}, ackWait)
	if err != nil {
		t.Fatal(err)
	}
	c.Handful = 4
	doomed, words := spawn(t, server.URL(), "doomed", hangs+"=yes")
	killed := make(chan error, 1)
	go func() {
		if !words.Scan() || words.Text() != "holding a job" {
			killed <- fmt.Errorf("the worker said %q", words.Text())
			return
		}
		killed <- doomed.Process.Kill() // SIGKILL: it cannot say goodbye
	}()
	// The others come once the first has been killed with a job in its hands, so
	// that it is sure to have had one.
	done := make(chan error, 1)
	var got []*search.Figures
	go func() {
		var err error
		got, err = c.Screen(ctx, p, scenario, at)
		done <- err
	}()
	if err := <-killed; err != nil {
		t.Fatal(err)
	}
	spawn(t, server.URL(), "second")
	spawn(t, server.URL(), "third")
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	for i := range want {
		if !same(got[i], want[i]) {
			t.Errorf("candidate %d: %+v, on one machine %+v", i, got[i], want[i])
		}
	}
	tally := c.Tally()
	jobs := 0
	for _, n := range tally.Workers {
		jobs += n
	}
	if tally.Jobs != 30 || jobs != 30 || tally.Candidates != 120 || tally.Workers["doomed"] != 1 || tally.Redelivered < 1 {
		t.Errorf("%+v", tally)
	}
	// The last result may be here before its job is acknowledged.
	for left := uint64(1); left > 0; {
		info, err := c.board.queue.Info(ctx)
		if err != nil {
			t.Fatalf("%d jobs are left in the queue: %v", left, err)
		}
		left = info.State.Msgs
	}
	if err := c.Close(ctx); err != nil {
		t.Error(err)
	}
}

// A result that comes twice is written and counted once.
func TestResultCountsOnce(t *testing.T) {
	server := serve(t)
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	p, scenario := problem(t)
	c, err := NewCoordinator(ctx, Access{URL: server.URL()}, ackWait)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(ctx)
	if err := c.announce(ctx, p, scenario); err != nil {
		t.Fatal(err)
	}
	j := &job{Sweep: c.sweep, Task: c.task, Index: 0, At: candidates(3)}
	c.started = 1
	for again := range 3 { // three messages of one job
		if err := c.publish(ctx, j, again); err != nil {
			t.Fatal(err)
		}
	}
	working, stop := context.WithCancel(ctx)
	worked := make(chan error, 1)
	taken := make(chan int, 10)
	go func() {
		w := Worker{Name: "w", AckWait: ackWait, OnTrial: func(int) { taken <- 1 }}
		worked <- w.Work(working, Access{URL: server.URL()})
	}()
	out := make([]*search.Figures, 3)
	if err := c.collect(ctx, map[int]*job{0: j}, map[int]int{0: 0}, out); err != nil {
		t.Fatal(err)
	}
	for range 3 {
		<-taken
	}
	stop()
	if err := <-worked; err != nil {
		t.Error(err)
	}
	history, err := c.board.done.Get(ctx, j.key())
	if tally := c.Tally(); err != nil || tally.Jobs != 1 || tally.Candidates != 3 || history.Revision() != 1 {
		t.Errorf("%+v, revision %d, %v", tally, history.Revision(), err)
	}
}

// A whole search with a worker in this process gives what it gives without.
func TestSearchByJobs(t *testing.T) {
	server := serve(t)
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	p, _ := problem(t)
	o := search.Options{Candidates: 60, Samples: 20, Ranked: 1, Spacing: -1}
	want, err := p.Run(ctx, o)
	if err != nil {
		t.Fatal(err)
	}
	c, err := NewCoordinator(ctx, Access{URL: server.URL()}, 0)
	if err != nil {
		t.Fatal(err)
	}
	working, stop := context.WithCancel(ctx)
	worked := make(chan error, 1)
	go func() { worked <- c.WorkHere(working, "here") }()
	o.Screen = c.Screen
	got, err := p.Run(ctx, o)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got.Front[0].At, want.Front[0].At) || got.Front[0].RunTime() != want.Front[0].RunTime() || got.Tried != want.Tried {
		t.Errorf("%v and %v", got.Front[0], want.Front[0])
	}
	stop()
	if err := <-worked; err != nil {
		t.Error(err)
	}
	if err := c.Close(ctx); err != nil {
		t.Error(err)
	}
}

// A worker that is told to end gives its job back at once: it is in the queue
// again long before the time to acknowledge is over.
func TestWorkerGivesItsJobBack(t *testing.T) {
	server := serve(t)
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	p, scenario := problem(t)
	const never = time.Hour
	c, err := NewCoordinator(ctx, Access{URL: server.URL()}, never)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(ctx)
	done := make(chan error, 1)
	go func() {
		_, err := c.Screen(ctx, p, scenario, candidates(4))
		done <- err
	}()
	leaving, leave := context.WithCancel(ctx)
	w := Worker{Name: "leaving", AckWait: never, OnJob: func(int) { leave() }}
	if err := w.Work(leaving, Access{URL: server.URL()}); err != nil {
		t.Fatal(err)
	}
	staying, stop := context.WithCancel(ctx)
	worked := make(chan error, 1)
	go func() { worked <- c.WorkHere(staying, "staying") }()
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	stop()
	if err := <-worked; err != nil {
		t.Error(err)
	}
	if tally := c.Tally(); tally.Jobs != 1 || tally.Workers["staying"] != 1 || tally.Redelivered != 1 {
		t.Errorf("%+v", tally)
	}
}

// A logged room travels with its task exactly.
func TestLoggedRoomTravels(t *testing.T) {
	text := strings.Replace(string(design.Demo()), "  temperature: 22 degC\n  humidity: 55 %\n", "  log: room.csv\n", 1)
	d, err := design.Parse("logged", []byte(text), func(string) ([]byte, error) {
		return []byte("time_s,temperature_degC,humidity_percent\n0,21.3,51\n3600,22.7,48.2\n20000,20.1,55\n"), nil
	})
	if err != nil {
		t.Fatal(err)
	}
	in, err := search.ParseInput(d, "stand.wall.cavities", []string{"1 to 3"})
	if err != nil {
		t.Fatal(err)
	}
	p, err := search.NewProblem(d, []search.Input{in}, search.UsualLimits(d), nil, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	data, err := encode(p.Task(nil))
	if err != nil {
		t.Fatal(err)
	}
	var task search.Task
	if err := decode(data, &task); err != nil {
		t.Fatal(err)
	}
	back, err := task.Problem()
	if err != nil {
		t.Fatal(err)
	}
	a, _ := search.Local(t.Context(), p, nil, [][]float64{{2}})
	b, _ := search.Local(t.Context(), back, nil, [][]float64{{2}})
	if !same(a[0], b[0]) || !(a[0].Nominal > 0) {
		t.Errorf("%+v and %+v", a[0], b[0])
	}
	task.Revision = "another"
	if _, err := task.Problem(); err == nil {
		t.Error("a task of another revision is taken")
	}
	task.Version++
	if _, err := task.Problem(); err == nil {
		t.Error("a task of another version is taken")
	}
}

// An address that others can reach asks for a token, and the token is asked for.
func TestServerIsClosedToStrangers(t *testing.T) {
	if s, err := Start("0.0.0.0:0", ""); err == nil {
		s.Stop()
		t.Error("open to all")
	}
	s, err := Start("127.0.0.1:0", "secret")
	if err != nil {
		t.Fatal(err)
	}
	defer s.Stop()
	if _, err := (Access{URL: s.URL()}).connect("stranger"); err == nil {
		t.Error("a stranger is let in")
	}
	c, err := Access{URL: s.URL(), Token: "secret"}.connect("friend")
	if err != nil {
		t.Fatal(err)
	}
	c.Close()
	for _, address := range []string{"", "nowhere", "127.0.0.1:port", "127.0.0.1:99999"} {
		if s, err := Start(address, ""); err == nil {
			s.Stop()
			t.Errorf("%q is taken for an address", address)
		}
	}
}
