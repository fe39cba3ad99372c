package notebook

import (
	"bufio"
	"bytes"
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"meltspan/trial"
)

// The test program plays the logger when this is set to a notebook; the
// series to write to is its last argument.
const loggerVariable = "MELTSPAN_TEST_LOGGER"

func TestMain(m *testing.M) {
	if path := os.Getenv(loggerVariable); path != "" {
		if err := logger(path, os.Args[len(os.Args)-1]); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	// Each generated notebook is four files on the disk: fewer of them than
	// usual, unless the command line asks for more.
	if err := flag.Set("rapid.checks", "40"); err != nil {
		panic(err)
	}
	os.Exit(m.Run())
}

// logger appends samples one by one until it is killed, and prints the
// number of each once it is kept.
func logger(path, series string) error {
	ctx := context.Background()
	id, err := strconv.ParseInt(series, 10, 64)
	if err != nil {
		return err
	}
	n, err := Open(ctx, path)
	if err != nil {
		return err
	}
	for i := 0; ; i++ {
		if err := n.Append(ctx, id, trial.Sample{Time: float64(i), Value: 290 + float64(i)}); err != nil {
			return err
		}
		fmt.Println(i)
	}
}

func startLogger(t *testing.T, path string, series int64) (*exec.Cmd, *bufio.Scanner) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	command := exec.Command(self, strconv.FormatInt(series, 10))
	command.Env = append(os.Environ(), loggerVariable+"="+path)
	var complaints bytes.Buffer
	command.Stderr = &complaints
	out, err := command.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		command.Process.Kill()
		command.Wait()
		if complaints.Len() > 0 {
			t.Errorf("the logger says %s", complaints.String())
		}
	})
	return command, bufio.NewScanner(out)
}

// A logger in a process of its own writes while this one reads and writes;
// then it is killed, and all that it reported as kept is there.
func TestTwoProcesses(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	id := must[int64](t)(n.CreateTrial(ctx, trial.Trial{Kind: trial.Run, Start: math.NaN()}))
	series := must[int64](t)(n.OpenSeries(ctx, id, trial.Series{Quantity: trial.Room}))
	command, lines := startLogger(t, n.path, series)

	deadline := time.Now().Add(20 * time.Second)
	seen, looks, last := 0, 0, -1
	for ; seen < 150; looks++ {
		if time.Now().After(deadline) || !lines.Scan() {
			t.Fatalf("only %d samples were written", seen)
		}
		last, _ = strconv.Atoi(lines.Text())
		samples := must[[]trial.Sample](t)(n.Samples(ctx, series, 0))
		if len(samples) < seen {
			t.Fatalf("%d samples after %d", len(samples), seen)
		}
		seen = len(samples)
		for i, s := range samples {
			if s.Time != float64(i) || s.Value != 290+float64(i) {
				t.Fatalf("sample %d is %+v", i, s)
			}
		}
		if looks%10 == 0 { // the reader writes as well
			if err := n.AddEvent(ctx, id, trial.Event{Kind: trial.Drip, Time: float64(looks)}); err != nil {
				t.Fatal(err)
			}
		}
	}
	command.Process.Kill()
	for lines.Scan() {
		last, _ = strconv.Atoi(lines.Text())
	}
	samples := must[[]trial.Sample](t)(n.Samples(ctx, series, 0))
	if len(samples) <= last || len(samples) > last+2 {
		t.Errorf("%d samples are kept; the last reported as kept is number %d", len(samples), last)
	}
	if h := must[Head](t)(n.Head(ctx, id)); len(h.Trial.Events) != (looks+9)/10 {
		t.Errorf("%d events of %d", len(h.Trial.Events), (looks+9)/10)
	}
	var state string
	if err := n.db.QueryRowContext(ctx, "PRAGMA integrity_check").Scan(&state); err != nil || state != "ok" {
		t.Errorf("integrity: %s, %v", state, err)
	}
}
