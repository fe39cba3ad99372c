package engine

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Curzon and Ahlborn, American Journal of Physics 43 (1975) 22, table of power
// plants; temperatures in degC and observed efficiencies from memory.
func TestCurzonAhlbornPlants(t *testing.T) {
	for _, c := range []struct{ hot, cold, want, observed float64 }{
		{565, 25, 0.403574, 0.36}, {300, 25, 0.278754, 0.30}, {250, 80, 0.178389, 0.16},
	} {
		got := CurzonAhlborn(c.hot+273.15, c.cold+273.15)
		near(t, "efficiency", got, c.want, 3e-6)
		near(t, "against the plant", got, c.observed, 0.15)
	}
}

// Room over ice: 25 and 0 degC.
func TestEfficienciesOverIce(t *testing.T) {
	near(t, "Curzon-Ahlborn", CurzonAhlborn(298.15, 273.15), 0.0428430, 1e-6)
	near(t, "Carnot", Carnot(298.15, 273.15), 0.0838504, 1e-6)
}

func TestNoEfficiencyWithoutDifference(t *testing.T) {
	if Carnot(273, 300) != 0 || CurzonAhlborn(300, 300) != 0 {
		t.Error("an engine without a difference has an efficiency")
	}
}

// Definition of the West number: at a temperature ratio of 2 the temperature
// term is 1/3, at 3 it is 1/2, so the mean West number of 0.25 is a Beale number
// of 0.083 and 0.125; 1 MPa, 100 cm3, 10 Hz make p V f = 1000 W.
func TestWestAndBeale(t *testing.T) {
	near(t, "West, ratio 2", West(MeanWestNumber, 1e6, 100e-6, 10, 600, 300), 1000*0.25/3, 1e-12)
	near(t, "West, ratio 3", West(MeanWestNumber, 1e6, 100e-6, 10, 900, 300), 1000*0.125, 1e-12)
	near(t, "Beale", Beale(0.125, 1e6, 100e-6, 10), 125, 1e-12)
}

// Beale's number knows no temperatures and is for hot engines only.
func TestBealeOnlyWhereItHolds(t *testing.T) {
	if p := small.Power(295, 274, 1); p.BealeApplies || p.Beale != 0 {
		t.Errorf("Beale number used at 21 K: %+v", p)
	}
	if p := small.Power(900, 300, 1); !p.BealeApplies || p.Beale <= 0 {
		t.Errorf("Beale number not used at a ratio of 3: %+v", p)
	}
}

// A measured low-temperature-difference engine with four pistons: heater 439 K,
// 1378 W in, 6.1 W out at 20 rpm and 2.91 N m (Kongtragool and Wongwises, Solar
// Energy 82 (2008) 493). Its figures agree with each other, and its efficiency
// of 0.44 % lies far below what even a cooler as warm as 420 K would allow.
func TestMeasuredEngineLiesBelowBounds(t *testing.T) {
	power := 2 * math.Pi * 20 / 60 * 2.91
	near(t, "W", power, 6.1, 2e-3)
	near(t, "efficiency", power/1378, 0.0044, 0.01)
	if power/1378 > CurzonAhlborn(439, 420) {
		t.Error("a measured engine beats the bound")
	}
}

// The estimates keep their order: average engine below ideal cycle, and
// Curzon-Ahlborn below Carnot.
func TestPowerOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := small
		s.PowerSweptVolume = rapid.Float64Range(0.1e-6, 10e-6).Draw(t, "piston")
		cold := rapid.Float64Range(263, 300).Draw(t, "cold")
		hot := cold + rapid.Float64Range(1, 70).Draw(t, "difference")
		p := s.Power(hot, cold, rapid.Float64Range(0.1, 5).Draw(t, "speed"))
		if !(0 < p.West && p.West < p.Schmidt && 0 < p.CurzonAhlborn && p.CurzonAhlborn < p.Carnot) {
			t.Fatalf("%+v", p)
		}
	})
}

func TestNoPowerAtRest(t *testing.T) {
	if p := small.Power(295, 274, 0); p != (PowerEstimate{}) {
		t.Errorf("power at rest: %+v", p)
	}
}
