package transfer

import (
	"math"
	"testing"
)

// ElSherbiny, Raithby and Hollands 1982, computed from the equations.
func TestTallLayer(t *testing.T) {
	for _, c := range []struct{ rayleigh, aspect, want float64 }{
		{1e4, 5, 1.912914}, {1e5, 20, 3.002376}, {1e6, 20, 6.05},
	} {
		near(t, "Nu", NusseltVerticalLayer(c.rayleigh, c.aspect, 0.71), c.want, 1e-6)
	}
}

// ISO 15099 eq. 49 to 52 (coefficients read in two files of a building
// simulation library).
func TestGlazingLayer(t *testing.T) {
	near(t, "1e5", NusseltVerticalLayerISO15099(1e5, 20), 3.127679, 1e-6)
	near(t, "1e6", NusseltVerticalLayerISO15099(1e6, 20), 6.738380, 1e-6)
}

// Catton 1978, Incropera 7th ed. eq. 9.50 and 9.51: the bare correlations, and
// the floor where they would fall below conduction (0.95 at Ra 1e3).
func TestShallowLayer(t *testing.T) {
	near(t, "aspect 5", shallowLayer(math.Log(1e5), 5, 0.71), 3.447473, 1e-6)
	near(t, "aspect 1.5", shallowLayer(math.Log(1e5), 1.5, 0.71), 4.720798, 1e-6)
	if got := shallowLayer(math.Log(1e3), 5, 0.71); got != 1 {
		t.Errorf("Nu at Ra 1e3 = %g, want 1", got)
	}
}

// De Vahl Davis, International Journal for Numerical Methods in Fluids 3
// (1983) 249: square cavity, Pr 0.71. Correlations of Catton's kind carry some
// 10 %.
func TestSquareCavityBenchmark(t *testing.T) {
	for _, c := range []struct{ rayleigh, want float64 }{{1e3, 1.118}, {1e4, 2.243}, {1e5, 4.519}, {1e6, 8.800}} {
		near(t, "Nu", NusseltVerticalLayer(c.rayleigh, 1, 0.71), c.want, 0.12)
	}
}

// Raithby and Hollands 1975; air at 300 K from Incropera Table A.4.
func TestConcentricCylinders(t *testing.T) {
	length := AnnulusLength(0.05, 0.07)
	near(t, "length", length, 8.648318e-3, 1e-6)
	rayleigh := Gravity / 300 * 20 * length * length * length / (15.89e-6 * 22.5e-6)
	near(t, "Ra", rayleigh, 1182.818, 1e-6)
	near(t, "keff/k", NusseltAnnulus(rayleigh, 0.707), 1.854962, 1e-6)
}

// Hollands, Unny, Raithby and Konicek 1976, computed from the equation.
func TestLayerHeatedBelow(t *testing.T) {
	for _, c := range []struct{ rayleigh, want float64 }{
		{1000, 1}, {2e3, 1.210240}, {3e3, 1.620160}, {5e3, 1.948096}, {1e4, 2.391093},
		{5e4, 3.437728}, {1e5, 3.994360}, {1e6, 6.993731},
	} {
		near(t, "Nu", NusseltHeatedBelow(c.rayleigh), c.want, 1e-6)
	}
}

// For air the general form of Hollands 1984 is the 1976 one within 0.3 to 1.6 %
// at moderate Rayleigh numbers. For water the 1976 paper's own term is
// 2 (Ra^(1/3)/140)^(1-ln(Ra^(1/3)/140)), which k2 = 75 exp(1.5/sqrt(Pr)) meets
// at Pr 5.78.
func TestLiquidLayer(t *testing.T) {
	for _, rayleigh := range []float64{2e3, 1e4, 1e5} {
		near(t, "air", NusseltHeatedBelowLiquid(rayleigh, 0.71), NusseltHeatedBelow(rayleigh), 0.03)
	}
	third := math.Cbrt(1e6) / 140
	want := 1 + (1-1708/1e6)*(1.44+2*math.Pow(third, 1-math.Log(third))) + math.Cbrt(1e6/5830) - 1
	near(t, "water", NusseltHeatedBelowLiquid(1e6, 5.78), want, 0.005)
}

// Buell and Catton 1983, as tabulated in the Handbook of Heat Transfer.
func TestCriticalRayleighTable(t *testing.T) {
	for _, c := range []struct{ ratio, adiabatic, conducting float64 }{
		{0.4, 51800, 151200}, {0.5, 23800, 66600}, {0.7, 8420, 21300}, {1, 3770, 8010}, {1.4, 2650, 4350},
		{2, 2260, 2540}, {3, 1900, 2010}, {4, 1830, 1880}, {6, 1708, 1708}, {20, 1708, 1708},
	} {
		near(t, "adiabatic", CriticalRayleighCylinder(c.ratio, false), c.adiabatic, 1e-9)
		near(t, "conducting", CriticalRayleighCylinder(c.ratio, true), c.conducting, 1e-9)
	}
}

func TestCylinderHeatedBelow(t *testing.T) {
	for _, conducting := range []bool{false, true} {
		if got := NusseltHeatedBelowCylinder(3000, 1, conducting); got != 1 {
			t.Errorf("below the critical number Nu = %g, want 1", got)
		}
		for _, rayleigh := range []float64{2e3, 1e4, 1e6} {
			wide := NusseltHeatedBelowCylinder(rayleigh, 50, conducting)
			near(t, "wide cylinder is a layer", wide, NusseltHeatedBelow(rayleigh), 1e-12)
			if got := NusseltHeatedBelowCylinder(rayleigh, 1.2, conducting); got > wide {
				t.Errorf("side walls raise Nu at Ra %g from %g to %g", rayleigh, wide, got)
			}
		}
	}
}
