package network

// linear solves (C + scale G) z = rhs, where C are the capacities of the nodes
// and G the matrix of link conductances: symmetric, positive definite, with
// positive entries on the diagonal only.
type linear interface {
	// assemble takes in capacities by node, ends and conductances by link.
	assemble(capacity []float64, links []ends, conductance []float64, scale float64)
	// solve works out z; what z holds before may serve as a first guess.
	solve(rhs, z []float64)
}

// directNodes is the number of nodes up to which direct elimination is the
// faster.
const directNodes = 150

func newLinear(m *Model) linear {
	pairs := m.pairs()
	if len(m.nodes) <= directNodes {
		return newEnvelope(len(m.nodes), pairs)
	}
	return newIterative(len(m.nodes), pairs)
}

// pairs lists the pairs of nodes that any link can join, in whatever phase: a
// solid or liquid store passes the links of the two-phase body to its own node.
func (m *Model) pairs() []ends {
	var out []ends
	for _, l := range m.links {
		a, b := l.a, l.b
		if a == body {
			a = m.store.node
		}
		if b == body {
			b = m.store.node
		}
		if a >= 0 && b >= 0 && a != b {
			out = append(out, ends{max(a, b), min(a, b)})
		}
	}
	return out
}

// envelope is direct elimination, L D L', within the envelope of the matrix.
type envelope struct {
	values []float64
	pivot  []float64 // reciprocals of D
	reach  []int     // per row, first column that can differ from zero
	offset []int     // per row, where its entries begin in values less its reach
}

func newEnvelope(n int, pairs []ends) *envelope {
	e := &envelope{pivot: make([]float64, n), reach: make([]int, n), offset: make([]int, n)}
	for i := range e.reach {
		e.reach[i] = i
	}
	for _, p := range pairs {
		e.reach[p.a] = min(e.reach[p.a], p.b)
	}
	size := 0
	for i, reach := range e.reach {
		e.offset[i] = size - reach
		size += i - reach + 1
	}
	e.values = make([]float64, size)
	return e
}

func (e *envelope) assemble(capacity []float64, links []ends, conductance []float64, scale float64) {
	clear(e.values)
	for i, c := range capacity {
		e.values[e.offset[i]+i] = c
	}
	for i, l := range links {
		g := scale * conductance[i]
		if g == 0 || l.a == l.b {
			continue
		}
		if l.a >= 0 {
			e.values[e.offset[l.a]+l.a] += g
		}
		if l.b >= 0 {
			e.values[e.offset[l.b]+l.b] += g
		}
		if l.a >= 0 && l.b >= 0 {
			e.values[e.offset[max(l.a, l.b)]+min(l.a, l.b)] -= g
		}
	}
	e.factorise()
}

func (e *envelope) factorise() {
	for i, reach := range e.reach {
		row := e.values[e.offset[i]+reach : e.offset[i]+i+1] // columns reach to i
		for j := reach; j < i; j++ {
			from := max(reach, e.reach[j])
			left, right := row[from-reach:j-reach], e.values[e.offset[j]+from:e.offset[j]+j]
			sum := row[j-reach]
			for k, v := range left {
				sum -= v * right[k]
			}
			row[j-reach] = sum // times D of column j for now
		}
		diagonal := row[i-reach]
		for j := reach; j < i; j++ {
			scaled := row[j-reach] * e.pivot[j]
			diagonal -= row[j-reach] * scaled
			row[j-reach] = scaled
		}
		e.pivot[i] = 1 / diagonal
	}
}

func (e *envelope) solve(rhs, z []float64) {
	for i, reach := range e.reach {
		row, known := e.values[e.offset[i]+reach:e.offset[i]+i], z[reach:i]
		sum := rhs[i]
		for j, v := range row {
			sum -= v * known[j]
		}
		z[i] = sum
	}
	for i, pivot := range e.pivot {
		z[i] *= pivot
	}
	for i := len(z) - 1; i >= 0; i-- {
		reach := e.reach[i]
		row, rest := e.values[e.offset[i]+reach:e.offset[i]+i], z[reach:i]
		for j, v := range row {
			rest[j] -= v * z[i]
		}
	}
}
