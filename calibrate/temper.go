package calibrate

import (
	"context"
	"math"
	"math/rand/v2"
)

// particle is one point of the active coordinates with its runs.
type particle struct {
	row    []float64
	runs   []drawn
	like   float64 // logarithm of the likelihood
	square float64 // of the active coordinates
}

// Sizes of a tempered population.
const (
	particlesEach = 14 // for each coordinate followed
	particlesMost = 120
	stageShare    = 0.5 // effective share of the particles that a stage keeps
	stageSweeps   = 2
	lastSweeps    = 4
	mostStages    = 30
	stretchMost   = 2.0
)

// temper samples the posterior of the active coordinates by runs of the network
// alone, for posteriors too bent for polynomials: where an engine all but stalls
// on a long plateau, a little of one input decides between one hour and seven.
// A population drawn from the prior is led to the posterior by raising the
// likelihood's exponent from 0 to 1, each time as far as half of the particles
// stay effective (Del Moral, Doucet and Jasra, Journal of the Royal Statistical
// Society B 68 (2006) 411), and moved by stretches along lines between particles
// (Goodman and Weare, Communications in Applied Mathematics and Computational
// Science 5 (2010) 65; both from memory).
func (in *inference) temper(ctx context.Context, source *rand.Rand) ([]particle, error) {
	n := min(particlesMost, 2*max(10, particlesEach*len(in.active)/2))
	rows := make([][]float64, n)
	for i := range rows {
		rows[i] = make([]float64, len(in.columns))
		for _, c := range in.active {
			rows[i][c] = source.NormFloat64()
		}
	}
	all, err := in.particles(ctx, rows)
	if err != nil {
		return nil, err
	}
	exponent := 0.0
	for stage := 0; exponent < 1 && stage < mostStages; stage++ {
		next := nextExponent(all, exponent)
		if stage+1 == mostStages {
			next = 1
		}
		weights := make([]float64, n)
		for i := range all {
			weights[i] = (next - exponent) * all[i].like
		}
		all, exponent = resample(all, weighed(weights), n, source), next
		source.Shuffle(n, func(i, j int) { all[i], all[j] = all[j], all[i] })
		if err := in.sweeps(ctx, all, exponent, stageSweeps, source); err != nil {
			return nil, err
		}
	}
	return all, in.sweeps(ctx, all, 1, lastSweeps, source)
}

// particles runs rows and weighs them.
func (in *inference) particles(ctx context.Context, rows [][]float64) ([]particle, error) {
	out, err := in.evaluate(ctx, rows)
	if err != nil {
		return nil, err
	}
	all := make([]particle, len(rows))
	for i := range rows {
		all[i] = particle{rows[i], out[i], in.logLikelihood(out[i]), 0}
		for _, c := range in.active {
			all[i].square += rows[i][c] * rows[i][c]
		}
	}
	return all, nil
}

// nextExponent is as far as the particles' effective share stays above
// stageShare, by bisection.
func nextExponent(all []particle, now float64) float64 {
	share := func(to float64) float64 {
		logs, most := make([]float64, len(all)), math.Inf(-1)
		for i := range all {
			logs[i] = (to - now) * all[i].like
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
	return low
}

// sweeps moves every particle along the line to one of the other half, again and
// again.
func (in *inference) sweeps(ctx context.Context, all []particle, exponent float64, count int, source *rand.Rand) error {
	half := len(all) / 2
	for range 2 * count {
		moving, still := all[:half], all[half:]
		if source.Uint64()&1 == 0 {
			moving, still = all[half:], all[:half]
		}
		rows, factors := make([][]float64, len(moving)), make([]float64, len(moving))
		for i := range moving {
			other := still[source.IntN(len(still))]
			u := source.Float64()
			// z has the density of 1/sqrt z between 1/a and a.
			z := math.Pow((stretchMost-1)*u+1, 2) / stretchMost
			rows[i] = append([]float64(nil), moving[i].row...)
			for _, c := range in.active {
				rows[i][c] = other.row[c] + z*(moving[i].row[c]-other.row[c])
			}
			factors[i] = float64(len(in.active)-1) * math.Log(z)
		}
		tried, err := in.particles(ctx, rows)
		if err != nil {
			return err
		}
		for i := range moving {
			gain := factors[i] + exponent*(tried[i].like-moving[i].like) - (tried[i].square-moving[i].square)/2
			if math.Log(source.Float64()) < gain {
				moving[i] = tried[i]
			}
		}
	}
	return nil
}

// best is the particle of the highest posterior density.
func best(all []particle) *particle {
	at := &all[0]
	for i := range all {
		if all[i].like-all[i].square/2 > at.like-at.square/2 {
			at = &all[i]
		}
	}
	return at
}
