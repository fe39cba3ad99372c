package calibrate

import (
	"context"
	"math"
	"math/rand/v2"
	"sort"

	"gonum.org/v1/gonum/mat"
)

// sampler goes from the mode to draws: examples about the mode, polynomials
// through them, chains on those, and runs of the network on some of the draws
// that say how good the polynomials are and mend them.
type sampler struct {
	in       *inference
	o        Options
	source   *rand.Rand
	s        *surrogate
	examples []example
	held     []example
	chains   [][][]float64
	weights  []float64
	report   Sampling
	checked  []example
	// A population of true runs in place of the chains' draws: those of its last
	// sweeps, and the last of them.
	particles, last []particle
	whole           *wholeLikelihood // by which they were led
}

func newSampler(in *inference, o Options, source *rand.Rand) *sampler {
	n := len(in.active)
	s := &surrogate{n: n, terms: termsOf(n), center: make([]float64, n), lower: mat.NewDense(max(n, 1), max(n, 1), nil)}
	for i, c := range in.active {
		s.center[i] = in.center[c]
	}
	if n > 0 {
		var chol mat.Cholesky
		var l mat.TriDense
		in.factorize(&chol, in.laplace(in.active, &in.total))
		chol.LTo(&l)
		s.lower.Copy(&l)
	}
	return &sampler{in: in, o: o, source: source, s: s, report: Sampling{
		Followed: n, Straight: len(in.minor), Features: in.count, Seed: o.Seed, Efficiency: math.NaN(),
	}}
}

// wide is how much wider than the normal approximation the examples are spread.
const wide = 1.3

// Shares and numbers of true runs.
const (
	heldBack      = 30   // examples that only measure the error
	checks        = 120  // draws checked in one round
	goodEnough    = 0.8  // efficiency from which the draws stand as they are
	mostRounds    = 2    // of learning
	hopeless      = 0.35 // efficiency below which the draws are given up
	hopelessWhole = 0.1  // the same for draws of all coordinates
	sweepsKept    = 3    // of a population, whose particles all count as draws
)

// run samples. What was reached stays when the context is cancelled.
func (s *sampler) run(ctx context.Context) error {
	n := s.s.n
	if n == 0 || s.in.count == 0 && !s.anyFloor() {
		s.normalDraws()
		s.report.Efficiency, s.report.Rhat, s.report.Size = 1, 1, float64(len(s.chains[0]))
		return nil
	}
	s.o.Progress("learning what the network does near them", 2, 4)
	want := s.s.terms + s.s.terms/2 + heldBack
	points := make([][]float64, want)
	for i := range points {
		points[i] = make([]float64, n)
		for j := range points[i] {
			points[i][j] = wide * s.source.NormFloat64()
		}
	}
	found, err := s.look(ctx, points)
	if err != nil {
		s.normalDraws()
		s.report.Interrupted = true
		return err
	}
	s.held, s.examples = found[:heldBack], found[heldBack:]
	s.o.Progress("sampling", 3, 4)
	for round := range mostRounds {
		s.s.learn(s.in, s.examples, s.held)
		s.in.renew(s.s.error)
		s.s.condense(s.in)
		s.chains = chains(ctx, func() target { return s.s.newDensity() }, n, s.o.Chains, s.o.Draws, s.o.Seed+uint64(round))
		if err := s.check(ctx, checks); err != nil {
			s.finish()
			s.report.Interrupted = true
			return err
		}
		if s.report.Efficiency >= goodEnough || s.report.Efficiency < hopeless {
			break
		}
		if round+1 < mostRounds {
			half := len(s.checked) / 5
			s.held = append(s.held, s.checked[:half]...)
			s.examples = append(s.examples, s.checked[half:]...)
		}
	}
	if len(s.o.Unknowns) == 0 || s.report.Efficiency < hopeless {
		if err := s.wholly(ctx); err != nil {
			s.finish()
			s.report.Interrupted = true
			return err
		}
	}
	s.finish()
	s.o.Progress("sampling", 4, 4)
	return nil
}

func (s *sampler) anyFloor() bool {
	for _, k := range s.in.subjects {
		if k.floor > 0 {
			return true
		}
	}
	return false
}

// place puts a local point into the coordinates of all columns.
func (s *sampler) place(x []float64) []float64 {
	row := make([]float64, len(s.in.columns))
	for i, v := range s.s.coordinates(x) {
		row[s.in.active[i]] = v
	}
	return row
}

// look runs the network at local points.
func (s *sampler) look(ctx context.Context, points [][]float64) ([]example, error) {
	rows := make([][]float64, len(points))
	for i := range points {
		rows[i] = s.place(points[i])
	}
	runs, err := s.in.evaluate(ctx, rows)
	if err != nil {
		return nil, err
	}
	out := make([]example, len(points))
	for i := range out {
		out[i] = example{x: points[i], row: runs[i], value: s.in.gather(runs[i])}
	}
	return out, nil
}

// normalDraws samples the normal approximation about the mode.
func (s *sampler) normalDraws() {
	draws := make([][]float64, keptDraws)
	for i := range draws {
		draws[i] = make([]float64, s.s.n)
		for j := range draws[i] {
			draws[i][j] = s.source.NormFloat64()
		}
	}
	s.chains = [][][]float64{draws}
}

// pool is all chains one after the other.
func (s *sampler) pool() [][]float64 {
	var out [][]float64
	for _, c := range s.chains {
		out = append(out, c...)
	}
	return out
}

// check weighs some of the draws by true runs.
func (s *sampler) check(ctx context.Context, count int) error {
	all := s.pool()
	if ctx.Err() != nil || len(all) == 0 {
		return ctx.Err()
	}
	points := make([][]float64, min(count, len(all)))
	for i := range points {
		points[i] = all[i*len(all)/len(points)]
	}
	found, err := s.look(ctx, points)
	if err != nil {
		return err
	}
	s.checked = found
	s.weights = s.trueWeights(found)
	s.report.Checked = len(found)
	s.report.Efficiency = effectiveShare(s.weights)
	return nil
}

// trueWeights are likelihoods by true runs over those by the polynomials, the
// largest cut to the root of their number times their mean (Ionides, Journal of
// Computational and Graphical Statistics 17 (2008) 295, from memory), so that
// no one draw stands for all.
func (s *sampler) trueWeights(found []example) []float64 {
	d := s.s.newDensity()
	logs := make([]float64, len(found))
	for i := range found {
		found[i].like = s.in.logLikelihood(found[i].row)
		logs[i] = found[i].like - d.logLikelihood(found[i].x)
	}
	return weighed(logs)
}

// relative gives weights in proportion to their logarithms, the largest 1, and the
// logarithm of that; all are 0 where none is possible.
func relative(logs []float64) (weights []float64, most float64) {
	weights, most = make([]float64, len(logs)), math.Inf(-1)
	for _, l := range logs {
		most = math.Max(most, l)
	}
	for i := range logs {
		if !math.IsInf(most, -1) {
			weights[i] = math.Exp(logs[i] - most)
		}
	}
	return weights, most
}

// weighed gives the weights with the largest cut, as trueWeights says.
func weighed(logs []float64) []float64 {
	weights, _ := relative(logs)
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	limit := sum / math.Sqrt(float64(len(logs)))
	for i := range weights {
		weights[i] = math.Min(weights[i], limit)
	}
	return weights
}

// effectiveShare of weighted draws: (sum w)2 / n sum w2 (Kish).
func effectiveShare(weights []float64) float64 {
	sum, square := 0.0, 0.0
	for _, w := range weights {
		sum += w
		square += w * w
	}
	return sum * sum / (square * float64(len(weights)))
}

// resample draws systematically in proportion to weights (Kitagawa, Journal of
// Computational and Graphical Statistics 5 (1996) 1, from memory).
func resample[T any](points []T, weights []float64, count int, source *rand.Rand) []T {
	total := 0.0
	for _, w := range weights {
		total += w
	}
	out := make([]T, 0, count)
	at, reached := 0, weights[0]
	first := source.Float64()
	for i := range count {
		want := (float64(i) + first) / float64(count) * total
		for reached < want && at+1 < len(points) {
			at++
			reached += weights[at]
		}
		out = append(out, points[at])
	}
	return out
}

// finish works the diagnostics out.
func (s *sampler) finish() {
	r := &s.report
	r.Chains, r.Draws, r.Runs = len(s.chains), 0, s.in.runs
	for _, c := range s.chains {
		r.Draws += len(c)
	}
	r.Rhat, r.Size = 1, math.Inf(1)
	for j := range s.s.n {
		one := make([][]float64, len(s.chains))
		for c, draws := range s.chains {
			one[c] = make([]float64, len(draws))
			for i, x := range draws {
				one[c][i] = s.s.coordinates(x)[j]
			}
		}
		r.Rhat = math.Max(r.Rhat, splitRhat(one))
		r.Size = math.Min(r.Size, effectiveSize(one))
	}
	if !math.IsNaN(r.Efficiency) {
		r.Size *= r.Efficiency
	}
	if s.last != nil {
		r.Size, r.Rhat = float64(distinct(s.particles)), s.halvesAgree()
	}
}

// halvesAgree is R-hat between the two halves of the population.
func (s *sampler) halvesAgree() float64 {
	worst := 1.0
	for _, c := range s.in.active {
		halves := make([][]float64, 2)
		for i, p := range s.last {
			h := 2 * i / len(s.last)
			halves[h] = append(halves[h], p.row[c])
		}
		worst = math.Max(worst, splitRhat(halves))
	}
	return worst
}

// posterior turns draws of the active coordinates into draws of all columns.
func (s *sampler) posterior() *Posterior {
	p := &Posterior{Columns: s.in.columns, Discrepancy: *s.o.Discrepancy, Sampling: s.report}
	var draws [][]float64
	all := s.pool()
	for i := range min(keptDraws, len(all)) {
		draws = append(draws, all[i*len(all)/min(keptDraws, len(all))])
	}
	c, err := s.in.conditional()
	if err != nil {
		c = &conditional{}
	}
	if s.particles != nil {
		for i := range keptDraws {
			p.Draws = append(p.Draws, s.particles[i*len(s.particles)/keptDraws].row)
		}
		return p
	}
	for _, x := range draws {
		p.Draws = append(p.Draws, s.complete(x, c))
	}
	return p
}

// complete draws the minor coordinates for a local point.
func (s *sampler) complete(x []float64, c *conditional) []float64 {
	row := s.place(x)
	for i, v := range c.draw(s.in.misfit(s.featuresAt(x)), s.source) {
		row[s.in.minor[i]] = v
	}
	return row
}

// featuresAt gives the features by the polynomials, or by straight lines where
// an interruption left none.
func (s *sampler) featuresAt(x []float64) []float64 {
	if s.s.fit != nil {
		return s.s.features(x)[:s.in.count]
	}
	out := append([]float64(nil), s.in.at...)
	p := s.s.coordinates(x)
	for i, c := range s.in.active {
		for f := range out {
			out[f] += s.in.jacobian.At(f, c) * (p[i] - s.s.center[i])
		}
	}
	return out
}

func quantiles(values []float64) (low, middle, high float64) {
	sorted := append([]float64(nil), values...)
	sort.Float64s(sorted)
	return quantileOf(sorted, 0.05), quantileOf(sorted, 0.5), quantileOf(sorted, 0.95)
}

// quantileOf sorted values, linear between the plotting positions (i - 0.5)/n
// (Hyndman and Fan, The American Statistician 50 (1996) 361, type 5).
func quantileOf(sorted []float64, p float64) float64 {
	if len(sorted) == 0 {
		return math.NaN()
	}
	at := p*float64(len(sorted)) - 0.5
	low := int(math.Max(at, 0))
	if at <= 0 || low >= len(sorted)-1 {
		return sorted[min(low, len(sorted)-1)]
	}
	w := at - float64(low)
	return sorted[low]*(1-w) + sorted[low+1]*w
}
