package transfer

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Equations: Incropera 7th ed. eq. 13.19, 13.20 and Table 13.2; numbers
// computed with an independent library.
func TestPublishedRadiation(t *testing.T) {
	black := RadiationCoefficient(300, 275)
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"parallel, dull, W/m2", ExchangeParallel(0.9, 0.9) * black * 25, 110.4575244},
		{"parallel, one foil, W/m2", ExchangeParallel(0.9, 0.05) * black * 25, 6.71288822},
		{"concentric, W/m2", ExchangeConcentric(0.9, 0.9, 0.05/0.06) * black * 25, 112.1568709},
		{"film of a small body", ExchangeConcentric(0.9, 1, 0) * RadiationCoefficient(296.65, 296.65), 5.32901933},
		{"discs r1 = r2 = L", ViewFactorCoaxialDiscs(1, 1, 1), (3 - math.Sqrt(5)) / 2},
		{"discs 0.05/0.05, 0.01", ViewFactorCoaxialDiscs(0.05, 0.05, 0.01), 0.819002487578},
		{"discs 0.05/0.06, 0.02", ViewFactorCoaxialDiscs(0.05, 0.06, 0.02), 0.8},
		{"discs 0.06/0.06, 0.04", ViewFactorCoaxialDiscs(0.06, 0.06, 0.04), 0.519493853296},
		{"discs 0.5/0.5, 1", ViewFactorCoaxialDiscs(0.5, 0.5, 1), 0.171572875254},
	} {
		near(t, c.name, c.got, c.want, 1e-9)
	}
}

func TestViewFactorReciprocity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r1 := rapid.Float64Range(1e-3, 1).Draw(t, "r1")
		r2 := rapid.Float64Range(1e-3, 1).Draw(t, "r2")
		d := rapid.Float64Range(0, 1).Draw(t, "distance")
		f12, f21 := ViewFactorCoaxialDiscs(r1, r2, d), ViewFactorCoaxialDiscs(r2, r1, d)
		if math.Abs(r1*r1*f12-r2*r2*f21) > 1e-9 || f12 > 1+1e-9 || f12 < 0 {
			t.Fatalf("F12 = %g, F21 = %g", f12, f21)
		}
	})
}

func TestTouchingDiscsSeeEachOther(t *testing.T) {
	near(t, "smaller to larger", ViewFactorCoaxialDiscs(0.05, 0.06, 0), 1, 1e-12)
	near(t, "larger to smaller", ViewFactorCoaxialDiscs(0.06, 0.05, 0), 25.0/36, 1e-12)
}

func TestRadiationCoefficientIsExact(t *testing.T) {
	got := RadiationCoefficient(350, 270) * 80
	near(t, "W/m2", got, StefanBoltzmann*(math.Pow(350, 4)-math.Pow(270, 4)), 1e-12)
}

func TestMirrorsExchangeNothing(t *testing.T) {
	if got := ExchangeParallel(0, 0.9); got != 0 {
		t.Errorf("exchange = %g, want 0", got)
	}
}
