package trial

import (
	"math"
	"slices"
)

// Gap is a stretch of a series without a usable sample.
type Gap struct {
	From float64 `json:"from_s"` // last good sample before it
	To   float64 `json:"to_s"`   // first good sample after it
}

// gapFactor is how many usual intervals without a good sample make a gap:
// one reading missed may be chance, and loggers jitter.
const gapFactor = 2.5

// Interval is the usual time between good samples, the median, s; NaN for
// fewer than two.
func (s *Series) Interval() float64 {
	times, _ := s.Good()
	return interval(times)
}

func interval(times []float64) float64 {
	if len(times) < 2 {
		return math.NaN()
	}
	steps := make([]float64, len(times)-1)
	for i := range steps {
		steps[i] = times[i+1] - times[i]
	}
	return median(steps)
}

// Gaps lists the stretches in which good samples are further apart than two
// and a half usual intervals.
func (s *Series) Gaps() []Gap {
	times, _ := s.Good()
	usual := interval(times)
	var gaps []Gap
	for i := 1; i < len(times); i++ {
		if times[i]-times[i-1] > gapFactor*usual {
			gaps = append(gaps, Gap{times[i-1], times[i]})
		}
	}
	return gaps
}

// Marked counts the samples by their marks; those without are under Good.
func (s *Series) Marked() map[Mark]int {
	counts := map[Mark]int{}
	for i := range s.Samples {
		counts[s.Samples[i].Mark]++
	}
	return counts
}

// median sorts values. It is NaN for none.
func median(values []float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	slices.Sort(values)
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}
