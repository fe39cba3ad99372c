package matter

import (
	"testing"

	"pgregory.net/rapid"
)

// Solid 0.25, air 0.026 W/(m K): formulas from memory, numbers computed
// independently of this code.
func TestMixturesOfSolidAndAir(t *testing.T) {
	const solid, air = 0.25, 0.026
	for _, c := range []struct{ air, series, lower, geometric, upper, parallel float64 }{
		{.1, .134298, .182622, .199362, .219365, .227600},
		{.5, .047101, .071979, .080623, .118339, .138000},
		{.85, .030037, .035765, .036511, .050670, .059600},
	} {
		checkRelative(t, "Hashin & Shtrikman 1962", []row{
			{"series", Series(solid, air, c.air), c.series, 1e-4},
			{"lower", HashinShtrikmanLower(solid, air, c.air), c.lower, 1e-4},
			{"geometric", Geometric(solid, air, c.air), c.geometric, 1e-4},
			{"upper", HashinShtrikmanUpper(solid, air, c.air), c.upper, 1e-4},
			{"Maxwell-Eucken, solid continuous", MaxwellEucken(solid, air, c.air), c.upper, 1e-4},
			{"parallel", Parallel(solid, air, c.air), c.parallel, 1e-4},
		})
	}
}

func drawMixture(t *rapid.T) (k1, k2, fraction float64) {
	k := rapid.Float64Range(0.01, 400)
	return k.Draw(t, "k1"), k.Draw(t, "k2"), rapid.Float64Range(0, 1).Draw(t, "fraction")
}

func TestBoundsStandInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k1, k2, f := drawMixture(t)
		rising := []float64{
			Series(k1, k2, f), HashinShtrikmanLower(k1, k2, f),
			HashinShtrikmanUpper(k1, k2, f), Parallel(k1, k2, f),
		}
		for i := 1; i < len(rising); i++ {
			// Cancellation costs some digits where a phase is all but absent.
			if rising[i] < rising[i-1]*(1-1e-9) {
				t.Fatalf("bounds out of order: %v", rising)
			}
		}
	})
}

func TestBoundsDoNotDependOnWhichPhaseIsFirst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k1, k2, f := drawMixture(t)
		for _, bound := range []func(a, b, f float64) float64{HashinShtrikmanLower, HashinShtrikmanUpper, Series, Parallel, Geometric} {
			a, b := bound(k1, k2, f), bound(k2, k1, 1-f)
			if a < b*(1-1e-9) || a > b*(1+1e-9) {
				t.Fatalf("%v one way, %v the other", a, b)
			}
		}
	})
}

// Two-dimensional bound for a thin net: half of what parallel walls carry,
// since half of the walls of a square net stand across the heat's way.
func TestThinSquareNetCarriesHalf(t *testing.T) {
	const solid, nothing, fraction = 0.25, 1e-9, 0.01
	best, _, _ := PrintedConductivity(solid, nothing, fraction, Along, 1)
	checkRelative(t, "square net", []row{{"in its plane", best, fraction * solid / 2, 0.01}})
}

func TestPrintedConductivityKeepsItsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		solid := rapid.Float64Range(0.05, 1).Draw(t, "solid")
		fill := rapid.Float64Range(0.02, 1).Draw(t, "fill")
		fraction := rapid.Float64Range(-0.1, 1.1).Draw(t, "infill")
		ratio := rapid.Float64Range(0.3, 1).Draw(t, "layer ratio")
		for _, d := range []Direction{Along, Across} {
			best, low, high := PrintedConductivity(solid, fill, fraction, d, ratio)
			if low > best*(1+1e-9) || best > high*(1+1e-9) {
				t.Fatalf("direction %v: low %v, best %v, high %v", d, low, best, high)
			}
		}
	})
}

func TestFullInfillIsTheSolid(t *testing.T) {
	along, _, _ := PrintedConductivity(0.2, 0.026, 1, Along, 0.8)
	across, _, _ := PrintedConductivity(0.2, 0.026, 1, Across, 0.8)
	checkRelative(t, "full infill", []row{{"along", along, 0.2, 1e-12}, {"across", across, 0.16, 1e-12}})
}
