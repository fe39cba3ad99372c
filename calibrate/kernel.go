package calibrate

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
)

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
	_, jacobian, err := b.in.linearise(ctx, middle, b.in.all())
	if err != nil {
		return err
	}
	slopes := mat.NewDense(max(b.in.count, 1), len(free), nil)
	for i, c := range free {
		for f := range b.in.count {
			slopes.Set(f, i, jacobian.At(f, c))
		}
	}
	var white mat.Dense
	solveLower(b.whole.spread(jacobian, nil), &white, slopes)
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
