package trial

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func series(q Quantity, step float64, n int, at func(t float64) float64) Series {
	s := Series{Quantity: q}
	for i := range n {
		t := float64(i) * step
		s.Samples = append(s.Samples, Sample{Time: t, Value: at(t)})
	}
	return s
}

// A load that turns from 40 s to 1000 s.
func turns(t float64) float64 {
	if t >= 40 && t <= 1000 {
		return 0.9
	}
	return 0
}

func TestStallBySpeed(t *testing.T) {
	t.Parallel()
	trial := Trial{Series: []Series{series(Speed, 7, 300, turns)}}
	d := trial.Detect(Stalling{})
	// Readings at 994 s and 1001 s: half-way, give or take 7 s/sqrt(12).
	if d.Outcome != HasStalled || d.Stall.Time != 997.5 || math.Abs(d.Stall.Uncertainty-7/math.Sqrt(12)) > 1e-12 || d.Stall.Source != BySpeed {
		t.Errorf("%s, %+v", d.Outcome, d.Stall)
	}
	if d.Start.Time != 38.5 || d.Threshold != 0 {
		t.Errorf("start %+v, threshold %g", d.Start, d.Threshold)
	}
}

func TestSpeedsThatDeceive(t *testing.T) {
	t.Parallel()
	touched := func(t float64) float64 { // someone turns the wheel by hand, at 1400 s
		if t >= 1400 && t < 1410 {
			return 1.5
		}
		return turns(t)
	}
	for _, c := range []struct {
		name    string
		trial   Trial
		outcome Outcome
		stall   float64
		within  float64
	}{
		{"touched later", Trial{Series: []Series{series(Speed, 7, 300, touched)}}, HasStalled, 997.5, 1e-9},
		{"noise", Trial{Series: []Series{series(Speed, 7, 300, func(t float64) float64 { return turns(t) + 0.03*math.Sin(t) })}}, HasStalled, 997.5, 1e-9},
		{"falls silent", Trial{Series: []Series{series(Speed, 7, 140, turns), series(Room, 30, 100, func(float64) float64 { return 295 })}}, HasStalled, 976.5, 1e-9},
		{"still running", Trial{Series: []Series{series(Speed, 7, 140, turns)}}, StillRunning, 0, 0},
		{"never ran", Trial{Series: []Series{series(Speed, 7, 140, func(float64) float64 { return 0 })}}, NeverRan, 0, 0},
		{"stops and starts", Trial{Series: []Series{series(Speed, 7, 300, func(t float64) float64 {
			if t > 300 && t < 400 {
				return 0
			}
			return turns(t)
		})}}, HasStalled, 997.5, 1e-9},
		{"nothing logged", Trial{}, Unknown, 0, 0},
	} {
		d := c.trial.Detect(Stalling{})
		if d.Outcome != c.outcome || (d.Stall != nil) != (c.outcome == HasStalled) {
			t.Errorf("%s: %s, want %s", c.name, d.Outcome, c.outcome)
		} else if d.Stall != nil && math.Abs(d.Stall.Time-c.stall) > c.within {
			t.Errorf("%s: stalled at %g s, want %g s", c.name, d.Stall.Time, c.stall)
		}
	}
}

// plates are the logs of two plates whose difference rises to 16 K, and falls
// through 6 K at exactly 9000 s.
func plates(step float64, noise float64, rng *rand.Rand) Trial {
	difference := func(t float64) float64 {
		return math.Min(t/20, 6+(9000-t)/700+math.Pow((9000-t)/4500, 3))
	}
	n := int(12000 / step)
	trial := Trial{Series: []Series{
		series(BottomPlate, step, n, func(t float64) float64 { return 275 + noise*rng.NormFloat64() }),
		series(TopPlate, step, n, func(t float64) float64 { return 275 + difference(t) + noise*rng.NormFloat64() }),
	}}
	return trial
}

func TestStallByDifferenceWithoutNoise(t *testing.T) {
	t.Parallel()
	for _, step := range []float64{1, 10, 60, 300} {
		trial := plates(step, 0, rand.New(rand.NewPCG(1, 1)))
		d := trial.Detect(Stalling{Difference: 6})
		// The difference is no straight line: over five readings of 300 s it
		// bends by some seconds.
		if d.Outcome != HasStalled || math.Abs(d.Stall.Time-9000) > max(1, step/20) {
			t.Errorf("every %g s: %s, %+v", step, d.Outcome, d.Stall)
		}
		if rise := 120.0; math.Abs(d.Start.Time-rise) > step {
			t.Errorf("every %g s: started at %g s, want %g s", step, d.Start.Time, rise)
		}
	}
}

// The stated uncertainty is that which repeats show: over 400 logs with noise
// the error in units of it has a standard deviation of 1.
func TestStallUncertaintyIsThatOfRepeats(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 7))
	for _, c := range []struct{ step, noise float64 }{{10, 0.05}, {10, 0.3}, {60, 0.1}} {
		sum, sum2, n := 0.0, 0.0, 400
		for range n {
			trial := plates(c.step, c.noise, rng)
			d := trial.Detect(Stalling{Difference: 6})
			if d.Outcome != HasStalled {
				t.Fatalf("%+v: %s", c, d.Outcome)
			}
			z := (d.Stall.Time - 9000) / d.Timing
			sum, sum2 = sum+z, sum2+z*z
		}
		bias, spread := sum/float64(n), math.Sqrt(sum2/float64(n))
		// 400 draws know a standard deviation to 3.5 %; few readings in the
		// line and where the median switches add to it.
		if math.Abs(bias) > 0.3 || spread < 0.85 || spread > 1.25 {
			t.Errorf("%+v: errors of %.2f +- %.2f of what is stated", c, bias, spread)
		}
	}
}

// A stall difference known to 0.35 K where the difference falls by 1 K in
// 700 s cannot tell the time better than 245 s.
func TestThresholdCarriesTheStallDifference(t *testing.T) {
	t.Parallel()
	trial := plates(10, 0, rand.New(rand.NewPCG(1, 1)))
	trial.Series[0].Uncertainty, trial.Series[1].Uncertainty = 0.3, 0.4
	plain := trial.Detect(Stalling{Difference: 6})
	if want := 0.5 * 700; math.Abs(plain.Threshold-want) > 0.02*want {
		t.Errorf("sensors alone: %g s, want %g s", plain.Threshold, want)
	}
	d := trial.Detect(Stalling{Difference: 6, Uncertainty: 1.2})
	if want := 1.3 * 700; math.Abs(d.Threshold-want) > 0.02*want || math.Abs(d.Stall.Uncertainty-math.Hypot(d.Timing, d.Threshold)) > 1e-9 {
		t.Errorf("with the stall difference: %g s, want %g s", d.Threshold, want)
	}
}

func TestHotStoresStallToo(t *testing.T) {
	t.Parallel()
	trial := plates(10, 0, rand.New(rand.NewPCG(1, 1)))
	for i := range trial.Series[1].Samples {
		trial.Series[1].Samples[i].Value = 550 - trial.Series[1].Samples[i].Value
	}
	if d := trial.Detect(Stalling{Difference: 6, Hot: true}); d.Outcome != HasStalled || math.Abs(d.Stall.Time-9000) > 1 {
		t.Errorf("%s, %+v", d.Outcome, d.Stall)
	}
	if d := trial.Detect(Stalling{Difference: 6}); d.Outcome != NeverRan {
		t.Errorf("taken for a cold store: %s", d.Outcome)
	}
}

// Marked readings count for nothing, and a gap at the stall is said.
func TestStallAcrossAGap(t *testing.T) {
	t.Parallel()
	trial := plates(10, 0.02, rand.New(rand.NewPCG(3, 3)))
	for i := range trial.Series {
		for j := range trial.Series[i].Samples {
			if x := &trial.Series[i].Samples[j]; x.Time > 8500 && x.Time < 9700 {
				x.Value, x.Mark = 146.15, Fault
			}
		}
	}
	d := trial.Detect(Stalling{Difference: 6})
	if d.Outcome != HasStalled || math.Abs(d.Stall.Time-9000) > 60 {
		t.Errorf("%s, %+v", d.Outcome, d.Stall)
	}
	if gaps := trial.Series[0].Gaps(); len(gaps) != 1 || gaps[0].From != 8500 || gaps[0].To != 9700 {
		t.Errorf("gaps %v", gaps)
	}
	if !strings.Contains(d.Stall.Note, "6.00 K") {
		t.Error(d.Stall.Note)
	}
	if n := trial.Series[0].Marked(); n[Fault] != 119 || n[Good] != 1200-119 {
		t.Errorf("marks %v", n)
	}
}

// Whatever was logged, detection ends and gives numbers.
func FuzzDetect(f *testing.F) {
	f.Add([]byte{10, 200, 10, 30, 10, 1, 10, 0}, 6.0, false)
	f.Add([]byte{0, 0, 0, 0}, 0.1, true)
	f.Fuzz(func(t *testing.T, data []byte, level float64, hot bool) {
		var trial Trial
		at := 0.0
		for _, q := range []Quantity{BottomPlate, TopPlate, Speed} {
			trial.Series = append(trial.Series, Series{Quantity: q})
		}
		for i := 0; i+3 < len(data); i += 4 {
			at += float64(data[i]) + 0.5
			for j := range trial.Series {
				s := Sample{Time: at, Value: float64(data[i+1+j])}
				if data[i+1+j] == 255 {
					s.Mark = Fault
				}
				trial.Series[j].Samples = append(trial.Series[j].Samples, s)
			}
		}
		for range 2 {
			d := trial.Detect(Stalling{Difference: level, Hot: hot})
			for _, e := range []*Event{d.Start, d.Stall} {
				if e != nil && (math.IsNaN(e.Time) || math.IsInf(e.Time, 0) || !(e.Uncertainty >= 0) || math.IsInf(e.Uncertainty, 0)) {
					t.Fatalf("%s: %+v", d.Outcome, e)
				}
			}
			if (d.Stall != nil) != (d.Outcome == HasStalled) {
				t.Fatalf("%s with the stall %+v", d.Outcome, d.Stall)
			}
			trial.Series = trial.Series[:2]
		}
	})
}
