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

// The variance of a population's mean, over many populations that are drawn by
// weight and moved, is that of as many independent draws as are said.
func TestIndependentIsWhatAMeanIsWorth(t *testing.T) {
	t.Parallel()
	const count, again, narrow, keep = 160, 4000, 0.3, 0.85
	source := rand.New(rand.NewPCG(5, 6))
	square, share := 0.0, 0.0
	for range again {
		draws, logs := drawPrior(count, source), make([]float64, count)
		for i, y := range drawPrior(count, source) { // another coordinate makes the weights
			logs[i] = -y * y / 2 * (1/(narrow*narrow) - 1)
		}
		weights, _ := relative(logs)
		share += effectiveShare(weights) / again
		mean := 0.0
		for _, x := range resample(draws, weights, count, source) {
			mean += (keep*x + math.Sqrt(1-keep*keep)*source.NormFloat64()) / count
		}
		square += mean * mean / again
	}
	got, want := 1/square, independent(count, share, -2*math.Log(keep))
	// The variance of a mean is known to 2.2 % from so many.
	if math.Abs(got/want-1) > 0.08 {
		t.Errorf("worth %.0f independent draws, said to be %.0f of %d", got, want, count)
	}
}

// The next of a few independent draws lies in the interval of those before it as
// often as is said. It does so exactly where the ends are draws themselves.
func TestForetoldHoldsTheNext(t *testing.T) {
	t.Parallel()
	source := rand.New(rand.NewPCG(7, 8))
	for _, count := range []int{19, 39, 159} {
		const again = 20000
		held := 0
		for range again {
			if foretold(drawPrior(count, source), float64(count)).Holds(source.NormFloat64()) {
				held++
			}
		}
		// Four standard deviations of a share of 20,000.
		if share := float64(held) / again; math.Abs(share-0.9) > 0.0085 {
			t.Errorf("the next of %d draws is held in %.2f %%", count, 100*share)
		}
	}
}
