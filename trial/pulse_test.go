package trial

import (
	"math"
	"testing"
)

func TestPulseTimesGiveSpeedOverAWholeRevolution(t *testing.T) {
	// Two marks, unevenly spaced: 0.1 s and 0.4 s of a turn of 0.5 s.
	p := Pulses{Form: PulseTime, PerRevolution: 2}
	stamp, got := 100.0, []float64{}
	for i := range 9 {
		if v, ok := p.Add(float64(i), stamp); ok {
			got = append(got, v)
		}
		stamp += []float64{0.1, 0.4}[i%2]
	}
	if len(got) != 7 {
		t.Fatalf("%d speeds from 9 pulses, want 7", len(got))
	}
	for _, v := range got {
		if math.Abs(v-2) > 1e-9 {
			t.Errorf("speed %g, want 2 /s", v)
		}
	}
}

// A clock of microseconds in 32 bits runs over after 71 minutes.
func TestPulseClockRunsOver(t *testing.T) {
	p := Pulses{Form: PulseTime, PerRevolution: 1, Tick: 1e-6}
	const whole = 4294.967296
	p.Add(1000, whole-0.3)
	if v, ok := p.Add(1000.5, 0.2); !ok || math.Abs(v-2) > 1e-6 {
		t.Errorf("speed %g, %v; want 2 /s", v, ok)
	}
	if _, ok := p.Add(1400, 0.1); ok {
		t.Error("a sensor that started anew gave a speed at once")
	}
	if v, ok := p.Add(1401, 0.6); !ok || math.Abs(v-2) > 1e-6 {
		t.Errorf("speed %g, %v after starting anew; want 2 /s", v, ok)
	}
}

func TestBounceIsNoPulse(t *testing.T) {
	p := Pulses{Form: PulseTime, PerRevolution: 1}
	for _, stamp := range []float64{1, 1.0004, 1.5, 1.5003, 2} {
		if v, ok := p.Add(stamp, stamp); ok && math.Abs(v-2) > 1e-9 {
			t.Errorf("speed %g at %g s, want 2 /s", v, stamp)
		}
	}
	q := Pulses{Form: PulsePeriod, PerRevolution: 1}
	if v, ok := q.Add(1, 0.25); !ok || v != 4 {
		t.Errorf("period 0.25 s: speed %g, %v; want 4 /s", v, ok)
	}
	if _, ok := q.Add(1, 0.0002); ok {
		t.Error("a bounce gave a speed")
	}
}

func TestCountsGiveSpeed(t *testing.T) {
	// 1.7 turns a second, three pulses a turn, read every 0.25 s, and the sensor
	// starts anew at 30 s.
	p := Pulses{Form: PulseCount, PerRevolution: 3}
	worst, n := 0.0, 0
	for i := range 240 {
		at := float64(i) * 0.25
		since := at
		if at >= 30 {
			since = at - 30
		}
		if v, ok := p.Add(at, math.Floor(since*1.7*3)); ok {
			worst, n = max(worst, math.Abs(v/1.7-1)), n+1
		}
	}
	if n < 20 || worst > 0.13 { // one reading of 0.25 s in a window of 2 s
		t.Errorf("%d speeds, the worst off by %.0f %%", n, 100*worst)
	}
}

func TestSilenceMeansStandingStill(t *testing.T) {
	p := Pulses{Form: PulseTime, PerRevolution: 1}
	if p.Quiet(100) {
		t.Error("still before there was any pulse")
	}
	for at := 0.0; at < 10; at += 0.5 {
		p.Add(at, at)
	}
	told := 0
	for at := 10.0; at < 40; at++ {
		if p.Quiet(at) {
			told++
			if told == 1 && (at < 14.5 || at > 15.5) {
				t.Errorf("told at %g s, want 5 s after the last pulse", at)
			}
		}
	}
	if told != 3 { // at 15, 25 and 35 s
		t.Errorf("told %d times in 30 s, want 3", told)
	}
	if _, ok := p.Add(50, 50); ok {
		t.Error("the pause itself gave a speed")
	}
}
