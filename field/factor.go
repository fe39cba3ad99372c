package field

// factor is the incomplete factorisation L D L' on the pattern of a matrix
// (Meijerink and van der Vorst, Mathematics of Computation 31 (1977) 148: it
// exists for such matrices). For small problems: it can't share its work.
type factor struct {
	of    *matrix
	split []int32   // by row, the first entry right of the diagonal
	lower []float64 // of L, at the entries left of the diagonal
	pivot []float64 // reciprocals of D
}

func newFactor(m *matrix) *factor {
	f := &factor{of: m, split: make([]int32, m.size()), lower: make([]float64, len(m.value)), pivot: make([]float64, m.size())}
	for i := range f.split {
		k := m.start[i]
		for k < m.start[i+1] && m.column[k] < int32(i) {
			k++
		}
		f.split[i] = k
	}
	f.factorise()
	return f
}

func (f *factor) factorise() {
	m := f.of
	for i := range m.main {
		diagonal := m.main[i]
		for k := m.start[i]; k < f.split[i]; k++ {
			j := m.column[k]
			sum := m.value[k]
			// Columns that rows i and j share, left of j.
			p, q := m.start[i], m.start[j]
			for p < k && q < f.split[j] {
				switch a, b := m.column[p], m.column[q]; {
				case a == b:
					sum -= f.lower[p] * f.lower[q] / f.pivot[a]
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
		if !(diagonal > 1e-3*m.main[i]) {
			diagonal = m.main[i] // rounding only: such pivots stay above 0
		}
		f.pivot[i] = 1 / diagonal
	}
}

func (f *factor) precondition(in, out []float64) {
	m := f.of
	for i := range out {
		sum := in[i]
		for k := m.start[i]; k < f.split[i]; k++ {
			sum -= f.lower[k] * out[m.column[k]]
		}
		out[i] = sum
	}
	for i, pivot := range f.pivot {
		out[i] *= pivot
	}
	for i := len(out) - 1; i >= 0; i-- {
		v := out[i]
		for k := m.start[i]; k < f.split[i]; k++ {
			out[m.column[k]] -= f.lower[k] * v
		}
	}
}
