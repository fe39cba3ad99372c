package engine

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// near fails the test unless got is want within a relative tolerance.
func near(t *testing.T, name string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s = %.12g, want %.12g within %g", name, got, want, tolerance)
	}
}

// Urieli and Berchowitz 1984, Schmidt analysis: swept 100 cm3 each, cooler,
// regenerator and heater 20 cm3 each, 300 and 900 K, 90 degrees, mean pressure
// 1 bar. Numbers: closed form and quadrature by an independent library, which
// agree to 1e-15.
func TestSchmidtAlpha(t *testing.T) {
	c := SchmidtAlpha(Alpha{
		SweptCompression: 100e-6, SweptExpansion: 100e-6, Cooler: 20e-6, Regenerator: 20e-6, Heater: 20e-6,
		Cold: 300, Hot: 900, Phase: math.Pi / 2, MeanPressure: 1e5,
	})
	for _, r := range []struct {
		name      string
		got, want float64
	}{
		{"s", c.Sum, 3.477315207e-7}, {"b", c.Swing, 0.5052233742}, {"beta, degrees", c.Lag * 180 / math.Pi, 18.43494882},
		{"compression work", c.CompressionWork, -2.694158288}, {"expansion work", c.ExpansionWork, 8.082474863},
		{"work", c.Work, 5.388316575}, {"efficiency", c.Efficiency, 2.0 / 3},
		{"least pressure", c.LeastPressure, 57332.93}, {"most pressure", c.MostPressure, 174419.84},
	} {
		near(t, r.name, r.got, r.want, 1e-7)
	}
}

// small is the palm-size engine of the check: displacer 60 cm3, piston 1.2 cm3,
// dead volume 10 cm3, air at one atmosphere.
var small = Stirling{
	StillConductance: 0.1, IntakePerCycle: 0.01, StallDifference: 6, StartDifference: 9,
	StallSpeed: 0.5, SpeedPerKelvin: 0.2,
	DisplacerSweptVolume: 60e-6, PowerSweptVolume: 1.2e-6, DeadVolume: 10e-6, MeanPressure: 101325,
}

// Quadrature by an independent library, 22 degC over 1 degC: 5.987937 mJ.
func TestGammaWork(t *testing.T) {
	near(t, "J", small.SchmidtWork(295.15, 274.15), 5.987937e-3, 1e-6)
}

// The closed form against the cycle integral of p dV, step by step, for an
// engine far from the small limit.
func TestGammaWorkAgainstIntegral(t *testing.T) {
	s := Stirling{DisplacerSweptVolume: 50e-6, PowerSweptVolume: 40e-6, DeadVolume: 20e-6, MeanPressure: 2e5}
	const hot, cold, steps = 700.0, 300.0, 2000
	inverse := func(a float64) float64 {
		return 25e-6*(1+math.Cos(a))/hot + (25e-6*(1-math.Cos(a))+20e-6*(1+math.Sin(a)))/cold +
			20e-6*math.Log(hot/cold)/(hot-cold)
	}
	pressure, work := 0.0, 0.0
	for i := range steps {
		a := 2 * math.Pi * float64(i) / steps
		pressure += 1 / inverse(a) / steps
		work += 20e-6 * math.Cos(a) / inverse(a) * 2 * math.Pi / steps
	}
	near(t, "J", s.SchmidtWork(hot, cold), work/pressure*2e5, 1e-10)
}

// A cycle without temperature difference gives no work; one reversed takes it.
func TestWorkFollowsDifference(t *testing.T) {
	if got := small.SchmidtWork(280, 280); got != 0 {
		t.Errorf("work without a difference = %g J", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		cold := rapid.Float64Range(250, 320).Draw(t, "cold")
		d := rapid.Float64Range(0.1, 80).Draw(t, "difference")
		if w, more := small.SchmidtWork(cold+d, cold), small.SchmidtWork(cold+d+1, cold); !(0 < w && w < more) {
			t.Fatalf("work %g J at %g K, %g J at 1 K more", w, d, more)
		}
		if w := small.SchmidtWork(cold, cold+d); !(w < 0) {
			t.Fatalf("work %g J with the plates exchanged", w)
		}
	})
}

func TestNoWorkFromNonsense(t *testing.T) {
	for _, s := range []Stirling{{}, {DisplacerSweptVolume: -1, PowerSweptVolume: 1, MeanPressure: 1}} {
		if got := s.SchmidtWork(300, 270); got != 0 {
			t.Errorf("work = %g", got)
		}
	}
	if got := small.SchmidtWork(0, math.NaN()); got != 0 {
		t.Errorf("work = %g", got)
	}
	if got := SchmidtAlpha(Alpha{}); got != (AlphaCycle{}) {
		t.Errorf("cycle = %+v", got)
	}
}
