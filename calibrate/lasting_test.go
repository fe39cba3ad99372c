package calibrate

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"meltspan/calibrate/internal/synthetic"
	"meltspan/network"
	"meltspan/trial"
)

// shifted is the inference of one invented trial whose load stalled 0.2 K above
// the design's stall difference.
func shifted(t *testing.T) *inference {
	t.Helper()
	d := demo(t)
	w := bare(0.25)
	w.Interval, w.Turning, w.Stopwatch, w.LastIce, w.Stall = 120, true, 30, 0.01, 0.2
	tr, _, err := synthetic.Run("shifted", d, w, rand.New(rand.NewPCG(6, 5)))
	if err != nil {
		t.Fatal(err)
	}
	in, err := prepare([]Case{{d, tr}}, DefaultDiscrepancy())
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// One run that is followed beyond its stall says when it stalls at any other
// difference: as runs do that stall there, within the few hundredths of a kelvin to
// which the network's steps agree with each other.
func TestOneRunStallsAtAnyDifference(t *testing.T) {
	d := demo(t)
	m, err := network.Build(d)
	if err != nil {
		t.Fatal(err)
	}
	run, err := m.Run(context.Background(), network.Options{Course: true, Beyond: 0.9})
	if err != nil {
		t.Fatal(err)
	}
	l := lastingOf(run, stallDifference(d), 0.3)
	before := math.Inf(1)
	for _, excess := range []float64{-0.8, -0.3, 0, 0.3, 0.8} {
		got, want := l.stalls(excess), m.Time(network.Options{Beyond: -excess}).RunTime
		if there := l.excessAt(want); math.Abs(there-excess) > 0.03 {
			t.Errorf("stalling at %+.1f K: at %.0f s by the long run, at %.0f s by its own, where the long run is at %+.3f K", excess, got, want, there)
		}
		if back := l.excessAt(got); math.Abs(back-excess) > 1e-9 {
			t.Errorf("at %.0f s the excess is %g, want %g", got, back, excess)
		}
		if got >= before {
			t.Errorf("stalling at %+.1f K takes %.0f s, no less than at a smaller difference", excess, got)
		}
		before = got
	}
}

// The ways in which a run may have ended have chances that add up to one, and
// share the stall differences out between them without gap.
func TestWaysAddUp(t *testing.T) {
	source := rand.New(rand.NewPCG(3, 9))
	for range 200 {
		l := &lasting{size: 0.3}
		least := 4 * source.Float64()
		for at := 0.0; least > -0.9; at += 300 + 2000*source.Float64() {
			l.times, l.excess = append(l.times, at), append(l.excess, least)
			least -= math.Max(source.NormFloat64(), 0) // flat now and then
		}
		if len(l.times) == 0 {
			continue
		}
		sum, high := 0.0, math.Inf(1)
		for _, w := range l.ways(300+20000*source.Float64(), 0.05) {
			sum += w.chance
			if w.high > high+1e-12 || !(w.low < w.high) || math.IsNaN(w.runTime) {
				t.Fatalf("a way from %g to %g after one that ended at %g, run time %g", w.low, w.high, high, w.runTime)
			}
			high = w.low
		}
		if math.Abs(sum-1) > 1e-6 {
			t.Fatalf("chances add up to %g", sum)
		}
	}
}

// The likelihood of a run is that of all stall differences and paces of the trial
// together: by its few ways as by a thousand of both.
func TestWaysAreTheIntegral(t *testing.T) {
	in := shifted(t)
	w := in.whole()
	source := rand.New(rand.NewPCG(8, 8))
	s := in.subjects[0]
	s.keep = true
	for _, off := range []float64{0, 0.7, -1.2} {
		row := make([]float64, len(in.columns))
		for i := range row {
			if in.columns[i].Path == "load.engine.stall_difference" {
				row[i] = off
			}
		}
		runs, err := in.evaluate(t.Context(), [][]float64{row})
		if err != nil {
			t.Fatal(err)
		}
		got := w.of(&particle{row: row, runs: runs[0]})
		const n = 3000
		sum, r := 0.0, &runs[0][0]
		for range n {
			at := r.lasting.stalls(s.stallSize * source.NormFloat64())
			features := make([]float64, len(s.features))
			s.readFeatures(r.run, at, r.last, 1, features)
			sum += math.Exp(w.misfit(0, features)-got) / n
		}
		if math.Abs(sum-1) > 0.12 {
			t.Errorf("%+.1f: %.3f times the likelihood by draws", off, sum)
		}
	}
}

// What is drawn for a trial whose stall was seen agrees with that stall: its run
// time with stall difference and pace of its own is the one seen.
func TestCompletedRowsStallWhenTheTrialDid(t *testing.T) {
	in := shifted(t)
	for _, s := range in.subjects {
		s.keep = true
	}
	w := in.whole()
	source := rand.New(rand.NewPCG(5, 1))
	row := make([]float64, len(in.columns))
	runs, err := in.evaluate(t.Context(), [][]float64{row})
	if err != nil {
		t.Fatal(err)
	}
	seen := in.subjects[0].trial.Event(trial.Stalled).Time
	var logs, shifts []float64
	for range 400 {
		p := w.complete(&particle{row: row, runs: runs[0]}, source)
		full := in.subjects[0].read(p.runs[0].run, p.runs[0].lasting, p.runs[0].late, p.row)
		logs, shifts = append(logs, math.Log(full.runTime/seen)), append(shifts, p.row[in.subjects[0].shift])
	}
	mean, deviation := moments(logs)
	if math.Abs(mean) > 0.01 || deviation > 0.02 {
		t.Errorf("run times differ from the one seen by %.3f +- %.3f of it", mean, deviation)
	}
	if shift, _ := moments(shifts); shift < 0.1 {
		t.Errorf("mean shift %.2f of its deviation, of a trial that stalled 0.2 K early", shift)
	}
}
