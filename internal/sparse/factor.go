package sparse

import "slices"

// Factor is the incomplete factorisation L D L' on the pattern of a matrix
// (Meijerink and van der Vorst, Mathematics of Computation 31 (1977) 148: it
// exists for such matrices). Cost and memory grow little faster than the number
// of rows, but the work can't be shared out.
type Factor struct {
	of       *Matrix
	split    []int32   // by row, the first entry right of the diagonal
	lower    []float64 // of L, at the entries left of the diagonal
	diagonal []float64 // D
	pivot    []float64 // its reciprocals
}

// NewFactor makes room for the factorisation of a matrix, which it keeps:
// Factorise reads the values that stand there then.
func NewFactor(m *Matrix) *Factor {
	n := m.Size()
	f := &Factor{of: m, split: make([]int32, n), lower: make([]float64, len(m.Value)), diagonal: make([]float64, n), pivot: make([]float64, n)}
	for i := range f.split {
		columns, _ := m.Row(i)
		left, _ := slices.BinarySearch(columns, int32(i))
		f.split[i] = m.Start[i] + int32(left)
	}
	return f
}

// Factorise works out L and D on the pattern of the matrix, dropping what falls
// outside.
func (f *Factor) Factorise() {
	m := f.of
	for i, main := range m.Diagonal {
		from, to := m.Start[i], f.split[i]
		diagonal := main
		for k := from; k < to; k++ {
			j := m.Column[k]
			sum := m.Value[k]
			// Columns that rows i and j share, left of j.
			p, q, end := from, m.Start[j], f.split[j]
			for p < k && q < end {
				switch a, b := m.Column[p], m.Column[q]; {
				case a == b:
					sum -= f.lower[p] * f.lower[q] * f.diagonal[a]
					p++
					q++
				case a < b:
					p++
				default:
					q++
				}
			}
			f.lower[k] = sum * f.pivot[j]
			diagonal -= f.lower[k] * sum
		}
		if !(diagonal > 1e-3*main) {
			diagonal = main // rounding only: such pivots stay above 0
		}
		f.diagonal[i], f.pivot[i] = diagonal, 1/diagonal
	}
}

// Precondition solves L D L' out = in.
func (f *Factor) Precondition(in, out []float64) {
	start, end, column, lower := f.of.Start, f.split, f.of.Column, f.lower
	for i := range out {
		sum := in[i]
		for k := start[i]; k < end[i]; k++ {
			sum -= lower[k] * out[column[k]]
		}
		out[i] = sum
	}
	for i, pivot := range f.pivot {
		out[i] *= pivot
	}
	for i := len(out) - 1; i >= 0; i-- {
		v := out[i]
		for k := start[i]; k < end[i]; k++ {
			out[column[k]] -= lower[k] * v
		}
	}
}
