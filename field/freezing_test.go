package field

import (
	"math"
	"testing"

	"meltspan/transfer"
)

// The stages of transfer.FreezingTime, held against the same body in this
// kernel: a charge in its mould, all round in a film, from tap water to a mean
// final temperature. The kernel ends when as much heat has gone out as the
// charge has to give up. Pham, International Journal of Refrigeration 7 (1984)
// 377, reports some 10 % against experiments; 5 % holds for water, whose heat
// is all given up at one temperature. Water does not convect in either.
func TestFreezingTimeOfACharge(t *testing.T) {
	const liquidDensity = 1000.0
	for _, c := range []struct {
		name              string
		radius, height    float64 // m
		film              float64
		water, final, air float64 // degC
	}{
		{"starter's block", 0.039, 0.023, 10, 15, -6, -18},
		{"in a strong draught", 0.039, 0.023, 40, 15, -6, -18},
		{"tall, in a cold chest", 0.02, 0.08, 8, 20, -15, -30},
		{"cube", 0.011, 0.022, 12, 15, -10, -18},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			m := Material{
				Name: "water", Conductivity: Isotropic(2.22), HeatCapacity: 2100 * liquidDensity,
				Phase: &PhaseChange{Melting: celsius, LatentHeat: 333500 * liquidDensity, LiquidConductivity: Isotropic(0.56), LiquidHeatCapacity: 4200 * liquidDensity},
			}
			p := &Problem{
				Grid:       Grid{Axisymmetric, [3][]float64{Even(0, c.radius, 16), Even(0, c.height/2, 12)}},
				Materials:  []Material{m},
				Conditions: []Condition{Film("air", c.film, celsius+c.air)},
			}
			p.Fill(0, nil)
			p.Cover(0, Upper(0), nil)
			p.Cover(0, Upper(1), nil) // the middle plane is a mirror
			start := p.Uniform(celsius + c.water)
			for i := range start.Liquid {
				start.Liquid[i] = 1
			}
			want := transfer.FreezingTime(
				transfer.FreezingBody{Shape: transfer.ShortCylinder, Half: c.radius, Height: c.height},
				transfer.FreezingSubstance{Density: liquidDensity, FreezingPoint: celsius, LatentHeat: 333500, LiquidSpecificHeat: 4200,
					LiquidConductivity: 0.56, FrozenSpecificHeat: 2100, FrozenConductivity: 2.22},
				c.film, celsius+c.water, celsius+c.final, celsius+c.air)
			heat := math.Pi * c.radius * c.radius * c.height / 2 * liquidDensity * (4200*c.water + 333500 - 2100*c.final)
			var times []float64
			for share := 0.5; share < 1.5; share += 0.01 {
				times = append(times, share*want.Total())
			}
			got := math.NaN()
			last := 0.0 // heat given up at the snapshot before
			_, err := Transient(t.Context(), p, start, TransientOptions{End: times[len(times)-1], Times: times, Step: 1, Longest: want.Total() / 60, Tolerance: 0.2,
				Snapshot: func(f *Field) {
					out := -f.Ledger.Conditions[0]
					if math.IsNaN(got) && out >= heat {
						got = f.Time - 0.01*want.Total()*(out-heat)/(out-last)
					}
					last = out
				}})
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(want.Total()/got-1) > 0.05 {
				t.Errorf("stages give %.0f s, the kernel %.0f s (%.1f %%)", want.Total(), got, 100*(want.Total()/got-1))
			}
		})
	}
}
