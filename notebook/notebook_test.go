package notebook

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"meltspan/design"
	"meltspan/trial"
)

// equal compares as people do: what is not a number equals itself, and no
// list is as good as an empty one.
var equal = cmp.Options{cmpopts.EquateNaNs(), cmpopts.EquateEmpty()}

func fresh(t testing.TB) *Notebook {
	t.Helper()
	return opened(t, filepath.Join(t.TempDir(), "trials.notebook"))
}

// opened does not wait for the disk: a test that needs it opens for itself.
func opened(t testing.TB, path string) *Notebook {
	t.Helper()
	n, err := open(t.Context(), path, true, "OFF")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := n.Close(); err != nil {
			t.Error(err)
		}
	})
	return n
}

func must[T any](t testing.TB) func(T, error) T {
	t.Helper()
	return func(x T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
}

// full is a trial with something of everything.
func full(revision string) trial.Trial {
	return trial.Trial{
		Name: "first run", Kind: trial.Run, Design: "school bench", Revision: revision, Start: 1764059200.25, Zone: "+01:00",
		Settings: []trial.Setting{{Path: "store.mass", Value: "119.4 g +- 0.2 g"}, {Path: "room.humidity", Value: "48 %"}},
		Series: []trial.Series{
			{Quantity: trial.TopPlate, Place: "top", Source: "log.csv: T2", Uncertainty: 0.3, Samples: []trial.Sample{
				{Time: 0, Value: 294.15}, {Time: 30, Value: math.NaN(), Mark: trial.Missing}, {Time: 20, Value: 146.15, Mark: trial.Disordered}}},
			{Quantity: trial.Spot, Place: "rim", Emissivity: 0.95, Samples: []trial.Sample{{Time: 1e-3, Value: math.Inf(1), Mark: trial.Fault}}},
			{Quantity: trial.Weight},
		},
		Events: []trial.Event{{Kind: trial.Started, Time: 41, Uncertainty: 2, Source: "by hand"}, {Kind: trial.Stalled, Time: 25200, Uncertainty: 60, Note: "heard it stop"}},
		Note:   "window open",
	}
}

func TestAllIsReadBack(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	d := must[Design](t)(n.SaveDesign(ctx, "demo.yaml", design.Demo(), nil))
	want := full(d.Revision)
	id := must[int64](t)(n.CreateTrial(ctx, want))
	photo := must[Attachment](t)(n.Attach(ctx, id, Attachment{Name: "a photo.jpg", Time: math.NaN(), Note: "after an hour"}, []byte{0xff, 0xd8, 0}))
	kept := Result{Kind: "prediction", Code: "v1", Revision: d.Revision, Trials: []int64{id}, Inputs: json.RawMessage(`{"seed":1}`), Payload: json.RawMessage(`{"run_time_s":25000.5}`)}
	kept.ID = must[int64](t)(n.Keep(ctx, kept))
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}

	n = must[*Notebook](t)(OpenExisting(ctx, n.Path()))
	defer n.Close()
	if diff := cmp.Diff(want, must[trial.Trial](t)(n.Trial(ctx, id)), equal); diff != "" {
		t.Errorf("trial (-kept +read):\n%s", diff)
	}
	if got := must[Design](t)(n.Design(ctx, d.Revision)); !bytes.Equal(got.Text, design.Demo()) || got.Name != "school bench" {
		t.Errorf("design %q of %d bytes", got.Name, len(got.Text))
	} else if parsed, err := got.Parse(); err != nil || parsed.Revision() != d.Revision {
		t.Errorf("parsed anew: %v", err)
	}
	if diff := cmp.Diff([]Attachment{photo}, must[[]Attachment](t)(n.Attachments(ctx, id)), equal); diff != "" {
		t.Errorf("attachments:\n%s", diff)
	}
	if data := must[[]byte](t)(n.Content(ctx, photo.Hash)); !bytes.Equal(data, []byte{0xff, 0xd8, 0}) {
		t.Errorf("content % x", data)
	}
	results := must[[]Result](t)(n.Results(ctx, "prediction"))
	if diff := cmp.Diff([]Result{kept}, results, equal, cmpopts.IgnoreFields(Result{}, "Made")); diff != "" {
		t.Errorf("results:\n%s", diff)
	}
	if others := must[[]Result](t)(n.Results(ctx, "calibration")); len(others) != 0 {
		t.Errorf("results of another kind: %v", others)
	}
}

func TestTrialsAreFoundByNumberAndName(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	first := must[int64](t)(n.CreateTrial(ctx, trial.Trial{Kind: trial.Run, Start: math.NaN()}))
	second := must[int64](t)(n.CreateTrial(ctx, trial.Trial{Name: "Thick Wall", Kind: trial.Run, Start: math.NaN()}))
	for called, want := range map[string]int64{"1": first, "trial 1": first, "2": second, "thick wall": second, " 2 ": second} {
		if got, err := n.Find(ctx, called); err != nil || got != want {
			t.Errorf("%q: trial %d, %v; want %d", called, got, err, want)
		}
	}
	for _, called := range []string{"3", "1x", "", "thick", "0"} {
		var p *Problem
		if _, err := n.Find(ctx, called); !errors.As(err, &p) {
			t.Errorf("%q: %v, want a Problem", called, err)
		}
	}
	for _, name := range []string{"thick wall", "12", " ", " 7"} {
		var p *Problem
		if _, err := n.CreateTrial(ctx, trial.Trial{Name: name}); !errors.As(err, &p) {
			t.Errorf("a trial named %q: %v, want a Problem", name, err)
		}
	}
}

func TestSeriesGrow(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	id := must[int64](t)(n.CreateTrial(ctx, trial.Trial{Kind: trial.Run, Start: math.NaN()}))
	s := must[int64](t)(n.OpenSeries(ctx, id, trial.Series{Quantity: trial.Room}))
	other := must[int64](t)(n.OpenSeries(ctx, id, trial.Series{Quantity: trial.Wall}))
	var want []trial.Sample
	for _, count := range []int{1, 1, 5, 0, tailSamples, 1, 3*blockSamples + 7, 2, tailSamples - 2, 1} {
		var some []trial.Sample
		for range count {
			x := float64(len(want) + len(some))
			some = append(some, trial.Sample{Time: x, Value: 290 + x/1000})
		}
		want = append(want, some...)
		if err := n.AppendAll(ctx, []Batch{{s, some}, {other, some}}); err != nil {
			t.Fatal(err)
		}
		for _, from := range []int{0, 3, tailSamples + 1, len(want) - 1, len(want), len(want) + 5} {
			got := must[[]trial.Sample](t)(n.Samples(ctx, s, from))
			if from = min(max(from, 0), len(want)); !cmp.Equal(want[from:], got, equal) {
				t.Fatalf("after %d samples: %d read from number %d", len(want), len(got), from)
			}
		}
		if h := must[Head](t)(n.Head(ctx, id)); h.Series[0].Samples != len(want) {
			t.Fatalf("the head counts %d samples of %d", h.Series[0].Samples, len(want))
		}
	}
	changed := must[int](t)(n.Remark(ctx, s, func(x trial.Sample) trial.Mark {
		if x.Time == 2 || x.Time == 3 {
			return trial.Excluded
		}
		return x.Mark
	}))
	want[2].Mark, want[3].Mark = trial.Excluded, trial.Excluded
	if got := must[[]trial.Sample](t)(n.Samples(ctx, s, 0)); changed != 2 || !cmp.Equal(want, got) {
		t.Errorf("%d marks changed, or more than marks", changed)
	}
	// By their numbers, across blocks.
	from, to := tailSamples-3, tailSamples+blockSamples
	if err := n.Mark(ctx, s, from, to, trial.Fault); err != nil {
		t.Fatal(err)
	}
	for i := from; i < to; i++ {
		want[i].Mark = trial.Fault
	}
	if got := must[[]trial.Sample](t)(n.Samples(ctx, s, 0)); !cmp.Equal(want, got) {
		t.Error("other marks than those asked for, or more than marks")
	}
	for _, wrong := range [][2]int{{0, len(want) + 1}, {-1, 1}, {3, 3 - 1}} {
		var p *Problem
		if err := n.Mark(ctx, s, wrong[0], wrong[1], trial.Good); !errors.As(err, &p) {
			t.Errorf("samples %v: %v", wrong, err)
		}
	}
	if got := must[[]trial.Sample](t)(n.Samples(ctx, s, 0)); !cmp.Equal(want, got) {
		t.Error("a refused change was kept")
	}
}

func TestAChangeThatFailsLeavesNothing(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	bad := full("")
	bad.Events = append(bad.Events, trial.Event{Kind: trial.Drip, Time: math.NaN()})
	if _, err := n.CreateTrial(ctx, bad); err == nil {
		t.Error("an event without a time was kept")
	}
	bad = full("")
	bad.Series[2].Samples = []trial.Sample{{Time: math.Inf(1)}}
	if _, err := n.CreateTrial(ctx, bad); err == nil {
		t.Error("a sample at no time was kept")
	}
	if _, err := n.CreateTrial(ctx, full("0123456789ab")); err == nil {
		t.Error("a trial of an unknown design was kept")
	}
	if trials := must[[]Head](t)(n.Trials(ctx)); len(trials) != 0 {
		t.Errorf("%d trials are left", len(trials))
	}
	id := must[int64](t)(n.CreateTrial(ctx, full("")))
	good := trial.Series{Quantity: trial.Speed, Samples: []trial.Sample{{Time: 1, Value: 2}}}
	worse := trial.Series{Quantity: trial.Speed, Samples: []trial.Sample{{Time: 1, Value: 2, Mark: "odd"}}}
	if err := n.AddSeries(ctx, id, []trial.Series{good, worse}); err == nil {
		t.Error("an unknown mark was kept")
	}
	if err := n.ChangeTrial(ctx, id, func(t *trial.Trial) error { t.Name = "9"; return nil }); err == nil {
		t.Error("a number was taken for a name")
	}
	if diff := cmp.Diff(full(""), must[trial.Trial](t)(n.Trial(ctx, id)), equal); diff != "" {
		t.Error(diff)
	}
	// Foreign keys hold: no series without its trial.
	if _, err := n.db.ExecContext(ctx, "INSERT INTO series (trial_id, quantity, place, source, uncertainty, emissivity) VALUES (99, '', '', '', 0, 0)"); err == nil {
		t.Error("foreign keys are off")
	}
}

func TestTrialsChange(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	id := must[int64](t)(n.CreateTrial(ctx, full("")))
	want := full("")
	want.Name, want.Start, want.Settings = "renamed", math.NaN(), want.Settings[:1]
	if err := n.ChangeTrial(ctx, id, func(t *trial.Trial) error {
		t.Name, t.Start, t.Settings = "renamed", math.NaN(), t.Settings[:1]
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	dropped := must[int](t)(n.DropEvents(ctx, id, trial.Started, "by hand"))
	found := trial.Event{Kind: trial.Stalled, Time: 25000, Uncertainty: 9, Source: trial.BySpeed}
	for range 2 {
		if err := n.ReplaceEvents(ctx, id, []string{trial.BySpeed, trial.ByDifference}, found); err != nil {
			t.Fatal(err)
		}
	}
	if err := n.ReplaceEvents(ctx, id, []string{trial.BySpeed}, trial.Event{Time: math.NaN()}); err == nil {
		t.Error("an event at no time was kept")
	}
	want.Events = []trial.Event{found, want.Events[1]}
	if diff := cmp.Diff(want, must[trial.Trial](t)(n.Trial(ctx, id)), equal); diff != "" || dropped != 1 {
		t.Errorf("%d dropped\n%s", dropped, diff)
	}
}

func TestSameTextIsKeptOnce(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	text := design.Demo()
	first := must[Design](t)(n.SaveDesign(ctx, "a.yaml", text, nil))
	again := must[Design](t)(n.SaveDesign(ctx, "a.yaml", text, nil))
	noted := must[Design](t)(n.SaveDesign(ctx, "a.yaml", append([]byte("# a remark\n"), text...), nil))
	all := must[[]Design](t)(n.Designs(ctx))
	if len(all) != 2 || first.Revision != again.Revision || noted.Revision != first.Revision {
		t.Errorf("%d designs; revisions %s, %s, %s", len(all), first.Revision, again.Revision, noted.Revision)
	}
	if got := must[Design](t)(n.Design(ctx, first.Revision)); !bytes.HasPrefix(got.Text, []byte("# a remark")) {
		t.Error("not the newest text of the revision")
	}
	var problems design.Problems
	if _, err := n.SaveDesign(ctx, "b.yaml", []byte("meltspan: 1\n"), nil); !errors.As(err, &problems) {
		t.Errorf("a design with mistakes: %v", err)
	}
}

func BenchmarkAppend(b *testing.B) {
	ctx := b.Context()
	n := must[*Notebook](b)(Open(ctx, filepath.Join(b.TempDir(), "trials.notebook")))
	defer n.Close()
	id := must[int64](b)(n.CreateTrial(ctx, trial.Trial{Kind: trial.Run, Start: math.NaN()}))
	for _, count := range []int{1, 1_000_000} {
		b.Run(fmt.Sprint(count), func(b *testing.B) {
			s := must[int64](b)(n.OpenSeries(ctx, id, trial.Series{Quantity: trial.Room}))
			samples := make([]trial.Sample, count)
			for b.Loop() {
				if err := n.Append(ctx, s, samples...); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// The same result is kept once when asked so; heads come without payloads.
func TestResultsKeptOnce(t *testing.T) {
	ctx, n := t.Context(), fresh(t)
	r := Result{Kind: Search, Code: "v1", Inputs: json.RawMessage(`{"seed": 1}`), Payload: json.RawMessage(`{"found": [1, 2]}`)}
	first := must[int64](t)(n.KeepOnce(ctx, r))
	spaced := r
	spaced.Payload = json.RawMessage(`{ "found":[1,2] }`)
	if again := must[int64](t)(n.KeepOnce(ctx, spaced)); again != first {
		t.Errorf("kept again as %d", again)
	}
	for name, change := range map[string]func(*Result){
		"kind":     func(r *Result) { r.Kind = Variation },
		"program":  func(r *Result) { r.Code = "v2" },
		"revision": func(r *Result) { r.Revision = "0123456789ab" },
		"inputs":   func(r *Result) { r.Inputs = json.RawMessage(`{"seed":2}`) },
		"payload":  func(r *Result) { r.Payload = json.RawMessage(`{"found":[2,1]}`) },
	} {
		other := r
		change(&other)
		if id := must[int64](t)(n.KeepOnce(ctx, other)); id == first {
			t.Errorf("another %s is taken for the same", name)
		}
	}
	if again := must[int64](t)(n.Keep(ctx, r)); again == first {
		t.Error("Keep kept nothing")
	}
	heads := must[[]Result](t)(n.ResultHeads(ctx, Search))
	if len(heads) != 6 || string(heads[0].Payload) != "null" || string(heads[0].Inputs) != `{"seed":1}` {
		t.Errorf("%d heads, the first %+v", len(heads), heads[0])
	}
	if whole := must[Result](t)(n.Result(ctx, first)); string(whole.Payload) != `{"found":[1,2]}` {
		t.Errorf("%+v", whole)
	}
	var p *Problem
	if _, err := n.Result(ctx, 99); !errors.As(err, &p) {
		t.Errorf("no such result: %v", err)
	}
}
