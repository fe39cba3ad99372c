package network

import (
	"cmp"
	"context"
	"math"
	"slices"

	"meltspan/internal/sparse"
)

// iterative solves by conjugate gradients, preconditioned by an incomplete
// factorisation or, for many nodes, by multigrid.
type iterative struct {
	matrix *sparse.Matrix
	work   *sparse.Gradients
	factor *sparse.Factor // nil with multigrid
	pre    sparse.Preconditioner

	// places are the entries of the links, both ways, for the ends that they
	// have now.
	places [][2]int32
	placed []ends
	enough []float64 // of the residual, by node, W
}

// Conjugate gradients stop when what they leave would put no node off by more
// than gradientLeft, K, over the step. It only makes a step a little less
// implicit: the flows that book energy are exact in any case. Judged node by
// node, because a small cell of metal would build up what a mean over all hides.
const gradientLeft = 1e-3

// multigridNodes is where multigrid on two cores becomes the faster
// (BenchmarkRound).
const multigridNodes = 30000

func newIterative(n int, pairs []ends) *iterative {
	both := make([]ends, 0, 2*len(pairs))
	for _, p := range pairs {
		both = append(both, p, ends{p.b, p.a})
	}
	slices.SortFunc(both, func(p, q ends) int { return cmp.Or(cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b)) })
	both = slices.Compact(both)
	m := &sparse.Matrix{Start: make([]int32, n+1), Column: make([]int32, len(both)), Value: make([]float64, len(both)), Diagonal: make([]float64, n)}
	for k, p := range both {
		m.Column[k] = int32(p.b)
		m.Start[p.a+1]++
	}
	for i := range n {
		m.Start[i+1] += m.Start[i]
	}
	s := &iterative{matrix: m, work: sparse.NewGradients(n), enough: make([]float64, n)}
	if n < multigridNodes {
		s.factor = sparse.NewFactor(m)
		s.pre = s.factor
	}
	return s
}

// place finds the entries of the links anew after the phase has changed.
func (s *iterative) place(links []ends) {
	if slices.Equal(s.placed, links) {
		return
	}
	s.placed = append(s.placed[:0], links...)
	s.places = s.places[:0]
	for _, l := range links {
		at := [2]int32{-1, -1}
		if l.a >= 0 && l.b >= 0 && l.a != l.b {
			a, b := int32(l.a), int32(l.b)
			at = [2]int32{s.matrix.Position(a, b), s.matrix.Position(b, a)}
		}
		s.places = append(s.places, at)
	}
}

func (s *iterative) assemble(capacity []float64, links []ends, conductance []float64, scale float64) {
	s.place(links)
	m := s.matrix
	for i, c := range capacity {
		m.Diagonal[i], s.enough[i] = c, gradientLeft*gamma*c/scale
	}
	clear(m.Value)
	for i, l := range links {
		g := scale * conductance[i]
		if g == 0 || l.a == l.b {
			continue
		}
		if l.a >= 0 {
			m.Diagonal[l.a] += g
		}
		if l.b >= 0 {
			m.Diagonal[l.b] += g
		}
		if at := s.places[i]; at[0] >= 0 {
			m.Value[at[0]] -= g
			m.Value[at[1]] -= g
		}
	}
	if s.factor != nil {
		s.factor.Factorise()
	} else {
		s.pre = sparse.NewHierarchy(m)
	}
}

func (s *iterative) solve(rhs, z []float64) {
	// What stops it short leaves a step less implicit, and the step control
	// judges that.
	_, _ = s.work.Solve(context.Background(), s.matrix, s.pre, rhs, z, s.settled)
}

// settled reports whether the residual is small enough for every node.
func (s *iterative) settled(residual []float64) bool {
	for i, r := range residual {
		if math.Abs(r) > s.enough[i] {
			return false
		}
	}
	return true
}
