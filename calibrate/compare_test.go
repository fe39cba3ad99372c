package calibrate

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"meltspan/calibrate/internal/synthetic"
	"meltspan/trial"
)

// The mass calibration of JCGM 101:2008 (GUM Supplement 1), 9.3: the correction
// for the buoyancy of air is a product of uncertain differences, which first-order
// propagation misses (0.0539 mg against 0.0755 mg). Inputs from memory; mean,
// standard uncertainty and 95 % interval by 1e7 draws of an independent library:
// 1.2340, 0.07550, [1.0844, 1.3836] mg. The correction is worked out by the
// sampling, and summed up by the quantiles, that comparisons use.
func TestCorrectionAgainstGUMMass(t *testing.T) {
	source := rand.New(rand.NewPCG(1, 93))
	between := func(a, b float64) float64 { return a + (b-a)*source.Float64() }
	const n = 400000
	out := make([]float64, n)
	for i := range out {
		reference := 100000 + 0.05*source.NormFloat64() // mg
		added := 1.234 + 0.02*source.NormFloat64()
		air, weight, standard := between(1.1, 1.3), between(7000, 9000), between(7950, 8050)
		// JCGM 101, eq. (34): mass in air of 1.2 kg/m3 against a density of 8000.
		out[i] = (reference+added)*(1+(air-1.2)*(1/weight-1/standard)) - 100000
	}
	mean, deviation := moments(out)
	sorted := intervalOf(out)
	for _, c := range []struct {
		what            string
		got, want, near float64
	}{
		{"mean", mean, 1.2340, 0.002}, {"standard uncertainty", deviation, 0.07550, 0.002}, {"median", sorted.Median, 1.2340, 0.002},
	} {
		if math.Abs(c.got-c.want) > c.near {
			t.Errorf("%s is %.4f mg, want %.4f mg", c.what, c.got, c.want)
		}
	}
}

// Two trials of one design, one in a room warmer by 3 K: uncorrected, the cooler
// one seems the longer; corrected by a posterior that knows the inputs, they agree.
// A third, with more ice, stays the longer.
func TestCompareTakesTheRoomOut(t *testing.T) {
	d := demo(t)
	make := func(name string, warmer, more float64) Case {
		truth := d.Clone()
		truth.Room.Temperature.SI += warmer
		truth.Store.Mass.SI += more
		own := d.Clone()
		own.Store.Mass.SI += more
		truth.Rederive()
		own.Rederive()
		w := bare(0.1)
		w.Interval = 600
		tr, _, err := synthetic.Run(name, truth, w, rand.New(rand.NewPCG(1, 1)))
		if err != nil {
			t.Fatal(err)
		}
		tr.Event(trial.Stalled).Uncertainty = 30
		return Case{own, tr}
	}
	cases := []Case{make("cool", 0, 0), make("warm", 3, 0), make("more ice", 3, 0.008)}
	in, err := prepare(cases, DefaultDiscrepancy())
	if err != nil {
		t.Fatal(err)
	}
	p := &Posterior{Discrepancy: DefaultDiscrepancy(), Columns: in.columns}
	source := rand.New(rand.NewPCG(1, 2))
	for range 40 {
		var row []float64
		for range in.columns {
			row = append(row, 0.05*source.NormFloat64())
		}
		p.Draws = append(p.Draws, row)
	}
	c, err := p.Compare(context.Background(), cases, CompareOptions{Draws: 40})
	if err != nil {
		t.Fatal(err)
	}
	raw := c.Trials[1].Observed - c.Trials[0].Observed
	pair := c.Pairs[0]
	if !(raw < -1200) || !pair.Difference.Holds(0) || math.Abs(pair.Difference.Median) > math.Abs(raw)/10 {
		t.Errorf("the warm room costs %.0f s, corrected %+v", raw, pair)
	}
	if !c.Repeat.Estimated || c.Repeat.Repeats != 2 || len(c.Contests) != 1 || c.Contests[0].Longer < 0.5 {
		t.Errorf("repeats %+v, contests %+v", c.Repeat, c.Contests)
	}
}

// With m trials of one design whose logarithms have the variance v, the scatter
// has the scaled inverse chi-squared distribution of 4 + m - 1 degrees of freedom
// about (4 s2 + (m - 1) v)/(4 + m - 1), whose mean is that times f/(f - 2) (Gelman
// et al., table A.1). By hand for s = 0.03 and five trials with v = 0.01: f = 8,
// scale 0.00545, mean 0.007267.
func TestRepeatScatter(t *testing.T) {
	c := &Comparison{}
	logs := []float64{0, 0.05, -0.05, 0.15, -0.15}
	scale := math.Sqrt(0.01 * 4 / squares(logs))
	for i := range logs {
		logs[i] *= scale
		c.Trials = append(c.Trials, Corrected{Revision: "one"})
	}
	draws := c.repeats(logs, 0.03, rand.New(rand.NewPCG(2, 2)))
	if got := squares(draws) / float64(len(draws)); math.Abs(got/0.007267-1) > 0.05 {
		t.Errorf("mean variance %.5f, want 0.00727", got)
	}
	if !c.Repeat.Estimated || c.Repeat.Repeats != 5 || c.Repeat.Freedom != 4 {
		t.Errorf("%+v", c.Repeat)
	}
	alone := &Comparison{Trials: []Corrected{{Revision: "one"}, {Revision: "two"}}}
	if alone.repeats([]float64{0, 1}, 0.03, rand.New(rand.NewPCG(2, 2))); alone.Repeat.Estimated {
		t.Error("scatter estimated from designs that differ")
	}
}
