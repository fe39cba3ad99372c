package calibrate

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"meltspan/calibrate/internal/synthetic"
	"meltspan/trial"
)

// BenchmarkCalibrate holds the claim of docs/benchmarks.md: six unknowns, five
// trials with logs of 3,000 samples, four chains.
func BenchmarkCalibrate(b *testing.B) {
	d := demo(b)
	var cases []Case
	truth, _ := drawnTruth(b, d, rand.New(rand.NewPCG(2, 7)))
	for i := range 5 {
		source := rand.New(rand.NewPCG(uint64(i), 8))
		w, _ := assumed(DefaultDiscrepancy(), 7*3600, source)
		w.Interval = 10
		t, what, err := synthetic.Run(fmt.Sprintf("trial %d", i), truth, w, source)
		if err != nil || len(t.Find(trial.TopPlate).Samples) < 2500 {
			b.Fatal(err, what.RunTime)
		}
		cases = append(cases, Case{d, t})
	}
	o := Options{Unknowns: []string{"model.still", "load.engine.intake_per_cycle", "load.engine.stall_difference",
		"load.engine.stall_speed", "load.engine.speed_per_kelvin", "materials.pla.conductivity"}}
	for b.Loop() {
		p, err := Calibrate(context.Background(), cases, o)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(p.Sampling.Rhat, "R-hat")
		b.ReportMetric(p.Sampling.Size, "effective-size")
		b.ReportMetric(float64(p.Sampling.Followed), "unknowns")
		b.ReportMetric(float64(p.Sampling.Runs), "network-runs")
		b.ReportMetric(p.Sampling.Efficiency, "efficiency")
	}
}

// BenchmarkCalibrateOne is one trial with all unknowns followed by true runs.
func BenchmarkCalibrateOne(b *testing.B) {
	c, _ := running(b)
	for b.Loop() {
		p, err := Calibrate(context.Background(), []Case{c}, Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(p.Sampling.Size, "effective-size")
		b.ReportMetric(float64(p.Sampling.Runs), "network-runs")
	}
}

// running is a trial with a log of a sample every ten seconds.
func running(b *testing.B) (Case, synthetic.Truth) {
	d := demo(b)
	source := rand.New(rand.NewPCG(2, 7))
	truth, _ := drawnTruth(b, d, source)
	w, _ := assumed(DefaultDiscrepancy(), 7*3600, source)
	w.Interval = 10
	t, what, err := synthetic.Run("now", truth, w, source)
	if err != nil {
		b.Fatal(err)
	}
	return Case{d, t}, what
}

// BenchmarkForecast is the first update of a trial at one third, members drawn
// and led to the log.
func BenchmarkForecast(b *testing.B) {
	c, what := running(b)
	for b.Loop() {
		f, err := NewForecaster(c, nil, ForecastOptions{})
		if err != nil {
			b.Fatal(err)
		}
		got, err := f.Update(context.Background(), c.Trial, what.RunTime/3)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(got.Runs), "network-runs")
	}
}

// BenchmarkForecastLater is an update each minute for half an hour from there on.
func BenchmarkForecastLater(b *testing.B) {
	c, what := running(b)
	for b.Loop() {
		b.StopTimer()
		f, err := NewForecaster(c, nil, ForecastOptions{})
		if err != nil {
			b.Fatal(err)
		}
		first, err := f.Update(context.Background(), c.Trial, what.RunTime/3)
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		last := first
		for minute := range 30 {
			if last, err = f.Update(context.Background(), c.Trial, what.RunTime/3+60*float64(minute+1)); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(last.Runs-first.Runs), "network-runs")
	}
}
