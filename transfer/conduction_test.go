package transfer

import (
	"math"
	"testing"
)

// Incropera 7th ed. eq. 3.33, for 1 m of tube.
func TestShell(t *testing.T) {
	near(t, "W/(m K)", ShellConductance(0.2, 0.04, 0.06, 1), 3.09924833557, 1e-11)
}

// Incropera 7th ed. eq. 3.96: r 20/60 mm, 3 mm thick, k 0.2, h 8, root 20 K
// above the air; checked by a boundary value solver.
func TestAnnularFin(t *testing.T) {
	efficiency := AnnularFinEfficiency(0.2, 0.003, 0.02, 0.06, 8)
	near(t, "efficiency", efficiency, 0.0875595602, 1e-8)
	near(t, "W", efficiency*8*20*2*math.Pi*(0.06*0.06-0.02*0.02), 0.281678306, 1e-8)
}

// A thin ring of large radius is a straight fin.
func TestAnnularFinTendsToStraight(t *testing.T) {
	m := math.Sqrt(2 * 8 / (0.2 * 0.003))
	near(t, "efficiency", AnnularFinEfficiency(0.2, 0.003, 2, 2.01, 8), FinEfficiency(m, 0.01), 2e-3)
}

// tanh(1) = 0.761594155956.
func TestStraightFin(t *testing.T) {
	near(t, "m L = 1", FinEfficiency(10, 0.1), 0.761594155956, 1e-12)
	near(t, "short", FinEfficiency(10, 1e-6), 1, 1e-9)
}

func TestFinLimits(t *testing.T) {
	near(t, "no film", AnnularFinEfficiency(0.2, 0.003, 0.02, 0.06, 0), 1, 0)
	near(t, "no ring", AnnularFinEfficiency(0.2, 0.003, 0.02, 0.02, 8), 1, 0)
	near(t, "weak film", AnnularFinEfficiency(200, 0.003, 0.02, 0.06, 0.01), 1, 1e-3)
}

// Abramowitz and Stegun, Tables 9.8: I0(1), I1(1), K0(1), K1(1), K0(0.1).
func TestBesselFunctions(t *testing.T) {
	near(t, "I0(1)", besselI(0, 1), 1.2660658778, 1e-10)
	near(t, "I1(1)", besselI(1, 1), 0.5651591040, 1e-10)
	near(t, "K0(1)", besselK(0, 1), 0.4210244382, 1e-10)
	near(t, "K1(1)", besselK(1, 1), 0.6019072302, 1e-10)
	near(t, "K0(0.1)", besselK(0, 0.1), 2.4270690247, 1e-10)
}

// The Wronskian I0 K1 + I1 K0 = 1/x (Abramowitz and Stegun 9.6.15).
func TestBesselWronskian(t *testing.T) {
	for _, x := range []float64{1e-3, 0.1, 1, 10, 100, 500} {
		near(t, "W x", x*(besselI(0, x)*besselK(1, x)+besselI(1, x)*besselK(0, x)), 1, 1e-12)
	}
}

// Carslaw and Jaeger 2nd ed. 8.2: a disc of 10 mm radius on k = 0.2.
func TestHalfSpace(t *testing.T) {
	near(t, "W/K", HalfSpaceConductance(0.2, 0.01), 0.008, 1e-12)
}
