package sparse

import "math"

// Hierarchy is the multigrid preconditioner: a row of ever smaller matrices, by
// aggregates of about four rows along the strongest couplings, Galerkin coarse
// matrices, block Gauss-Seidel smoothing and a K-cycle (Notay, Electron. Trans.
// Numer. Anal. 37 (2010) 123, from memory). Strength, not geometry, says what
// is joined.
type Hierarchy struct {
	levels []*level
	direct *cholesky // of the last level; nil when smoothing is enough there
}

// level is one matrix of the hierarchy and the vectors that a cycle needs.
type level struct {
	*Matrix
	coarse []int32   // by row: its aggregate on the next level, or none
	pivot  []float64 // reciprocals of the smoother's diagonal
	block  int       // rows that the smoother takes in sequence

	in, out, rest              []float64 // of a cycle on this level
	first, second, image, push []float64 // of the K-cycle's two steps
}

// none marks rows that smoothing alone settles: their diagonal outweighs all
// else in the row.
const none = -1

const (
	// dominant is the diagonal over the sum of the rest from which a row is
	// left to the smoother (Notay 2010, section 3).
	dominant = 5
	// strong is the share of its strongest coupling that a pair must have: low
	// enough that few rows stay alone, which would stall the coarsening.
	strong = 0.1
	// directSize is where the row of matrices ends.
	directSize = 100
	// largestDirect bounds the last matrix where coarsening stalls.
	largestDirect = 1000
	// smootherBlocks is into how many blocks the smoother cuts the rows.
	smootherBlocks = 16
)

// NewHierarchy builds it for the values that stand in a matrix.
func NewHierarchy(m *Matrix) *Hierarchy {
	h := &Hierarchy{}
	for {
		l := newLevel(m)
		h.levels = append(h.levels, l)
		if m.Size() <= directSize {
			break
		}
		aggregate, next := coarsen(m)
		if next.Size() == 0 {
			return h
		}
		if 4*next.Size() > 3*m.Size() {
			if m.Size() > largestDirect {
				return h
			}
			break
		}
		l.coarse, m = aggregate, next
	}
	h.direct = newCholesky(m)
	return h
}

func newLevel(m *Matrix) *level {
	n := m.Size()
	vector := func() []float64 { return make([]float64, n) }
	l := &level{Matrix: m, pivot: vector(), rest: vector()}
	l.in, l.out, l.first, l.second, l.image, l.push = vector(), vector(), vector(), vector(), vector(), vector()
	l.block = max(rowsAtOnce, (n+smootherBlocks-1)/smootherBlocks)
	inBlocks(n, l.block, func(_, from, to int) {
		for i := from; i < to; i++ {
			columns, values := m.Row(i)
			outside := 0.0
			for k, j := range columns {
				if int(j) < from || int(j) >= to {
					outside -= values[k]
				}
			}
			// Half of what other blocks take keeps the smoother convergent
			// (Baker, Falgout, Kolev and Yang, SIAM J. Sci. Comput. 33 (2011)
			// 2864, from memory).
			l.pivot[i] = 1 / (m.Diagonal[i] + outside/2)
		}
	})
	return l
}

// coarsen pairs rows along their strongest couplings, then the pairs.
func coarsen(m *Matrix) ([]int32, *Matrix) {
	first, n := pairs(m, true)
	half := m.galerkin(first, n)
	second, n := pairs(half, false)
	for i, a := range first {
		if a != none {
			first[i] = second[a]
		}
	}
	return first, half.galerkin(second, n)
}

// pairs gives each row a pair; it returns their number.
func pairs(m *Matrix, leaveDominant bool) ([]int32, int) {
	const open = -2
	pair := make([]int32, m.Size())
	for i := range pair {
		pair[i] = open
		if !leaveDominant {
			continue
		}
		_, values := m.Row(i)
		sum := 0.0
		for _, v := range values {
			sum -= v
		}
		if m.Diagonal[i] > dominant*sum {
			pair[i] = none
		}
	}
	n := 0
	for i := range pair {
		if pair[i] != open {
			continue
		}
		columns, values := m.Row(i)
		strongest, best, mate := 0.0, 0.0, none
		for k, j := range columns {
			v := -values[k]
			strongest = max(strongest, v)
			if v > best && pair[j] == open {
				best, mate = v, int(j)
			}
		}
		pair[i] = int32(n)
		if mate != none && best >= strong*strongest {
			pair[mate] = int32(n)
		}
		n++
	}
	return pair, n
}

// galerkin adds up the rows and columns of each aggregate. Aggregates are
// numbered by their first row.
func (m *Matrix) galerkin(aggregate []int32, n int) *Matrix {
	// Members of an aggregate as a chain.
	head, next := make([]int32, n), make([]int32, m.Size())
	for a := range head {
		head[a] = none
	}
	for i := m.Size() - 1; i >= 0; i-- {
		if a := aggregate[i]; a != none {
			next[i], head[a] = head[a], int32(i)
		}
	}
	out := &Matrix{Start: make([]int32, n+1), Diagonal: make([]float64, n)}
	out.Column = make([]int32, 0, len(m.Column)/2)
	out.Value = make([]float64, 0, len(m.Value)/2)
	at := make([]int32, n) // where column c stands, plus 1
	for a := range n {
		begin := len(out.Column)
		sum := 0.0
		for i := head[a]; i != none; i = next[i] {
			sum += m.Diagonal[i]
			columns, values := m.Row(int(i))
			for k, j := range columns {
				switch c := aggregate[j]; {
				case c == none:
				case c == int32(a):
					sum += values[k]
				case int(at[c]) > begin:
					out.Value[at[c]-1] += values[k]
				default:
					out.Column = append(out.Column, c)
					out.Value = append(out.Value, values[k])
					at[c] = int32(len(out.Column))
				}
			}
		}
		out.Diagonal[a] = sum
		sortRow(out.Column[begin:], out.Value[begin:])
		out.Start[a+1] = int32(len(out.Column))
	}
	return out
}

// sortRow sorts the few entries of a row by column.
func sortRow(column []int32, value []float64) {
	for i := 1; i < len(column); i++ {
		c, v := column[i], value[i]
		j := i
		for ; j > 0 && column[j-1] > c; j-- {
			column[j], value[j] = column[j-1], value[j-1]
		}
		column[j], value[j] = c, v
	}
}

// cholesky is a dense factorisation L L'.
type cholesky struct {
	n     int
	lower []float64 // by rows
}

func newCholesky(m *Matrix) *cholesky {
	n := m.Size()
	c := &cholesky{n, make([]float64, n*n)}
	for i := range n {
		columns, values := m.Row(i)
		for k, j := range columns {
			c.lower[i*n+int(j)] = values[k]
		}
		c.lower[i*n+i] = m.Diagonal[i]
	}
	for i := range n {
		for j := range i + 1 {
			sum := c.lower[i*n+j]
			for k := range j {
				sum -= c.lower[i*n+k] * c.lower[j*n+k]
			}
			if i > j {
				c.lower[i*n+j] = sum / c.lower[j*n+j]
				continue
			}
			if floor := 1e-12 * m.Diagonal[i]; !(sum > floor) {
				sum = floor // a nearly adiabatic part: the gradients mend it
			}
			c.lower[i*n+i] = math.Sqrt(sum)
		}
	}
	return c
}

func (c *cholesky) solve(in, out []float64) {
	n := c.n
	for i := range n {
		sum := in[i]
		for k, l := range c.lower[i*n : i*n+i] {
			sum -= l * out[k]
		}
		out[i] = sum / c.lower[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		v := out[i] / c.lower[i*n+i]
		out[i] = v
		for k, l := range c.lower[i*n : i*n+i] {
			out[k] -= l * v
		}
	}
}
