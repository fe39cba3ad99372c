package field

import "sort"

// matrix is symmetric, with entries off the diagonal that are 0 or below. Rows
// are stored in full, so that they can be worked on apart.
type matrix struct {
	start  []int32   // by row, where its entries begin; one more at the end
	column []int32   // off the diagonal, rising within a row
	value  []float64 // of the entries
	main   []float64 // diagonal
}

func (m *matrix) size() int { return len(m.main) }

// row is what stands off the diagonal in a row.
func (m *matrix) row(i int) ([]int32, []float64) {
	from, to := m.start[i], m.start[i+1]
	return m.column[from:to], m.value[from:to]
}

// position of an entry that is known to exist.
func (m *matrix) position(i, j int32) int32 {
	columns, _ := m.row(int(i))
	return m.start[i] + int32(sort.Search(len(columns), func(k int) bool { return columns[k] >= j }))
}

func (m *matrix) multiply(in, out []float64) {
	rows(m.size(), func(from, to int) {
		for i := from; i < to; i++ {
			columns, values := m.row(i)
			sum := m.main[i] * in[i]
			for k, j := range columns {
				sum += values[k] * in[j]
			}
			out[i] = sum
		}
	})
}

// subtract sets out to b - A x; out may be b.
func (m *matrix) subtract(b, x, out []float64) {
	rows(m.size(), func(from, to int) {
		for i := from; i < to; i++ {
			columns, values := m.row(i)
			sum := b[i] - m.main[i]*x[i]
			for k, j := range columns {
				sum -= values[k] * x[j]
			}
			out[i] = sum
		}
	})
}
