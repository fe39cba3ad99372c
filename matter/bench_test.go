package matter

import "testing"

var sink float64

// hot lists the functions that the solver calls in its inner loop.
var hot = map[string]func(){
	"DryAir":                  func() { sink = DryAir(293+sink*1e-9, StandardPressure).Viscosity },
	"Water":                   func() { sink = Water(280 + sink*1e-9).Viscosity },
	"WaterDensity":            func() { sink = WaterDensity(280 + sink*1e-9) },
	"IceConductivity":         func() { sink = IceConductivity(270 + sink*1e-9) },
	"SaturationPressureWater": func() { sink = SaturationPressureWater(280 + sink*1e-9) },
	"SaturationPressureIce":   func() { sink = SaturationPressureIce(270 + sink*1e-9) },
	"DewPoint":                func() { sink = DewPoint(295+sink*1e-9, 0.5) },
	"VapourDiffusivity":       func() { sink = VapourDiffusivity(280+sink*1e-9, StandardPressure) },
	"IceGibbs":                func() { sink = IceGibbs(270, StandardPressure).Density },
}

func BenchmarkHotPath(b *testing.B) {
	for name, call := range hot {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				call()
			}
		})
	}
}

func TestHotPathDoesNotAllocate(t *testing.T) {
	for name, call := range hot {
		if n := testing.AllocsPerRun(100, call); n != 0 {
			t.Errorf("%s allocates %v times per call", name, n)
		}
	}
}
