package calibrate

import (
	"context"
	"math"
	"math/rand/v2"
	"sync"
)

// target is a density to sample from: its logarithm, and the gradient of that.
type target interface {
	at(x, gradient []float64) float64
}

// Lengths of a chain's trajectories and of its warming up. About the mode the
// density is nearly standard normal, whose half period is pi: a quarter to half
// of it, drawn anew each time, forgets the start without returning to it.
const (
	shortestPath = 0.8
	longestPath  = 2.2
	warming      = 300
	firstLeap    = 0.25
)

// chain runs Hamiltonian Monte Carlo (Neal, in Handbook of Markov Chain Monte
// Carlo (2011), ch. 5, from memory) with unit masses: leapfrog steps whose size
// is fitted while warming up to accept about 0.85 of the proposals. It returns
// what it has when the context is cancelled.
func chain(ctx context.Context, t target, start []float64, draws int, source *rand.Rand) [][]float64 {
	n := len(start)
	x, g := append([]float64(nil), start...), make([]float64, n)
	next, slope, p := make([]float64, n), make([]float64, n), make([]float64, n)
	value := t.at(x, g)
	leap := firstLeap
	var out [][]float64
	for i := range warming + draws {
		if i%64 == 0 && ctx.Err() != nil {
			return out
		}
		kinetic := 0.0
		for j := range p {
			p[j] = source.NormFloat64()
			kinetic += p[j] * p[j] / 2
		}
		copy(next, x)
		copy(slope, g)
		path := shortestPath + (longestPath-shortestPath)*source.Float64()
		// Now and then short leaps, for places where the density is bent more.
		h := leap * (0.4 + 0.6*source.Float64())
		steps := max(1, int(math.Round(path/h)))
		proposed := value
		for range steps {
			for j := range p {
				p[j] += h / 2 * slope[j]
				next[j] += h * p[j]
			}
			proposed = t.at(next, slope)
			for j := range p {
				p[j] += h / 2 * slope[j]
			}
		}
		accept := proposed - squares(p)/2 - value + kinetic
		chance := math.Min(1, math.Exp(accept))
		if math.IsNaN(accept) {
			chance = 0
		}
		if source.Float64() < chance {
			copy(x, next)
			copy(g, slope)
			value = proposed
		}
		if i < warming {
			leap = math.Min(math.Max(leap*math.Exp((chance-0.85)*2/math.Sqrt(float64(i+4))), 1e-4), 0.6)
			continue
		}
		out = append(out, append([]float64(nil), x...))
	}
	return out
}

// chains runs several from scattered starts, each with its own stream of random
// numbers.
func chains(ctx context.Context, target func() target, n, count, draws int, seed uint64) [][][]float64 {
	out := make([][][]float64, count)
	var wait sync.WaitGroup
	for c := range count {
		wait.Add(1)
		go func() {
			defer wait.Done()
			source := rand.New(rand.NewPCG(seed, 0x636861696e+uint64(c)))
			start := make([]float64, n)
			for j := range start {
				start[j] = 1.5 * source.NormFloat64()
			}
			out[c] = chain(ctx, target(), start, draws, source)
		}()
	}
	wait.Wait()
	return out
}
