package transfer

import (
	"testing"

	"meltspan/matter"
)

// hotPath holds what a solver calls for every face at every step.
var hotPath = map[string]func() float64{
	"vertical plate":    func() float64 { return NusseltVerticalPlate(1e5, 0.71) },
	"vertical cylinder": func() float64 { return NusseltVerticalCylinder(1e5, 0.71, 0.05, 0.1) },
	"unstable plate":    func() float64 { return NusseltHorizontalUnstable(1e5) },
	"stable plate":      func() float64 { return NusseltHorizontalStable(1e5, 0.71) },
	"tall layer":        func() float64 { return NusseltVerticalLayer(1e4, 6, 0.71) },
	"middle layer":      func() float64 { return NusseltVerticalLayer(1e4, 3, 0.71) },
	"layer below":       func() float64 { return NusseltHeatedBelow(1e4) },
	"cylinder below":    func() float64 { return NusseltHeatedBelowCylinder(1e4, 1.5, false) },
	"condensation":      func() float64 { m, _ := Condensation(3, 295, 1500, 280, 101325); return m },
	"vapour gap":        func() float64 { m, _ := VapourGap(0.01, 350, 330, 101325); return m },
	"pool, level":       func() float64 { return NusseltPoolHorizontal(285, 273.15, 0.02, poolWater) },
	"pool, side":        func() float64 { return NusseltPoolSide(273.15, 280, 0.02, poolWater) },
	"radiation":         func() float64 { return RadiationCoefficient(300, 280) },
	"grey concentric":   func() float64 { return ExchangeConcentric(0.9, 0.9, 0.8) },
	"view factor":       func() float64 { return ViewFactorCoaxialDiscs(0.05, 0.06, 0.01) },
}

var (
	poolWater = matter.Water(280)
	sink      float64 // keeps the compiler from dropping a benchmarked call
)

func TestHotPathDoesNotAllocate(t *testing.T) {
	for name, f := range hotPath {
		if n := testing.AllocsPerRun(100, func() { sink = f() }); n != 0 {
			t.Errorf("%s allocates %g times", name, n)
		}
	}
}

func BenchmarkHotPath(b *testing.B) {
	for name, f := range hotPath {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				sink = f()
			}
		})
	}
}
