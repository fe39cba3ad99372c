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
		w := assumed(DefaultDiscrepancy(), 7*3600, source)
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

// BenchmarkForecast is one update with new members drawn and run.
func BenchmarkForecast(b *testing.B) {
	d := demo(b)
	source := rand.New(rand.NewPCG(2, 7))
	truth, _ := drawnTruth(b, d, source)
	w := assumed(DefaultDiscrepancy(), 7*3600, source)
	w.Interval = 10
	t, what, err := synthetic.Run("now", truth, w, source)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		f, err := NewForecaster(Case{d, t}, nil, ForecastOptions{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := f.Update(context.Background(), t, what.RunTime/3); err != nil {
			b.Fatal(err)
		}
	}
}
