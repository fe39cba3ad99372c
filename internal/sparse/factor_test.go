package sparse

import (
	"math"
	"testing"
)

// A tridiagonal matrix loses nothing to the pattern: its factorisation is
// exact. The entries right of the diagonal stand in the rows as well, and are
// passed over.
func TestTridiagonalIsSolvedExactly(t *testing.T) {
	f := NewFactor(&Matrix{
		Start: []int32{0, 1, 3, 4}, Column: []int32{1, 0, 2, 1}, Value: []float64{-1, -1, -2, -2}, Diagonal: []float64{2, 4, 3},
	})
	f.Factorise()
	want := []float64{1, -2, 5}
	out := make([]float64, 3)
	f.Precondition([]float64{2*1 - 1*-2, -1*1 + 4*-2 - 2*5, -2*-2 + 3*5}, out)
	for i := range want {
		if math.Abs(out[i]-want[i]) > 1e-14 {
			t.Errorf("x[%d] = %g, want %g", i, out[i], want[i])
		}
	}
}
