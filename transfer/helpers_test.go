package transfer

import (
	"math"
	"testing"
)

// near fails the test unless got is want within a relative tolerance.
func near(t *testing.T, name string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s = %.10g, want %.10g within %g", name, got, want, tolerance)
	}
}
