package transfer

import (
	"math"
	"testing"

	"meltspan/matter"
)

// Values computed with an independent open heat transfer library from the
// equations named.
func TestPublishedPlates(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
		tolerance float64
	}{
		// Incropera, Example 9.2 prints 147.
		{"vertical plate, Example 9.2", NusseltVerticalPlate(0.69*2.63e9, 0.69), 147.1619, 1e-6},
		// Churchill and Chu 1975, all Rayleigh numbers.
		{"vertical plate 1e3", NusseltVerticalPlate(1e3, 0.71), 3.425856, 1e-6},
		{"vertical plate 1e4", NusseltVerticalPlate(1e4, 0.71), 5.432745, 1e-6},
		{"vertical plate 1e5", NusseltVerticalPlate(1e5, 0.71), 9.212736, 1e-6},
		{"vertical plate 1e6", NusseltVerticalPlate(1e6, 0.71), 16.558403, 1e-6},
		{"vertical plate 1e7", NusseltVerticalPlate(1e7, 0.71), 31.212747, 1e-6},
		// Churchill and Chu 1975, cylinder.
		{"horizontal cylinder", NusseltHorizontalCylinder(5.073e6, 0.703), 23.1181, 1e-5},
		// McAdams 1954.
		{"hot face up 1e4", NusseltHorizontalUnstable(1e4), 5.4, 1e-5},
		{"hot face up 1e5", NusseltHorizontalUnstable(1e5), 9.6027, 1e-5},
		{"hot face up 1e6", NusseltHorizontalUnstable(1e6), 17.0763, 1e-5},
		{"hot face up 1e7", NusseltHorizontalUnstable(1e7), 30.3664, 1e-5},
		{"hot face up 1e8", NusseltHorizontalUnstable(1e8), 69.6238, 1e-5},
		{"hot face down, McAdams 1e5", NusseltHorizontalStableMcAdams(1e5), 4.80135, 1e-5},
		{"hot face down, McAdams 1e6", NusseltHorizontalStableMcAdams(1e6), 8.53815, 1e-5},
		// Popiel, Wojtkowiak and Bober 2007.
		{"vertical cylinder", NusseltVerticalCylinder(1e6, 0.71, 0.04, 0.12), 16.903623, 1e-6},
	} {
		near(t, c.name, c.got, c.want, c.tolerance)
	}
}

// Goldstein, Sparrow and Jones 1973: 0.96 Ra^(1/6) for 1..200 and
// 0.59 Ra^(1/4) for 200..1e4 (from memory, page not verified). The scatter of
// their data is about 10 %.
func TestSmallHotFaceUp(t *testing.T) {
	for _, rayleigh := range []float64{1, 10, 100, 199} {
		near(t, "Nu", NusseltHorizontalUnstable(rayleigh), 0.96*math.Pow(rayleigh, 1.0/6), 0.16)
	}
	for _, rayleigh := range []float64{201, 1e3, 9e3} {
		near(t, "Nu", NusseltHorizontalUnstable(rayleigh), 0.59*math.Pow(rayleigh, 0.25), 0.16)
	}
}

// The two published correlations for a stable face must stay within the 25 %
// by which handbooks let film coefficients differ, where both apply.
func TestStableFaceSpread(t *testing.T) {
	for _, rayleigh := range []float64{1e5, 1e6} {
		near(t, "Nu", NusseltHorizontalStable(rayleigh, 0.71), NusseltHorizontalStableMcAdams(rayleigh), 0.25)
	}
}

// A disc in still air conducts 2 D k dT from one face (Incropera 7th ed.
// Table 4.1 halved): 2/pi on a quarter of the diameter.
func TestStillAirIsConduction(t *testing.T) {
	for name, got := range map[string]float64{
		"unstable":        NusseltHorizontalUnstable(0),
		"stable":          NusseltHorizontalStable(0, 0.71),
		"stable, McAdams": NusseltHorizontalStableMcAdams(0),
	} {
		near(t, name, got, 2/math.Pi, 1e-12)
	}
}

// Incropera 7th ed. eq. 7.30 and 7.38 by hand: Re 1e4, Pr 0.7 gives
// 66.4*0.8879 = 58.957; Re 1e6 gives (2334.5-871)*0.8879 = 1299.5.
func TestForcedPlate(t *testing.T) {
	near(t, "laminar", NusseltForcedPlate(1e4, 0.7), 58.957, 1e-4)
	near(t, "turbulent", NusseltForcedPlate(1e6, 0.7), 1299.5, 1e-3)
	near(t, "join", NusseltForcedPlate(5e5*1.000001, 0.7), NusseltForcedPlate(5e5, 0.7), 1e-3)
}

// A thick cylinder is a plate; a slender one exchanges more.
func TestVerticalCylinderLimits(t *testing.T) {
	plate := NusseltVerticalPlate(1e6, 0.71)
	near(t, "thick", NusseltVerticalCylinder(1e6, 0.71, 0.1, 100), plate, 1e-3)
	if got := NusseltVerticalCylinder(1e6, 0.71, 0.1, 0.01); got < 1.2*plate {
		t.Errorf("slender cylinder has Nu %g, plate %g", got, plate)
	}
}

// By hand with air at 290 K from Lemmon et al. (checks: nu 14.825e-6,
// a 20.928e-6, beta T 1.003): 9.80665*10/290*0.1^3/(14.825e-6*20.928e-6) = 1.090e6.
func TestRayleighOfAir(t *testing.T) {
	near(t, "Ra", Rayleigh(matter.DryAir(290, 101325), -10, 0.1), 1.090e6, 0.02)
}

func TestMixedIsCubeRule(t *testing.T) {
	near(t, "Mixed(3, 4)", Mixed(3, 4), math.Cbrt(91), 1e-14)
}
