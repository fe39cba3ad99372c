package cli

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"meltspan/calibrate/demo"
	"meltspan/notebook"
	"meltspan/trial"
)

// A forecast that follows a trial goes on with the readings that another process
// puts into the notebook, and ends with the stall.
func TestForecastFollowsATrialThatRuns(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "trials.notebook")
	n, err := notebook.Open(t.Context(), file)
	if err != nil {
		t.Fatal(err)
	}
	defer n.Close()
	source, err := demo.Find("trial 4")
	if err != nil {
		t.Fatal(err)
	}
	kept, err := n.SaveDesign(t.Context(), source.File, source.Text, nil)
	if err != nil {
		t.Fatal(err)
	}
	const known = 4000.0 // s
	running := *source.Trial
	running.Revision, running.Events, running.Start = kept.Revision, nil, nan
	running.Series = nil
	var rest [][]trial.Sample
	for _, s := range source.Trial.Series {
		early := 0
		for early < len(s.Samples) && s.Samples[early].Time <= known {
			early++
		}
		rest = append(rest, s.Samples[early:])
		s.Samples = s.Samples[:early]
		running.Series = append(running.Series, s)
	}
	id, err := n.CreateTrial(t.Context(), running)
	if err != nil {
		t.Fatal(err)
	}
	head, err := n.Head(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	later := make(chan error, 1)
	go func() { // the logger
		time.Sleep(1500 * time.Millisecond)
		var batches []notebook.Batch
		for i, samples := range rest {
			batches = append(batches, notebook.Batch{Series: head.Series[i].ID, Samples: samples})
		}
		err := n.AddEvent(t.Context(), id, trial.Event{Kind: trial.Stalled, Time: source.Trial.Event(trial.Stalled).Time, Uncertainty: 30})
		if err == nil {
			err = n.AppendAll(t.Context(), batches)
		}
		later <- err
	}()
	code, out, errOut := run(t, "forecast", "1", "--follow", "--every", "1 s", "--members", "50", "--notebook", file)
	if err := <-later; err != nil {
		t.Fatal(err)
	}
	if code != exitDone {
		t.Fatalf("exit code %d, %s", code, errOut)
	}
	lines := strings.Split(out, "\n")
	if !strings.Contains(lines[0], "stall after") || !strings.Contains(out, "stalled after 3 h 19 min") || !strings.Contains(out, "Stall: 3 h 19 min, seen.") {
		t.Errorf("it says:\n%s", out)
	}
}
