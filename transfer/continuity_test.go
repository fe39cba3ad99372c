package transfer

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Every correlation rises with the Rayleigh number and has no step.
func TestCorrelationsAreContinuousAndRise(t *testing.T) {
	for name, f := range map[string]func(float64) float64{
		"vertical plate":      func(r float64) float64 { return NusseltVerticalPlate(r, 0.71) },
		"horizontal cylinder": func(r float64) float64 { return NusseltHorizontalCylinder(r, 0.71) },
		"vertical cylinder":   func(r float64) float64 { return NusseltVerticalCylinder(r, 0.71, 0.05, 0.08) },
		"unstable":            NusseltHorizontalUnstable,
		"stable":              func(r float64) float64 { return NusseltHorizontalStable(r, 0.71) },
		"stable, McAdams":     NusseltHorizontalStableMcAdams,
		"shallow layer":       func(r float64) float64 { return NusseltVerticalLayer(r, 1.7, 0.71) },
		"middle layer":        func(r float64) float64 { return NusseltVerticalLayer(r, 3, 0.71) },
		"tall layer":          func(r float64) float64 { return NusseltVerticalLayer(r, 12, 0.71) },
		"annulus":             func(r float64) float64 { return NusseltAnnulus(r, 0.71) },
		"heated below":        NusseltHeatedBelow,
		"liquid below":        func(r float64) float64 { return NusseltHeatedBelowLiquid(r, 10) },
		"cylinder below":      func(r float64) float64 { return NusseltHeatedBelowCylinder(r, 1.5, true) },
	} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				logarithm := rapid.Float64Range(0, 9).Draw(t, "log10 Ra")
				rayleigh := math.Pow(10, logarithm)
				low, high := f(rayleigh), f(rayleigh*(1+1e-6))
				if high < low*(1-1e-12) || high > low*(1+5e-6) {
					t.Fatalf("Nu goes from %.12g to %.12g at Ra %g", low, high, rayleigh)
				}
			})
			for _, join := range []float64{1, 1708, 5830, 1e4, 1e5, 1e7, 3e7} {
				low, high := f(join*(1-1e-9)), f(join*(1+1e-9))
				near(t, "across a join", high, low, 1e-7)
			}
		})
	}
}

func TestLayerIsContinuousInAspect(t *testing.T) {
	for _, aspect := range []float64{1, 1.5, 2, 2.5, 5} {
		below := NusseltVerticalLayer(3e4, aspect*(1-1e-9), 0.71)
		near(t, "Nu", NusseltVerticalLayer(3e4, aspect*(1+1e-9), 0.71), below, 1e-7)
	}
}

func TestLayersNeverInsulateBetterThanConduction(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rayleigh := rapid.Float64Range(0, 1e6).Draw(t, "Ra")
		aspect := rapid.Float64Range(0.1, 200).Draw(t, "aspect")
		for _, nusselt := range []float64{
			NusseltVerticalLayer(rayleigh, aspect, 0.71), NusseltVerticalLayerISO15099(rayleigh, aspect),
			NusseltHeatedBelowCylinder(rayleigh, aspect, false), NusseltAnnulus(rayleigh, 0.71),
		} {
			if !(nusselt >= 1) || math.IsInf(nusselt, 0) {
				t.Fatalf("Nu = %g at Ra %g, aspect %g", nusselt, rayleigh, aspect)
			}
		}
	})
}

// Bad numbers give a number or conduction, never a panic.
func TestNonsenseDoesNotPanic(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 0} {
		NusseltVerticalPlate(x, x)
		NusseltHorizontalUnstable(x)
		NusseltVerticalLayer(x, x, x)
		NusseltHeatedBelowCylinder(x, x, true)
		CriticalRayleighCylinder(x, false)
		ViewFactorCoaxialDiscs(x, x, x)
		AnnularFinEfficiency(x, x, x, x, x)
		FreezingTimePlank(FreezingBody{ShortCylinder, x, x}, x, x, x, x, x)
	}
}
