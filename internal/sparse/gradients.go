package sparse

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// Preconditioner sets out to about the solution of A out = in.
type Preconditioner interface{ Precondition(in, out []float64) }

// ErrNotConverged is returned, wrapped, when an iteration stops short.
var ErrNotConverged = errors.New("the iteration did not converge")

const gradientSteps = 1000

// Gradients holds the vectors of the conjugate gradients.
type Gradients struct{ residual, direction, product, conditioned []float64 }

// NewGradients makes them for systems of n rows.
func NewGradients(n int) *Gradients {
	return &Gradients{make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)}
}

// Solve improves x until enough says so of the residual of A x = b; it returns
// the steps taken. The gradients are flexible (Notay, SIAM J. Sci. Comput. 22
// (2000) 1444, from memory): a multigrid cycle is not quite the same operator at
// every step. It fails, wrapped in ErrNotConverged, when the steps run out or
// the numbers do, and with the context's error.
func (g *Gradients) Solve(ctx context.Context, a *Matrix, pre Preconditioner, b, x []float64, enough func(residual []float64) bool) (int, error) {
	a.Subtract(b, x, g.residual)
	if enough(g.residual) {
		return 0, nil
	}
	pre.Precondition(g.residual, g.conditioned)
	copy(g.direction, g.conditioned)
	rho := Dot(g.residual, g.conditioned)
	for step := 1; step <= gradientSteps; step++ {
		if err := ctx.Err(); err != nil {
			return step, err
		}
		a.Multiply(g.direction, g.product)
		curvature := Dot(g.direction, g.product)
		alpha := rho / curvature
		if math.IsNaN(alpha) || math.IsInf(alpha, 0) {
			return step, fmt.Errorf("%w: the conductances of the problem span too wide a range for its linear system", ErrNotConverged)
		}
		AddTo(x, alpha, g.direction)
		AddTo(g.residual, -alpha, g.product)
		if enough(g.residual) {
			return step, nil
		}
		pre.Precondition(g.residual, g.conditioned)
		beta := -alpha * Dot(g.conditioned, g.product) / rho
		rho = Dot(g.residual, g.conditioned)
		Rows(len(x), func(from, to int) {
			d := g.direction[from:to]
			for i, c := range g.conditioned[from:to] {
				d[i] = c + beta*d[i]
			}
		})
	}
	return gradientSteps, fmt.Errorf("%w: the linear system after %d steps", ErrNotConverged, gradientSteps)
}
