package field

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"meltspan/internal/incomplete"
)

// Solver chooses how linear systems are preconditioned.
type Solver uint8

const (
	// Automatic takes the factorisation below 6000 cells and for short steps
	// of time, else multigrid.
	Automatic Solver = iota
	// Multigrid costs about the same per cell at every size.
	Multigrid
	// IncompleteFactorisation is quickest for small problems and short steps.
	IncompleteFactorisation
)

const (
	// automaticLimit is where both take about the same time for a steady box
	// (BenchmarkSteady).
	automaticLimit = 6000
	// easyShare is how far the diagonal outweighs the rest of its row, as a share,
	// when storage limits the reach of every cell to some ten neighbours: the
	// factorisation then needs few steps (BenchmarkMelting).
	easyShare = 0.01
)

type preconditioner interface {
	precondition(in, out []float64)
}

func (s Solver) prepare(m *matrix) preconditioner {
	if s == IncompleteFactorisation || (s == Automatic && (m.size() < automaticLimit || m.easy())) {
		return newFactor(m)
	}
	return newHierarchy(m)
}

// factor is the incomplete factorisation, for small problems.
type factor struct{ *incomplete.Factor }

func newFactor(m *matrix) factor {
	split := make([]int32, m.size()) // by row, the first entry right of the diagonal
	for i := range split {
		columns, _ := m.row(i)
		left, _ := slices.BinarySearch(columns, int32(i))
		split[i] = m.start[i] + int32(left)
	}
	f := incomplete.New(incomplete.Matrix{Start: m.start[:m.size()], End: split, Column: m.column, Value: m.value, Diagonal: m.main})
	f.Factorise()
	return factor{f}
}

func (f factor) precondition(in, out []float64) { f.Solve(in, out) }

// easy reports whether the diagonal outweighs the rest in most rows.
func (m *matrix) easy() bool {
	count := 0
	for i, main := range m.main {
		_, values := m.row(i)
		rest := 0.0
		for _, v := range values {
			rest -= v
		}
		if main > (1+easyShare)*rest {
			count++
		}
	}
	return 2*count > m.size()
}

// ErrNotConverged is returned, wrapped, when an iteration stops short.
var ErrNotConverged = errors.New("field: the iteration did not converge")

const gradientSteps = 1000

// gradients holds the vectors of the conjugate gradients.
type gradients struct {
	residual, direction, product, conditioned []float64
}

func newGradients(n int) *gradients {
	return &gradients{make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)}
}

// solve finds x with A x = b, from x = 0, until enough says so of the
// residual; it returns the steps taken. The gradients are flexible (Notay, SIAM
// J. Sci. Comput. 22 (2000) 1444, from memory): the K-cycle is not quite the
// same operator at every step.
func (g *gradients) solve(ctx context.Context, a *matrix, pre preconditioner, b, x []float64, enough func(residual []float64) bool) (int, error) {
	clear(x)
	copy(g.residual, b)
	if enough(g.residual) {
		return 0, nil
	}
	pre.precondition(g.residual, g.conditioned)
	copy(g.direction, g.conditioned)
	rho := dot(g.residual, g.conditioned)
	for step := 1; step <= gradientSteps; step++ {
		if err := ctx.Err(); err != nil {
			return step, err
		}
		a.multiply(g.direction, g.product)
		curvature := dot(g.direction, g.product)
		alpha := rho / curvature
		if math.IsNaN(alpha) || math.IsInf(alpha, 0) {
			return step, fmt.Errorf("%w: the conductances of the problem span too wide a range for its linear system", ErrNotConverged)
		}
		addTo(x, alpha, g.direction)
		addTo(g.residual, -alpha, g.product)
		if enough(g.residual) {
			return step, nil
		}
		pre.precondition(g.residual, g.conditioned)
		beta := -alpha * dot(g.conditioned, g.product) / rho
		rho = dot(g.residual, g.conditioned)
		rows(len(x), func(from, to int) {
			d := g.direction[from:to]
			for i, c := range g.conditioned[from:to] {
				d[i] = c + beta*d[i]
			}
		})
	}
	return gradientSteps, fmt.Errorf("%w: the linear system after %d steps", ErrNotConverged, gradientSteps)
}
