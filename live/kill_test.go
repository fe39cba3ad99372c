package live

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"meltspan/notebook"
	"meltspan/trial"
)

// The test program plays the logger when this is set to a notebook: it takes
// lines from standard input into trial 1, and prints how many samples are on
// the disk whenever that changes.
const loggerVariable = "MELTSPAN_TEST_INTAKE"

func TestMain(m *testing.M) {
	if path := os.Getenv(loggerVariable); path != "" {
		if err := logger(path); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

func logger(path string) error {
	ctx := context.Background()
	n, err := notebook.OpenExisting(ctx, path)
	if err != nil {
		return err
	}
	defer n.Close()
	clock := NewClock()
	in := &Intake{Notebook: n, Trial: 1, Source: "standard input", Clock: clock, Kept: func(samples int) { fmt.Println(samples) }}
	messages := make(chan Message, 16)
	source := &Reader{Label: "standard input", From: os.Stdin, Clock: clock}
	listened := make(chan error, 1)
	go func() {
		listened <- Listen(ctx, source, SerialWait, false, func(m Message) { messages <- m }, func(Change) {})
		close(messages)
	}()
	if err := in.Run(ctx, messages, nil); err != nil {
		return err
	}
	return <-listened
}

// A logger is killed at any moment, 200 times over the same notebooks: all that
// was reported as kept is there, and of what was sent at most the last sample is
// missing. The next logger goes on in the same series.
func TestKillLosesAtMostTheLastSample(t *testing.T) {
	kills := 200
	if testing.Short() {
		kills = 20
	}
	const side = 4 // notebooks at once
	for k := range side {
		t.Run(strconv.Itoa(k+1), func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(20, uint64(k)))
			path := filepath.Join(t.TempDir(), "trials.notebook")
			n, err := notebook.Open(t.Context(), path)
			if err != nil {
				t.Fatal(err)
			}
			defer n.Close()
			if _, err := n.CreateTrial(t.Context(), trial.Trial{Kind: trial.Run, Start: NewClock().Now()}); err != nil {
				t.Fatal(err)
			}
			next, lost := 0, 0 // value to send next; samples lost to kills
			have := []float64{}
			for range kills / side {
				sent, reported := killOne(t, path, r, next)
				have = have[:0]
				whole := kept(t, n, 1)
				if len(whole.Series) > 1 {
					t.Fatalf("%d series", len(whole.Series))
				}
				for i := range whole.Series {
					for j, s := range whole.Series[i].Samples {
						have = append(have, s.Value)
						if j > 0 && (s.Time <= whole.Series[i].Samples[j-1].Time || s.Mark != trial.Good) {
							t.Fatalf("sample %d: %+v after %+v", j, s, whole.Series[i].Samples[j-1])
						}
					}
				}
				count := 0
				for _, v := range have {
					if v >= float64(next) {
						count++
					}
				}
				if count < reported || count < sent-1 || count > sent {
					t.Fatalf("sent %d, reported %d as kept, %d are there", sent, reported, count)
				}
				lost += sent - count
				next += sent
			}
			last := -1.0
			for _, v := range have {
				if v <= last {
					t.Fatalf("%g stands after %g", v, last)
				}
				last = v
			}
			t.Logf("%d samples sent over %d kills, %d lost", next, kills/side, lost)
		})
	}
}

// killOne starts a logger, sends it some samples, each when the one before it
// is reported as kept, and kills it at some moment after the last.
func killOne(t *testing.T, path string, r *rand.Rand, next int) (sent, reported int) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	command := exec.Command(self)
	command.Env = append(os.Environ(), loggerVariable+"="+path)
	command.Stderr = os.Stderr
	lines, err := command.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := command.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	reports := bufio.NewScanner(out)
	for n := 1 + r.IntN(6); sent < n; {
		if _, err := io.WriteString(lines, fmt.Sprintf("speed=%d Hz\n", next+sent)); err != nil {
			t.Fatal(err)
		}
		sent++
		if sent == n {
			// The last one is somewhere between the pipe and the disk.
			time.Sleep(time.Duration(r.Int64N(6e6)))
			break
		}
		if !reports.Scan() {
			t.Fatalf("the logger ended by itself: %v", reports.Err())
		}
		reported++
	}
	if err := command.Process.Kill(); err != nil { // SIGKILL
		t.Fatal(err)
	}
	for reports.Scan() { // what it still said before it died
		reported++
	}
	command.Wait() // it was killed, and says so
	return sent, reported
}
