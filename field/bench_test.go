package field

import (
	"fmt"
	"math"
	"testing"
)

// layered is a box of n cells a side: a plastic shell with a metal plate and
// air in it, a film above and below, graded towards the faces.
func layered(n int) *Problem {
	e := Even(0, 0.1, n)
	for i := range e {
		e[i] = 0.05 * (1 - math.Cos(math.Pi*e[i]/0.1) + 1e-3*float64(i)) // narrow at the ends
	}
	p := &Problem{
		Grid: Grid{Geometry: Box, Edges: [3][]float64{e, e, e}},
		Materials: []Material{
			{Name: "plastic", Conductivity: [3]float64{0.2, 0.2, 0.15}, HeatCapacity: 1.6e6},
			{Name: "metal", Conductivity: Isotropic(200), HeatCapacity: 2.4e6},
			{Name: "air", Conductivity: Isotropic(0.025), HeatCapacity: 1.2e3},
		},
		Conditions: []Condition{Film("room", 8, 295), Film("ice", 200, 273.15)},
	}
	p.Fill(0, nil)
	p.Fill(2, func(c [3]float64) bool { return c[2] > 0.02 && c[2] < 0.06 && c[0] > 0.02 && c[0] < 0.08 })
	p.Fill(1, func(c [3]float64) bool { return c[2] > 0.07 && c[2] < 0.075 })
	p.Cover(0, Upper(2), nil)
	p.Cover(1, Lower(2), nil)
	return p
}

func BenchmarkSteady(b *testing.B) {
	for _, s := range []struct {
		name   string
		solver Solver
		sizes  []int
	}{{"multigrid", Multigrid, []int{12, 18, 24, 42, 60, 84}}, {"factorisation", IncompleteFactorisation, []int{12, 18, 24, 42, 60}}} {
		for _, n := range s.sizes {
			p := layered(n)
			b.Run(fmt.Sprintf("%s/%d", s.name, n*n*n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					f, err := Steady(b.Context(), p, SteadyOptions{Solver: s.solver})
					if err != nil {
						b.Fatal(err)
					}
					b.ReportMetric(float64(f.Steps), "steps")
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*n*n), "ns/cell")
			})
		}
	}
}

// BenchmarkMelting follows a block of ice under a film through ten minutes.
func BenchmarkMelting(b *testing.B) {
	for _, n := range []int{10, 20, 40} {
		e := Even(0, 0.04, n)
		p := &Problem{
			Grid:       Grid{Box, [3][]float64{e, e, e}},
			Materials:  []Material{freezing()},
			Conditions: []Condition{Film("water", 100, celsius+20)},
		}
		p.Fill(0, nil)
		p.Cover(0, Upper(2), nil)
		p.Cover(0, Upper(1), nil)
		b.Run(fmt.Sprint(n*n*n), func(b *testing.B) {
			for b.Loop() {
				f, err := Transient(b.Context(), p, p.Uniform(celsius-5), TransientOptions{End: 600, Step: 1, Tolerance: 0.05})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(f.Steps), "steps")
				b.ReportMetric(float64(f.Rejected), "rejected")
				b.ReportMetric(float64(f.GradientSteps)/float64(f.Steps+f.Rejected), "gradients/step")
			}
		})
	}
}
