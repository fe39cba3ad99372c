package transfer

import (
	"math"
	"testing"
)

// Incropera 7th ed. Table 12.2 (from memory), wavelength times temperature in
// um K. The table rests on older constants: 5e-5.
func TestBlackBodyShareAgreesWithTheTable(t *testing.T) {
	for _, c := range []struct{ product, want float64 }{
		{1000, 0.000321}, {2000, 0.066728}, {2400, 0.140256}, {3000, 0.273232},
		{4000, 0.480877}, {5000, 0.633747}, {6000, 0.737818}, {10000, 0.914199},
	} {
		if got := BlackBodyShare(c.product * 1e-6); math.Abs(got-c.want) > 5e-5 {
			t.Errorf("%g um K: share %.6f, want %.6f", c.product, got, c.want)
		}
	}
	if got := BlackBodyShare(1); math.Abs(got-1) > 1e-6 {
		t.Errorf("all wavelengths: share %g, want 1", got)
	}
}

// The band's emission is the integral of Planck's law over it.
func TestBandEmissionIsTheIntegralOfPlancksLaw(t *testing.T) {
	const c1 = 3.741771852e-16 // W m2, first radiation constant, 2018 CODATA
	const from, to, n = 8e-6, 14e-6, 2000
	for _, T := range []float64{255, 300, 370} {
		sum := 0.0
		for i := range n {
			l := from + (float64(i)+0.5)*(to-from)/n
			sum += c1 / math.Pow(l, 5) / math.Expm1(secondRadiation/(l*T)) * (to - from) / n
		}
		if got := BandEmission(T, from, to); math.Abs(got/sum-1) > 1e-5 {
			t.Errorf("%g K: %g W/m2, want %g", T, got, sum)
		}
	}
}
