package calibrate

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"

	"meltspan/trial"
)

// particle is one draw of all coordinates with its runs of the network.
type particle struct {
	row      []float64
	runs     []drawn
	from, to float64 // logarithms of the likelihoods that a bridge leads between
}

// bridge leads a population from one posterior to another, both of the same
// prior, by true runs of the network in all coordinates: nothing is taken as
// straight. The likelihood is changed in steps, each as far as half of the
// particles stay effective (Del Moral, Doucet and Jasra, Journal of the Royal
// Statistical Society B 68 (2006) 411, from memory); after each, the particles
// are drawn by weight and moved.
type bridge struct {
	in           *inference
	from, to     func(p *particle) float64
	whole        *wholeLikelihood
	source       *rand.Rand
	onward       bool       // another bridge follows
	after        int        // sweeps whose particles are kept once the population has settled
	kept         []particle // of those
	boldness     float64    // of the moves, between 0 and 1
	boldnessRest float64    // of those across all directions in which the data speak
	turn         bool       // of which it is
	stages       int
	basis        *mat.Dense // directions in which the data speak, by columns
}

// Sizes of a population and of its moves.
const (
	populationSize = 160
	stageShare     = 0.25 // effective share of the particles that a stage keeps
	mostStages     = 25
	directionsMost = 24
	leastTold      = 0.1 // singular value from which the data speak in a direction
	wantedShare    = 0.35
	// A sweep forgets of its particles the share accepted times the boldness
	// squared. This much is forgotten after each stage, and after the last, in at
	// most so many sweeps.
	forgetStage, sweepsStage = 0.4, 3
	forgetLast, sweepsLast   = 1.2, 10
	timid                    = 0.6 // boldness below which directions are moved in turn
)

func drawPrior(n int, source *rand.Rand) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = source.NormFloat64()
	}
	return out
}

// populate runs rows of coordinates.
func (b *bridge) populate(ctx context.Context, rows [][]float64) ([]particle, error) {
	for i := range rows {
		for _, c := range b.whole.paces {
			rows[i][c] = 0
		}
	}
	runs, err := b.in.evaluate(ctx, rows)
	if err != nil {
		return nil, err
	}
	out := make([]particle, len(rows))
	for i := range rows {
		out[i] = particle{row: rows[i], runs: runs[i]}
		out[i].from, out[i].to = b.from(&out[i]), b.to(&out[i])
	}
	return out, nil
}

// weights of a population on the near side for the far one.
func (b *bridge) weights(all []particle) []float64 {
	logs, most := make([]float64, len(all)), math.Inf(-1)
	for i := range all {
		logs[i] = all[i].to - all[i].from
		most = math.Max(most, logs[i])
	}
	for i := range logs {
		logs[i] = math.Exp(logs[i] - most)
	}
	return logs
}

// lead takes the population across.
func (b *bridge) lead(ctx context.Context, all []particle) ([]particle, error) {
	if b.boldness == 0 {
		b.boldness = 0.7
	}
	if b.boldnessRest == 0 {
		b.boldnessRest = 0.9
	}
	for exponent := 0.0; exponent < 1; b.stages++ {
		next := nextExponent(all, exponent)
		if b.stages+1 >= mostStages {
			next = 1
		}
		logs := make([]float64, len(all))
		for i := range all {
			logs[i] = (next - exponent) * (all[i].to - all[i].from)
		}
		all, exponent = resample(all, weighed(logs), len(all), b.source), next
		if b.stages%2 == 0 || exponent == 1 {
			if err := b.speaking(ctx, all); err != nil {
				return all, err
			}
		}
		forget, most := forgetStage, sweepsStage
		if exponent == 1 && !b.onward {
			forget, most = forgetLast, sweepsLast
		}
		for sweeps := 0; forget > 0 && sweeps < most; sweeps++ {
			forgot, err := b.sweep(ctx, all, exponent)
			if err != nil {
				return all, err
			}
			forget -= forgot
		}
	}
	b.kept = append(b.kept, all...)
	for range b.after - 1 {
		if _, err := b.sweep(ctx, all, 1); err != nil {
			return all, err
		}
		b.kept = append(b.kept, all...)
	}
	return all, nil
}

// nextExponent is as far as the particles' effective share stays above
// stageShare, by bisection.
func nextExponent(all []particle, now float64) float64 {
	share := func(to float64) float64 {
		logs, most := make([]float64, len(all)), math.Inf(-1)
		for i := range all {
			logs[i] = (to - now) * (all[i].to - all[i].from)
			most = math.Max(most, logs[i])
		}
		for i := range logs {
			logs[i] = math.Exp(logs[i] - most)
		}
		return effectiveShare(logs)
	}
	if share(1) >= stageShare {
		return 1
	}
	low, high := now, 1.0
	for range 40 {
		if middle := (low + high) / 2; share(middle) >= stageShare {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// kernel proposes moves that leave a normal distribution as it is: the
// population's own in the directions in which the data speak, the prior in all
// others (preconditioned Crank-Nicolson proposals: Cotter, Roberts, Stuart and
// White, Statistical Science 28 (2013) 424; with a subspace informed by the
// likelihood: Cui, Law and Marzouk, Journal of Computational Physics 304 (2016)
// 109; both from memory). Were the posterior that normal, every proposal would
// be accepted, in any number of coordinates.
type kernel struct {
	basis *mat.Dense
	mean  []float64
	lower *mat.TriDense
}

// speaking finds the directions in which the data speak: the right singular
// vectors of the whitened slopes at the middle of the population.
func (b *bridge) speaking(ctx context.Context, all []particle) error {
	free := b.whole.free
	middle := make([]float64, len(b.in.columns))
	for i := range all {
		for _, c := range free {
			middle[c] += all[i].row[c] / float64(len(all))
		}
	}
	_, jacobian, err := b.in.linearise(ctx, middle, free)
	if err != nil {
		return err
	}
	var white mat.Dense
	solveLower(&b.whole.factor, &white, jacobian)
	var svd mat.SVD
	if !svd.Factorize(&white, mat.SVDThin) {
		b.basis = nil
		return nil
	}
	values := svd.Values(nil)
	k := 0
	for k < len(values) && k < directionsMost && values[k] > leastTold {
		k++
	}
	b.basis = nil
	if k > 0 {
		var v mat.Dense
		svd.VTo(&v)
		b.basis = mat.DenseCopyOf(v.Slice(0, len(free), 0, k))
	}
	return nil
}

func (b *bridge) newKernel(all []particle) *kernel {
	k := &kernel{basis: b.basis}
	if b.basis == nil {
		return k
	}
	_, n := b.basis.Dims()
	k.mean = make([]float64, n)
	along := make([][]float64, len(all))
	for i := range all {
		along[i], _ = k.apart(b.whole.pick(all[i].row))
		for j, v := range along[i] {
			k.mean[j] += v / float64(len(all))
		}
	}
	covariance := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			sum := 0.0
			for _, a := range along {
				sum += (a[i] - k.mean[i]) * (a[j] - k.mean[j])
			}
			sum /= float64(len(all) - 1)
			if i == j {
				sum = 1.05*sum + 1e-6
			}
			covariance.SetSym(i, j, sum)
		}
	}
	var chol mat.Cholesky
	b.in.factorize(&chol, covariance)
	k.lower = mat.NewTriDense(n, mat.Lower, nil)
	chol.LTo(k.lower)
	return k
}

// apart splits free coordinates into those along the directions and the rest.
func (k *kernel) apart(z []float64) (along, rest []float64) {
	rest = append([]float64(nil), z...)
	if k.basis == nil {
		return nil, rest
	}
	rows, n := k.basis.Dims()
	along = make([]float64, n)
	for j := range n {
		for i := range rows {
			along[j] += k.basis.At(i, j) * z[i]
		}
	}
	for j := range n {
		for i := range rows {
			rest[i] -= k.basis.At(i, j) * along[j]
		}
	}
	return along, rest
}

// propose gives a new place, and the logarithm of what the prior gains in it
// over what the proposal does.
func (k *kernel) propose(z []float64, boldness, boldnessRest float64, source *rand.Rand) ([]float64, float64) {
	keep, keepRest := math.Sqrt(1-boldness*boldness), math.Sqrt(1-boldnessRest*boldnessRest)
	fresh := make([]float64, len(z))
	for i := range fresh {
		fresh[i] = source.NormFloat64()
	}
	along, out := k.apart(z)
	_, rest := k.apart(fresh)
	for i := range out {
		out[i] = keepRest*out[i] + boldnessRest*rest[i]
	}
	if k.basis == nil {
		return out, 0
	}
	n := len(along)
	normal, moved := make([]float64, n), make([]float64, n)
	for j := range normal {
		normal[j] = source.NormFloat64()
	}
	for j := range n {
		moved[j] = k.mean[j] + keep*(along[j]-k.mean[j])
		for i := range j + 1 {
			moved[j] += boldness * k.lower.At(j, i) * normal[i]
		}
	}
	for j := range n {
		for i := range out {
			out[i] += k.basis.At(i, j) * moved[j]
		}
	}
	return out, k.excess(moved) - k.excess(along)
}

// excess is the logarithm of the prior over the kernel's own normal.
func (k *kernel) excess(along []float64) float64 {
	u := make([]float64, len(along))
	for j := range along {
		u[j] = along[j] - k.mean[j]
		for i := range j {
			u[j] -= k.lower.At(j, i) * u[i]
		}
		u[j] /= k.lower.At(j, j)
	}
	return (squares(u) - squares(along)) / 2
}

// adapted is the boldness that should have the wanted share accepted.
func adapted(boldness, accepted float64) float64 {
	return math.Min(math.Max(boldness*math.Exp(1.5*(accepted-wantedShare)), 0.05), 0.98)
}

// sweep makes one Metropolis move of each particle, and gives the share of what
// the data tell that was forgotten. Where only small moves are accepted along the
// directions in which the data speak, these and all others are moved in turn.
func (b *bridge) sweep(ctx context.Context, all []particle, exponent float64) (float64, error) {
	k := b.newKernel(all)
	along, rest := b.boldness, b.boldness
	if b.boldness < timid { // the one must not hold up the other
		if b.turn = !b.turn; b.turn {
			along = 0
			rest = b.boldnessRest
		} else {
			rest = 0
		}
	}
	rows, gains := make([][]float64, len(all)), make([]float64, len(all))
	for i := range all {
		z, gain := k.propose(b.whole.pick(all[i].row), along, rest, b.source)
		rows[i] = make([]float64, len(b.in.columns))
		for j, c := range b.whole.free {
			rows[i][c] = z[j]
		}
		gains[i] = gain
	}
	tried, err := b.populate(ctx, rows)
	if err != nil {
		return 0, err
	}
	accepted := 0.0
	for i := range all {
		gain := gains[i] + (1-exponent)*(tried[i].from-all[i].from) + exponent*(tried[i].to-all[i].to)
		if math.Log(b.source.Float64()) < gain {
			all[i] = tried[i]
			accepted += 1 / float64(len(all))
		}
	}
	if along > 0 {
		b.boldness = adapted(b.boldness, accepted)
	} else {
		b.boldnessRest = adapted(rest, accepted)
		return 0, nil
	}
	return accepted * along * along, nil
}

// distinct is how many of the particles differ.
func distinct(all []particle) int {
	seen := map[*float64]bool{}
	for i := range all {
		seen[&all[i].row[0]] = true
	}
	return len(seen)
}

// wholeLikelihood is the likelihood of rows that hold all coordinates. Only the
// paces of trials whose stall was seen are integrated out: their logarithms of
// times are straight in them, exactly.
type wholeLikelihood struct {
	in     *inference
	free   []int // all coordinates that are not integrated out
	paces  []int
	slopes *mat.Dense // of the features along the paces
	factor mat.Cholesky
}

func (in *inference) whole() *wholeLikelihood {
	w := &wholeLikelihood{in: in}
	straight := make([]bool, len(in.columns))
	if in.belief == nil {
		for c := range in.columns {
			straight[c] = in.columns[c].Path == Pace
		}
		for _, s := range in.subjects {
			for _, c := range s.pace {
				straight[c] = straight[c] && s.anchored
			}
		}
	}
	for c := range straight {
		if straight[c] {
			w.paces = append(w.paces, c)
		} else {
			w.free = append(w.free, c)
		}
	}
	total := mat.NewSymDense(in.noise.SymmetricDim(), nil)
	total.CopySym(in.noise)
	if len(w.paces) > 0 {
		w.slopes = mat.NewDense(in.count, len(w.paces), nil)
		for k, s := range in.subjects {
			for i := range s.features {
				for j, c := range w.paces {
					for p := range s.pace {
						if kind := s.features[i].kind; s.pace[p] == c && (kind == featureStall || kind == featureIce) {
							w.slopes.Set(in.offset[k]+i, j, s.paceSize[p])
						}
					}
				}
			}
		}
		var both mat.Dense
		both.Mul(w.slopes, w.slopes.T())
		for i := range in.count {
			for j := range i + 1 {
				total.SetSym(i, j, total.At(i, j)+both.At(i, j))
			}
		}
	}
	in.factorize(&w.factor, total)
	return w
}

// again is the likelihood of runs that were made for another state of the log. A
// nil receiver is the prior.
func (w *wholeLikelihood) again(p *particle) float64 {
	if w == nil {
		return 0
	}
	return w.of(w.in.reread(p))
}

// reread takes the features from runs that were kept.
func (in *inference) reread(p *particle) *particle {
	z := in.deviates(p.row)
	out := &particle{row: p.row, runs: make([]drawn, len(p.runs))}
	for k, s := range in.subjects {
		out.runs[k] = s.read(p.runs[k].run, z)
		out.runs[k].run = p.runs[k].run
	}
	return out
}

// reread takes particles over from another state of the log.
func (b *bridge) reread(all []particle) []particle {
	out := make([]particle, len(all))
	for i := range all {
		out[i] = *b.in.reread(&all[i])
		out[i].from, out[i].to = b.from(&out[i]), b.to(&out[i])
	}
	return out
}

// cut is the inference as it would have been when each trial that has run to
// its stall had come to a share of that. Its runs are kept.
func (in *inference) cut(share float64, a Discrepancy) (*inference, error) {
	subjects := make([]*subject, len(in.subjects))
	for k, s := range in.subjects {
		one := *s
		one.keep = true
		if s.anchored {
			if err := one.observe(a, share*s.trial.Event(trial.Stalled).Time); err != nil {
				return nil, err
			}
		}
		subjects[k] = &one
	}
	return newInference(subjects, in.columns, in.belief), nil
}

// straightPaces makes the paces the only coordinates that count by straight
// lines: those of the whole likelihood.
func (in *inference) straightPaces(w *wholeLikelihood) {
	in.minor = w.paces
	in.jacobian = mat.NewDense(max(in.count, 1), len(in.columns), nil)
	for j, c := range w.paces {
		for f := range in.count {
			in.jacobian.Set(f, c, w.slopes.At(f, j))
		}
	}
	in.total = w.factor
}

func (w *wholeLikelihood) pick(row []float64) []float64 {
	out := make([]float64, len(w.free))
	for i, c := range w.free {
		out[i] = row[c]
	}
	return out
}

// softFloor is the relative width over which a run that would have stalled by
// now loses its weight.
const softFloor = 0.02

// of a particle's runs, but for a constant.
func (w *wholeLikelihood) of(p *particle) float64 {
	sum := w.misfit(w.in.gather(p.runs))
	for k, s := range w.in.subjects {
		if s.floor > 0 {
			sum += logBeyond(math.Log(max(p.runs[k].runTime, shortest)/s.floor) / softFloor)
		}
	}
	return sum
}

// misfit is the logarithm of the density of the data for given features.
func (w *wholeLikelihood) misfit(features []float64) float64 {
	if w.in.count == 0 {
		return 0
	}
	var out mat.Dense
	solveLower(&w.factor, &out, mat.NewDense(w.in.count, 1, w.in.misfit(features)))
	return -squares(out.RawMatrix().Data) / 2
}
