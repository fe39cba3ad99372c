package calibrate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// belief is a normal distribution over the deviates of all columns: what
// earlier trials taught. Its coordinates are independent and standard normal.
type belief struct {
	mean  []float64
	lower *mat.TriDense // of the Cholesky factor of the covariance
	known []bool        // columns that the trials had
}

// newBelief takes mean and covariance of the draws of the columns that a
// posterior has; from says which of its columns each column is, -1 for new ones.
func newBelief(draws [][]float64, from []int) *belief {
	n := len(from)
	b := &belief{mean: make([]float64, n), known: make([]bool, n)}
	covariance := mat.NewSymDense(n, nil)
	for i, f := range from {
		covariance.SetSym(i, i, 1)
		if f < 0 {
			continue
		}
		b.known[i] = true
		for _, d := range draws {
			b.mean[i] += d[f] / float64(len(draws))
		}
	}
	for i, f := range from {
		for j := 0; j <= i && f >= 0; j++ {
			if from[j] < 0 {
				continue
			}
			sum := 0.0
			for _, d := range draws {
				sum += (d[f] - b.mean[i]) * (d[from[j]] - b.mean[j])
			}
			covariance.SetSym(i, j, sum/float64(len(draws)-1))
		}
	}
	var chol mat.Cholesky
	for extra := 1e-9; !chol.Factorize(covariance); extra *= 10 {
		for i := range n {
			covariance.SetSym(i, i, covariance.At(i, i)+extra)
		}
	}
	b.lower = mat.NewTriDense(n, mat.Lower, nil)
	chol.LTo(b.lower)
	return b
}

// moves reports whether a coordinate mixes columns.
func (b *belief) moves(coordinate int) bool { return b.known[coordinate] }

func (b *belief) deviates(coordinates []float64) []float64 {
	out := make([]float64, len(b.mean))
	for i := range out {
		out[i] = b.mean[i]
		for j := range i + 1 {
			if l := b.lower.At(i, j); l != 0 {
				out[i] += l * coordinates[j]
			}
		}
		out[i] = math.Max(math.Min(out[i], 8), -8)
	}
	return out
}
