package live

import (
	"math"
	"path/filepath"
	"testing"

	"meltspan/calibrate"
	"meltspan/design"
	"meltspan/notebook"
	"meltspan/trial"
)

// Each update is kept once, and the last of each course stands in the list.
func TestForecastsAreKeptAndGathered(t *testing.T) {
	ctx := t.Context()
	n, err := notebook.Open(ctx, filepath.Join(t.TempDir(), "trials.notebook"))
	if err != nil {
		t.Fatal(err)
	}
	defer n.Close()
	d, err := design.Parse("demo", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	kept, err := n.SaveDesign(ctx, "demo.yaml", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	one := trial.Trial{Name: "one", Kind: trial.Run, Revision: kept.Revision, Start: math.NaN(),
		Series: []trial.Series{{Quantity: trial.BottomPlate, Source: "invented", Samples: []trial.Sample{{Time: 0, Value: 280}, {Time: 60, Value: 281}, {Time: 120, Value: 282}}}}}
	id, err := n.CreateTrial(ctx, one)
	if err != nil {
		t.Fatal(err)
	}
	keep := func(learned string, update int, now float64) {
		t.Helper()
		f := &calibrate.Forecast{Trial: "one", Now: now, Stall: calibrate.Interval{Low: 1, Median: 2, High: math.NaN()}, Members: 3, Seed: 1}
		if err := KeepForecast(ctx, n, "v1", id, calibrate.Case{Design: d, Trial: &one}, learned, update, f); err != nil {
			t.Fatal(err)
		}
	}
	keep("", 1, 60)
	keep("", 1, 60) // the same again
	keep("7", 1, 90)
	keep("", 2, 120)
	list, err := n.ResultHeads(ctx, "")
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 3 {
		t.Errorf("%d results, want 3", len(list))
	}
	gathered := Gathered(append(list, notebook.Result{ID: 9, Kind: notebook.Calibration}))
	if len(gathered) != 3 || gathered[0].ID != 2 || gathered[0].Updates != 1 || gathered[1].ID != 3 || gathered[1].Updates != 2 || gathered[2].ID != 9 || gathered[2].Updates != 0 {
		t.Errorf("%+v", gathered)
	}
	course, err := KeptForecasts(ctx, n, id, "")
	if err != nil {
		t.Fatal(err)
	}
	if len(course) != 2 || course[0].Now != 60 || course[1].Now != 120 || !math.IsNaN(course[0].Stall.High) {
		t.Errorf("%+v", course)
	}
	for now, want := range map[float64]int{-1: 0, 0: 1, 60: 2, 61: 2, 500: 3} {
		if got := readingsBy(&one, now); got != want {
			t.Errorf("%d readings by %g s, want %d", got, now, want)
		}
	}
}
