package field

import "meltspan/internal/sparse"

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

func (s Solver) prepare(m *sparse.Matrix) sparse.Preconditioner {
	if s == IncompleteFactorisation || (s == Automatic && (m.Size() < automaticLimit || easy(m))) {
		f := sparse.NewFactor(m)
		f.Factorise()
		return f
	}
	return sparse.NewHierarchy(m)
}

// easy reports whether the diagonal outweighs the rest in most rows.
func easy(m *sparse.Matrix) bool {
	count := 0
	for i, main := range m.Diagonal {
		_, values := m.Row(i)
		rest := 0.0
		for _, v := range values {
			rest -= v
		}
		if main > (1+easyShare)*rest {
			count++
		}
	}
	return 2*count > m.Size()
}

// ErrNotConverged is returned, wrapped, when an iteration stops short.
var ErrNotConverged = sparse.ErrNotConverged
