package sparse

import "sort"

// Matrix is symmetric, with entries off the diagonal that are 0 or below. Rows
// are stored in full, so that they can be worked on apart.
type Matrix struct {
	Start    []int32   // by row, where its entries begin; one more at the end
	Column   []int32   // off the diagonal, rising within a row
	Value    []float64 // of the entries
	Diagonal []float64
}

// Size is the number of rows.
func (m *Matrix) Size() int { return len(m.Diagonal) }

// Row is what stands off the diagonal in a row.
func (m *Matrix) Row(i int) ([]int32, []float64) {
	from, to := m.Start[i], m.Start[i+1]
	return m.Column[from:to], m.Value[from:to]
}

// Position of an entry that is known to exist.
func (m *Matrix) Position(i, j int32) int32 {
	columns, _ := m.Row(int(i))
	return m.Start[i] + int32(sort.Search(len(columns), func(k int) bool { return columns[k] >= j }))
}

// Multiply sets out to A in.
func (m *Matrix) Multiply(in, out []float64) {
	Rows(m.Size(), func(from, to int) {
		column, value := m.Column, m.Value[:len(m.Column)]
		k := m.Start[from]
		for i := from; i < to; i++ {
			sum := m.Diagonal[i] * in[i]
			for end := m.Start[i+1]; k < end; k++ {
				sum += value[k] * in[column[k]]
			}
			out[i] = sum
		}
	})
}

// Subtract sets out to b - A x; out may be b.
func (m *Matrix) Subtract(b, x, out []float64) {
	Rows(m.Size(), func(from, to int) {
		column, value := m.Column, m.Value[:len(m.Column)]
		k := m.Start[from]
		for i := from; i < to; i++ {
			sum := b[i] - m.Diagonal[i]*x[i]
			for end := m.Start[i+1]; k < end; k++ {
				sum -= value[k] * x[column[k]]
			}
			out[i] = sum
		}
	})
}
