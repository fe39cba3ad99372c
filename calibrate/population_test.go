package calibrate

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"meltspan/calibrate/internal/synthetic"
	"meltspan/network"
)

// Where the data say nothing, the moves leave the prior as it is, whatever the
// kernel takes the population to be: here a normal that is off by half a standard
// deviation and half as wide, along one direction of three.
func TestMovesLeaveThePriorAlone(t *testing.T) {
	source := rand.New(rand.NewPCG(4, 4))
	third := 1 / math.Sqrt(3)
	k := &kernel{basis: mat.NewDense(3, 1, []float64{third, third, third}), mean: []float64{0.5}, lower: mat.NewTriDense(1, mat.Lower, []float64{0.7})}
	const n = 20000
	var sum, square [2]float64 // along the direction, and across
	z := drawPrior(3, source)
	accepted := 0
	for i := range n {
		boldness, rest := 0.9, 0.9
		if i%3 == 0 {
			rest = 0
		}
		next, gain := k.propose(z, boldness, rest, source)
		if math.Log(source.Float64()) < gain {
			z = next
			accepted++
		}
		for j, v := range []float64{third * (z[0] + z[1] + z[2]), (z[0] - z[1]) / math.Sqrt2} {
			sum[j] += v / n
			square[j] += v * v / n
		}
	}
	for j := range sum {
		if math.Abs(sum[j]) > 0.06 || math.Abs(square[j]-1) > 0.09 {
			t.Errorf("direction %d: mean %.3f, mean square %.3f, want 0 and 1", j, sum[j], square[j])
		}
	}
	if accepted == n || accepted < n/4 {
		t.Errorf("%d of %d moves accepted", accepted, n)
	}
}

// Invented trials and the likelihood are one model: at the true values the
// misfit is of the size that is assumed, for whole trials and for the first third
// of each as a forecast reads it.
func TestTruthFits(t *testing.T) {
	d, a := demo(t), DefaultDiscrepancy()
	m, err := network.Build(d)
	if err != nil {
		t.Fatal(err)
	}
	reach := m.Time(network.Options{}).RunTime
	const trials = 40
	unlikely := 0
	for i := range uint64(trials) {
		source := rand.New(rand.NewPCG(20261125, i))
		truth, deviates := drawnTruth(t, d, source)
		w, pace := assumed(a, reach, source)
		tr, what, err := synthetic.Run("seen", truth, w, source)
		if err != nil {
			t.Fatal(err)
		}
		if what.RunTime < 1800 || tr.Event("stalled") == nil {
			continue
		}
		whole, err := prepare([]Case{{d, tr}}, a)
		if err != nil {
			t.Fatal(err)
		}
		f, err := NewForecaster(Case{d, tr}, nil, ForecastOptions{})
		if err != nil {
			t.Fatal(err)
		}
		third, err := f.look(tr, what.RunTime/3)
		if err != nil {
			t.Fatal(err)
		}
		for _, in := range []*inference{whole, third} {
			row := make([]float64, len(in.columns))
			for c := range row {
				row[c] = deviates[in.columns[c].Path]
			}
			s := in.subjects[0]
			row[s.shift], row[s.pace[0]] = w.Stall/a.Stall, pace[0]
			if !s.anchored {
				row[s.pace[1]] = pace[1]
			}
			runs, err := in.evaluate(t.Context(), [][]float64{row})
			if err != nil {
				t.Fatal(err)
			}
			square := -2 * in.whole().misfit(0, runs[0][0].features)
			if p := (distuv.ChiSquared{K: float64(max(in.count, 1))}).Survival(square); p < 0.01 {
				unlikely++
				t.Logf("trial %d, %d numbers: chi-squared %.1f, chance %.2g", i, in.count, square, p)
			}
		}
	}
	// Of some 75 chances 0.75 are below 0.01 on average, and 5 or more once in a
	// thousand times (Poisson).
	if unlikely > 4 {
		t.Errorf("%d of %d logs have a chance below 0.01 at their true values", unlikely, 2*trials)
	}
}
