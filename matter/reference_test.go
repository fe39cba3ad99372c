package matter

import (
	"math"
	"testing"
)

// row is one published or independently computed value.
type row struct {
	name      string
	got, want float64
	tolerance float64 // relative, unless the table says otherwise
}

func checkRelative(t *testing.T, source string, rows []row) {
	t.Helper()
	for _, r := range rows {
		if !(math.Abs(r.got-r.want) <= r.tolerance*math.Abs(r.want)) {
			t.Errorf("%s: %s = %.12g, want %.12g within %g (%.2g off)",
				source, r.name, r.got, r.want, r.tolerance, r.got/r.want-1)
		}
	}
}

func checkAbsolute(t *testing.T, source string, rows []row) {
	t.Helper()
	for _, r := range rows {
		if !(math.Abs(r.got-r.want) <= r.tolerance) {
			t.Errorf("%s: %s = %.12g, want %.12g within %g", source, r.name, r.got, r.want, r.tolerance)
		}
	}
}
