package calibrate

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
)

// particle is one draw of all coordinates with its runs of the network.
type particle struct {
	row      []float64
	runs     []drawn
	from, to float64 // logarithms of the likelihoods that a bridge leads between
}

// bridge leads a population from one posterior to another, both of the same
// prior, by true runs of the network in all coordinates: nothing is taken as
// straight. The likelihood is changed in steps, each as far as a
// quarter of the particles stay effective (Del Moral, Doucet and Jasra, Journal of the Royal
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
	forget       float64    // after the last stage
	sweeps       int        // for that at most
	boldness     float64    // of the moves, between 0 and 1
	boldnessRest float64    // of those across all directions in which the data speak
	turn         bool       // of which it is
	stages       int
	forgotten    float64    // by the sweeps after the last stage
	independent  float64    // how many independent draws the population is worth
	basis        *mat.Dense // directions in which the data speak, by columns
}

// Sizes of a population and of its moves.
const (
	populationSize = 240
	stageShare     = 0.25 // effective share of the particles that a stage keeps
	mostStages     = 25
	directionsMost = 24
	leastTold      = 0.1 // singular value from which the data speak in a direction
	wantedShare    = 0.35
	// A sweep forgets of its particles the share accepted times the boldness
	// squared. This much is forgotten after each stage, and after the last, in at
	// most so many sweeps.
	forgetStage, sweepsStage = 0.4, 3
	forgetLast, sweepsLast   = 2.0, 20
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
		for _, c := range b.whole.integrated {
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
	weights, _ := relative(gains(all, 1))
	return weights
}

// gains is by how much each particle's likelihood grows over a share of the bridge,
// as logarithms.
func gains(all []particle, share float64) []float64 {
	logs := make([]float64, len(all))
	for i := range all {
		logs[i] = share * (all[i].to - all[i].from)
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
		weights := weighed(gains(all, next-exponent))
		share := effectiveShare(weights)
		all, exponent = resample(all, weights, len(all), b.source), next
		if b.stages%2 == 0 || exponent == 1 {
			if err := b.speaking(ctx, all); err != nil {
				return all, err
			}
		}
		forget, most := forgetStage, sweepsStage
		if exponent == 1 && !b.onward {
			forget, most = b.forget, b.sweeps
		}
		for sweeps := 0; forget > 0 && sweeps < most; sweeps++ {
			forgot, err := b.sweep(ctx, all, exponent)
			if err != nil {
				return all, err
			}
			forget -= forgot
			if exponent == 1 {
				b.forgotten += forgot
			}
		}
		b.independent = independent(len(all), share, b.forgotten)
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

// independent is how many independent draws as many particles are worth which
// were drawn by weights of an effective share and have then forgotten so much. A
// sweep of boldness b that accepts a share a leaves a particle correlated by
// 1 - a b^2/2 with where it came from, so that exp(-forgotten) of the variance
// of a mean is still that of the weighted draws and the rest that of fresh ones.
func independent(count int, share, forgotten float64) float64 {
	kept := math.Exp(-forgotten)
	return float64(count) / (1 - kept + kept/share)
}

// nextExponent is as far as the particles' effective share stays above
// stageShare, by bisection.
func nextExponent(all []particle, now float64) float64 {
	share := func(to float64) float64 {
		weights, _ := relative(gains(all, to-now))
		return effectiveShare(weights)
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

// distinct is how many of the particles differ: two that do have no coordinate in
// common.
func distinct(all []particle) int {
	seen := map[float64]bool{}
	for i := range all {
		seen[all[i].row[0]] = true
	}
	return len(seen)
}

// reread takes particles over from another state of the log, in which less may
// have been integrated out.
func (b *bridge) reread(all []particle) []particle {
	out := make([]particle, len(all))
	for i, p := range all {
		p.row = append([]float64(nil), p.row...)
		for _, c := range b.whole.integrated {
			p.row[c] = 0
		}
		out[i] = *b.in.reread(&p)
		out[i].from, out[i].to = b.from(&out[i]), b.to(&out[i])
	}
	return out
}
