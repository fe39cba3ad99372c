package field

import (
	"fmt"
	"math"
)

// Even returns the edges of n cells of equal width from low to high; n below 1
// counts as 1.
func Even(low, high float64, n int) []float64 {
	n = max(n, 1)
	out := make([]float64, n+1)
	for i := range out {
		out[i] = low + (high-low)*float64(i)/float64(n)
	}
	out[n] = high
	return out
}

// Graded returns edges that pass through all marks, which must rise. Cells are
// of about the finest width beside a mark and widen by the growth factor (1 or
// above) towards the middle between two marks, to the widest at most.
func Graded(marks []float64, finest, growth, widest float64) ([]float64, error) {
	if len(marks) < 2 {
		return nil, fmt.Errorf("field: %d marks for graded spacing; it needs two", len(marks))
	}
	if !(finest > 0) || !(growth >= 1) || !(widest >= finest) || math.IsInf(growth, 1) {
		return nil, fmt.Errorf("field: graded spacing from %g to %g m by a factor of %g; widths must be above 0 and rise, the factor be 1 or more", finest, widest, growth)
	}
	out := []float64{marks[0]}
	for m, high := range marks[1:] {
		low := marks[m]
		if !(high > low) || (high-low)/finest > maximumCells {
			return nil, fmt.Errorf("field: mark %d is %g m after %g m; marks must rise, and not by more than %d widths", m+1, high, low, maximumCells)
		}
		if high-low <= finest {
			out = append(out, high)
			continue
		}
		half := (high - low) / 2
		var at []float64
		sum, width := 0.0, finest
		for sum < half*(1-1e-9) {
			sum += width
			at = append(at, sum)
			width = min(width*growth, widest)
		}
		for _, a := range at {
			out = append(out, low+a*half/sum)
		}
		for i := len(at) - 2; i >= 0; i-- {
			out = append(out, high-at[i]*half/sum)
		}
		out = append(out, high)
	}
	return out, nil
}
