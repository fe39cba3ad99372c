package engine

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestSpeedLine(t *testing.T) {
	for _, c := range []struct{ difference, want float64 }{
		{0, 0}, {5.99, 0}, {6, 0.5}, {16, 2.5}, {-16, 2.5}, {math.NaN(), 0},
	} {
		if got := small.Speed(c.difference); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("speed at %g K = %g Hz, want %g", c.difference, got, c.want)
		}
	}
}

// At rest the engine is its still conductance; turning adds heat per cycle.
func TestIntake(t *testing.T) {
	near(t, "at rest", small.Intake(10, 0), 1, 1e-12)
	near(t, "turning", small.Intake(10, 2), 1+0.01*10*2, 1e-12)
	near(t, "on a hot store", small.Intake(-10, 2), -1.2, 1e-12)
}

func TestIntakeRisesWithDifferenceAndSpeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(0.1, 60).Draw(t, "difference")
		n := rapid.Float64Range(0, 10).Draw(t, "speed")
		if small.Intake(d+0.1, n) <= small.Intake(d, n) || small.Intake(d, n+0.1) <= small.Intake(d, n) {
			t.Fatalf("intake does not rise at %g K and %g Hz", d, n)
		}
		if small.Speed(d+1) < small.Speed(d) {
			t.Fatalf("speed falls with the difference at %g K", d)
		}
	})
}

// The ideal work is a small share of the heat drawn: the reason why Intake
// books no work.
func TestWorkIsSmallBesideIntake(t *testing.T) {
	speed := small.Speed(21)
	if share := small.SchmidtWork(295.15, 274.15) * speed / small.Intake(21, speed); share > 0.02 {
		t.Errorf("ideal work is %.3f of the intake", share)
	}
}
