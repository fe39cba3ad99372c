package transfer

import (
	"math"
	"testing"

	"meltspan/matter"
	"pgregory.net/rapid"
)

const celsius = 273.15

// Water is densest at 4 degC: below it, cold water floats.
func TestPoolStability(t *testing.T) {
	for _, c := range []struct {
		name         string
		lower, upper float64
		moves        bool
	}{
		{"warm over cold, above 4", 10, 20, false},
		{"cold over warm, above 4", 20, 10, true},
		{"cold over 4: densest below", 3.9, 0, false},
		{"4 over cold: densest above", 0, 3.9, true},
		{"ice above, warm floor: lower part moves", 12, 0, true},
		{"ice below, warm lid: lower part moves", 0, 12, true},
	} {
		f := matter.Water(celsius + (c.lower+c.upper)/2)
		got := NusseltPoolHorizontal(celsius+c.lower, celsius+c.upper, 0.05, f)
		if moves := got > 1.0001; moves != c.moves {
			t.Errorf("%s: Nu = %g", c.name, got)
		}
	}
}

// A thin film stays below the critical Rayleigh number: with 1 mm and 10 K,
// Ra = 9.81*2e-4*10*1e-9/(1e-6*1.43e-7) is about 130.
func TestThinPoolConducts(t *testing.T) {
	near(t, "Nu", NusseltPoolHorizontal(celsius+25, celsius+15, 0.001, matter.Water(celsius+20)), 1, 1e-12)
}

// Above 4 degC the density form is the ordinary Rayleigh number: 20 degC over
// 25 degC, expansion 2.32e-4 1/K in the middle (IAPWS-95: 2.068e-4 at 20, about
// 2.57e-4 at 25).
func TestPoolIsOrdinaryWhenWarm(t *testing.T) {
	f := matter.Water(celsius + 22.5)
	rayleigh := Gravity * 2.32e-4 * 5 * 1e-6 / (f.KinematicViscosity() * f.Diffusivity())
	near(t, "Nu", NusseltPoolHorizontal(celsius+25, celsius+20, 0.01, f), NusseltHeatedBelowLiquid(rayleigh, f.Prandtl()), 0.01)
}

// With 4 degC between the faces only part of the depth moves, so it carries
// less than the same density difference over the whole depth would.
func TestPenetratingPoolIsBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lower := rapid.Float64Range(0, 20).Draw(t, "lower degC")
		upper := rapid.Float64Range(0, 20).Draw(t, "upper degC")
		depth := rapid.Float64Range(1e-4, 0.1).Draw(t, "depth")
		f := matter.Water(celsius + (lower+upper)/2)
		got := NusseltPoolHorizontal(celsius+lower, celsius+upper, depth, f)
		excess := matter.WaterDensity(densestWater) - matter.WaterDensity(celsius+lower)
		most := NusseltHeatedBelowLiquid(densityRayleigh(math.Max(excess, 0), depth, f), f.Prandtl())
		still := math.Abs(lower-upper) / math.Max(math.Abs(celsius+upper-densestWater), 1e-9)
		if !(got >= 1-1e-9) || got > most*math.Max(1, still)+1e-9 {
			t.Fatalf("Nu = %g, at most %g", got, most)
		}
	})
}

func TestPoolHasNoStepAtDensityMaximum(t *testing.T) {
	const depth = 0.03
	f := matter.Water(celsius + 4)
	below := NusseltPoolHorizontal(celsius+12, densestWater-1e-6, depth, f)
	near(t, "upper face", NusseltPoolHorizontal(celsius+12, densestWater+1e-6, depth, f), below, 1e-3)
	below = NusseltPoolHorizontal(densestWater-1e-6, celsius, depth, f)
	near(t, "lower face", NusseltPoolHorizontal(densestWater+1e-6, celsius, depth, f), below, 1e-3)
}

// Experiments on melting ice find least heat transfer with the pool near 5.6
// degC and a turn-over between 5.5 and 6 degC (Bendell and Gebhart, 1976; from
// memory, page not verified).
func TestIceWallHasLeastFilmNearSixDegrees(t *testing.T) {
	least, at := math.Inf(1), 0.0
	for pool := 3.0; pool <= 10; pool += 0.1 {
		f := matter.Water(celsius + pool/2)
		if flux := NusseltPoolSide(celsius, celsius+pool, 0.1, f); flux < least {
			least, at = flux, pool
		}
	}
	if at < 5.3 || at > 6.3 {
		t.Errorf("least Nusselt number at %.1f degC, want 5.3 to 6.3", at)
	}
}

// Well above 4 degC the wall is an ordinary vertical plate (expansion 2.57e-4
// at 25 degC within 2 %, IAPWS-95).
func TestWarmPoolSideIsPlate(t *testing.T) {
	f := matter.Water(celsius + 25)
	rayleigh := Gravity * 2.57e-4 * 4 * 1e-3 / (f.KinematicViscosity() * f.Diffusivity())
	near(t, "Nu", NusseltPoolSide(celsius+27, celsius+23, 0.1, f), NusseltVerticalPlate(rayleigh, f.Prandtl()), 0.01)
}
