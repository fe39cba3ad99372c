package calibrate

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"meltspan/calibrate/internal/synthetic"
	"meltspan/design"
	"meltspan/predict"
	"meltspan/trial"
)

func demo(t testing.TB) *design.Design {
	t.Helper()
	d, err := design.Parse("demo.yaml", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// assumed is a world as the discrepancy has it, with a logged trial, and the
// deviates of the design's pace and the trial's.
func assumed(a Discrepancy, reach float64, source *rand.Rand) (synthetic.World, [2]float64) {
	pace := [2]float64{source.NormFloat64(), source.NormFloat64()}
	return synthetic.World{
		Pace:    math.Exp(a.Design*pace[0] + a.Repeat*pace[1]),
		Stall:   a.Stall * source.NormFloat64(),
		LastIce: a.LastIce, Temperature: a.Temperature, Speed: a.Speed, Length: a.Correlation * reach,
		Sensor: a.Sensor, Tachometer: a.Tachometer, Noise: 0.05, Interval: 60, Stopwatch: a.Stopwatch, Turning: true, Tail: 600,
	}, pace
}

// drawnTruth is the design with every uncertain input at a drawn value, and the
// deviates by path.
func drawnTruth(t testing.TB, d *design.Design, source *rand.Rand) (*design.Design, map[string]float64) {
	t.Helper()
	truth, deviates := d.Clone(), map[string]float64{}
	unknowns, err := predict.Unknowns(d)
	if err != nil {
		t.Fatal(err)
	}
	for i := range unknowns {
		z := source.NormFloat64()
		unknowns[i].Set(truth, z)
		deviates[unknowns[i].Input().Path] = z
	}
	truth.Rederive()
	return truth, deviates
}

// seen is a trial of the demo made by the network, the pace as the model has it.
func seen(t testing.TB, name string, seed uint64, turning bool) (Case, synthetic.Truth) {
	t.Helper()
	d := demo(t)
	w := bare(0.25)
	w.Interval, w.Turning, w.Stopwatch, w.LastIce = 120, turning, 30, 0.01
	tr, what, err := synthetic.Run(name, d, w, rand.New(rand.NewPCG(seed, 5)))
	if err != nil {
		t.Fatal(err)
	}
	return Case{d, tr}, what
}

// The diagnostics are good; the true values, which are the nominal ones, lie where
// the posterior is; what is learnt narrows the run time; and columns and draws survive being stored.
func TestCalibrateOnOneTrial(t *testing.T) {
	c, what := seen(t, "one", 1, true)
	p, err := Calibrate(t.Context(), []Case{c}, Options{Draws: 200, Population: 50})
	if err != nil {
		t.Fatal(err)
	}
	s := p.Sampling
	if s.Rhat > 1.3 || s.Size < 40 || s.Efficiency < 0.2 || s.Interrupted || s.Followed == 0 || len(p.Cautions) > 2 {
		t.Errorf("%+v %q", s, p.Cautions)
	}
	for _, u := range p.Unknowns {
		if u.Followed && math.Abs(u.Shift) > 3*u.Spread {
			t.Errorf("%s: the nominal value is true and lies %.1f spreads off: %+v", u.name(), u.Shift/u.Spread, u.Posterior)
		}
	}
	if f := p.Trials[0]; f.Chance < 0.02 || !f.Model.Holds(what.RunTime) {
		t.Errorf("%+v", f)
	}
	text, err := json.Marshal(struct {
		Columns []Column
		Draws   [][]float64
	}{p.Columns, p.Draws})
	if err != nil {
		t.Fatal(err)
	}
	stored := Posterior{Discrepancy: p.Discrepancy}
	if err := json.Unmarshal(text, &stored); err != nil {
		t.Fatal(err)
	}
	fresh, err := p.Predict(t.Context(), c.Design, PredictOptions{Draws: 40})
	if err != nil {
		t.Fatal(err)
	}
	kept, err := stored.Predict(t.Context(), c.Design, PredictOptions{Draws: 40})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(fresh, kept) {
		t.Errorf("a stored posterior predicts %+v, the fresh one %+v", kept.Posterior, fresh.Posterior)
	}
	if fresh.Posterior.HalfWidth() > fresh.Prior.HalfWidth()/2 || !fresh.Posterior.Holds(what.RunTime) {
		t.Errorf("run time %.0f s, before %+v, after %+v", what.RunTime, fresh.Prior, fresh.Posterior)
	}
	if len(p.Settings()) == 0 {
		t.Error("nothing to write into the design")
	}
}

// A stopwatch alone teaches something of the run time and hardly anything of a
// single unknown, and nothing is lost on the way. The same seed gives the same
// posterior.
func TestCalibrateByStopwatchAlone(t *testing.T) {
	c, what := seen(t, "one", 2, false)
	c.Trial.Series = nil
	p, err := Calibrate(t.Context(), []Case{c}, Options{Draws: 200, Population: 40})
	if err != nil {
		t.Fatal(err)
	}
	again, err := Calibrate(t.Context(), []Case{c}, Options{Draws: 200, Population: 40})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(p.Draws, again.Draws) {
		t.Error("the same seed gave other draws")
	}
	if p.Sampling.Features != 2 {
		t.Errorf("%d numbers from two stopwatch times", p.Sampling.Features)
	}
	got, err := p.Predict(t.Context(), c.Design, PredictOptions{Draws: 60})
	if err != nil {
		t.Fatal(err)
	}
	if !got.Posterior.Holds(what.RunTime) || got.Posterior.HalfWidth() > 0.8*got.Prior.HalfWidth() {
		t.Errorf("run time %.0f s: %+v before, %+v after", what.RunTime, got.Prior, got.Posterior)
	}
}

// Cancelled at any stage, what there is comes back with the context's error.
func TestCalibrateCancelled(t *testing.T) {
	c, _ := seen(t, "one", 1, false)
	for stage, whole := range map[string]bool{"looking at every input": false, "learning what the network does near them": true} {
		ctx, cancel := context.WithCancel(t.Context())
		p, err := Calibrate(ctx, []Case{c}, Options{Draws: 100, Progress: func(now string, done, of int) {
			if now == stage {
				cancel()
			}
		}})
		cancel()
		if !errors.Is(err, context.Canceled) {
			t.Errorf("cancelled while %s: %v", stage, err)
		}
		if whole != (p != nil && len(p.Draws) > 0 && p.Sampling.Interrupted && len(p.Cautions) > 0) {
			t.Errorf("cancelled while %s: %+v", stage, p)
		}
	}
}

func TestMistakenCases(t *testing.T) {
	c, _ := seen(t, "one", 1, false)
	bad := *c.Trial
	bad.Settings = []trial.Setting{{Path: "store.mass", Value: "110 mm"}}
	empty := trial.Trial{Name: "empty"}
	for what, try := range map[string]func() error{
		"no trial":         func() error { _, err := Calibrate(t.Context(), nil, Options{}); return err },
		"called":           func() error { _, err := Calibrate(t.Context(), []Case{c, c}, Options{}); return err },
		"store.mass":       func() error { _, err := Calibrate(t.Context(), []Case{{c.Design, &bad}}, Options{}); return err },
		"nothing to learn": func() error { _, err := Calibrate(t.Context(), []Case{{c.Design, &empty}}, Options{}); return err },
		"no uncertain": func() error {
			_, err := Calibrate(t.Context(), []Case{c}, Options{Unknowns: []string{"stand.colour"}})
			return err
		},
		"not a warm plate":  func() error { _, err := Characterise(c.Design, c.Trial, DefaultDiscrepancy()); return err },
		"two trials":        func() error { _, err := (&Posterior{}).Compare(t.Context(), []Case{c}, CompareOptions{}); return err },
		"decides nothing":   func() error { return (&Forecaster{}).Ask("x", 100, 1, 0.3) },
		"a design and a tr": func() error { _, err := Calibrate(t.Context(), []Case{{nil, nil}}, Options{}); return err },
	} {
		if err := try(); err == nil || !strings.Contains(err.Error(), what) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// Two unknowns whose sum alone is known are told as fixed together; two that are
// known apart are not.
func TestTies(t *testing.T) {
	source := rand.New(rand.NewPCG(1, 1))
	p := &Posterior{}
	for _, path := range []string{"wall", "base", "film"} {
		p.Columns = append(p.Columns, Column{Path: path})
		p.Unknowns = append(p.Unknowns, Learned{Column: Column{Path: path}, Followed: true})
	}
	for range 2000 {
		a := source.NormFloat64()
		p.Draws = append(p.Draws, []float64{a, -a + 0.3*source.NormFloat64(), 0.5 * source.NormFloat64()})
	}
	p.tie()
	if len(p.Ties) != 1 || !strings.Contains(p.Ties[0].Words, "fix wall and base together not each") {
		t.Errorf("%+v", p.Ties)
	}
}

// The band of a forecast narrows as the trial goes on and holds the truth; most
// updates run no member anew; a question is decided once it can be.
func TestForecastNarrows(t *testing.T) {
	c, what := seen(t, "now", 3, true)
	f, err := NewForecaster(c, nil, ForecastOptions{Members: 50})
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Ask("trial 12", 0.7*what.RunTime, 60, 0.9); err != nil {
		t.Fatal(err)
	}
	before, runs, decided := math.Inf(1), 0, false
	for _, share := range []float64{0.3, 0.31, 0.6, 0.9} {
		got, err := f.Update(t.Context(), c.Trial, share*what.RunTime)
		if err != nil {
			t.Fatal(err)
		}
		width := got.Stall.High - got.Stall.Low
		if !got.Stall.Holds(what.RunTime) || width > 1.3*before || got.Stall.Low < got.Now {
			t.Errorf("at %.0f %%: %+v, truth %.0f s", 100*share, got.Stall, what.RunTime)
		}
		if share == 0.31 && got.Runs-runs >= 50 { // but for what melts after the load has stalled
			t.Errorf("a minute later %d more runs were made, where the 50 members served as they are", got.Runs-runs)
		}
		before, runs, decided = width, got.Runs, got.Question.Decided
	}
	if !decided {
		t.Error("not decided at nine tenths, past the other's run time")
	}
	got, err := f.Update(t.Context(), c.Trial, what.RunTime+300)
	if err != nil {
		t.Fatal(err)
	}
	if !got.Stalled || got.Question.Verdict != "longer" {
		t.Errorf("%+v", got)
	}
}
