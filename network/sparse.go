package network

import (
	"math"
	"slices"

	"meltspan/internal/incomplete"
)

// sparse solves by conjugate gradients, preconditioned with an incomplete
// factorisation.
type sparse struct {
	start  []int32   // per row, where its entries begin
	column []int32   // left of the diagonal, rising
	value  []float64 // of the entries
	main   []float64 // diagonal
	factor *incomplete.Factor

	at map[ends]int32 // entry of a pair, for finding places once
	// places are the entries of the links for the ends they have now.
	places []int32
	placed []ends

	residual, direction, product, conditioned []float64
}

// Conjugate gradients stop when the residual is this share of the right-hand
// side, or after so many steps. What they leave only makes a step a little
// less implicit: the flows that book energy are exact in any case.
const (
	gradientShare = 1e-7
	gradientSteps = 400
)

func newSparse(n int, pairs []ends) *sparse {
	slices.SortFunc(pairs, func(p, q ends) int {
		if p.a != q.a {
			return p.a - q.a
		}
		return p.b - q.b
	})
	pairs = slices.Compact(pairs)
	s := &sparse{
		start: make([]int32, n+1), column: make([]int32, len(pairs)), value: make([]float64, len(pairs)),
		main:     make([]float64, n),
		at:       make(map[ends]int32, len(pairs)),
		residual: make([]float64, n), direction: make([]float64, n), product: make([]float64, n), conditioned: make([]float64, n),
	}
	for k, p := range pairs {
		s.column[k] = int32(p.b)
		s.start[p.a+1]++
		s.at[p] = int32(k)
	}
	for i := range n {
		s.start[i+1] += s.start[i]
	}
	s.factor = incomplete.New(incomplete.Matrix{Start: s.start[:n], End: s.start[1:], Column: s.column, Value: s.value, Diagonal: s.main})
	return s
}

// place finds the entries of the links anew after the phase has changed.
func (s *sparse) place(links []ends) {
	if slices.Equal(s.placed, links) {
		return
	}
	s.placed = append(s.placed[:0], links...)
	s.places = s.places[:0]
	for _, l := range links {
		k := int32(-1)
		if l.a >= 0 && l.b >= 0 && l.a != l.b {
			k = s.at[ends{max(l.a, l.b), min(l.a, l.b)}]
		}
		s.places = append(s.places, k)
	}
}

func (s *sparse) assemble(capacity []float64, links []ends, conductance []float64, scale float64) {
	s.place(links)
	copy(s.main, capacity)
	clear(s.value)
	for i, l := range links {
		g := scale * conductance[i]
		if g == 0 || l.a == l.b {
			continue
		}
		if l.a >= 0 {
			s.main[l.a] += g
		}
		if l.b >= 0 {
			s.main[l.b] += g
		}
		if k := s.places[i]; k >= 0 {
			s.value[k] -= g
		}
	}
	s.factor.Factorise()
}

func (s *sparse) multiply(in, out []float64) {
	for i := range out {
		v := in[i]
		sum := s.main[i] * v
		for k := s.start[i]; k < s.start[i+1]; k++ {
			j := s.column[k]
			sum += s.value[k] * in[j]
			out[j] += s.value[k] * v
		}
		out[i] = sum
	}
}

func (s *sparse) solve(rhs, z []float64) {
	target := gradientShare * gradientShare * dot(rhs, rhs)
	s.multiply(z, s.product)
	for i := range z {
		s.residual[i] = rhs[i] - s.product[i]
	}
	s.factor.Solve(s.residual, s.conditioned)
	copy(s.direction, s.conditioned)
	rho := dot(s.residual, s.conditioned)
	for range gradientSteps {
		if dot(s.residual, s.residual) <= target || rho == 0 {
			return
		}
		s.multiply(s.direction, s.product)
		alpha := rho / dot(s.direction, s.product)
		if math.IsNaN(alpha) {
			return
		}
		for i, d := range s.direction {
			z[i] += alpha * d
			s.residual[i] -= alpha * s.product[i]
		}
		s.factor.Solve(s.residual, s.conditioned)
		next := dot(s.residual, s.conditioned)
		beta := next / rho
		rho = next
		for i, c := range s.conditioned {
			s.direction[i] = c + beta*s.direction[i]
		}
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}
