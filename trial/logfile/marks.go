package logfile

import (
	"math"
	"sort"

	"meltspan/quantity"
	"meltspan/trial"
)

// longestPause is a gap no log has by itself: before it or behind it the
// logger's clock was not set, s.
const longestPause = 30 * 86400.0

// orderMarks finds rows that stand in the wrong place: as few as possible are
// marked so that the rest rises (a longest rising subsequence), so that one
// wild time does not put all that follows in doubt. Of several rows of one
// time the first counts.
func orderMarks(times []float64) []trial.Mark {
	out := make([]trial.Mark, len(times))
	risen := true
	for i := 1; i < len(times) && risen; i++ {
		risen = times[i] > times[i-1]
	}
	if !risen {
		for i, keep := range longestRise(times) {
			if !keep {
				out[i] = trial.Disordered
			}
		}
		last := math.Inf(-1)
		for i, t := range times {
			switch {
			case out[i] != trial.Good:
			case t == last:
				out[i] = trial.Repeated
			default:
				last = t
			}
		}
	}
	clockSet(times, out)
	return out
}

// longestRise says which times belong to a longest subsequence that does not
// fall (Schensted, Canadian Journal of Mathematics 13 (1961) 179-191, in the
// form known as patience sorting).
func longestRise(times []float64) []bool {
	ends := make([]int, 0, len(times)) // by length: where the lowest end of such a subsequence is
	before := make([]int, len(times))
	for i, t := range times {
		n := len(ends)
		if n > 0 && t < times[ends[n-1]] {
			n = sort.Search(n, func(k int) bool { return times[ends[k]] > t })
		}
		before[i] = -1
		if n > 0 {
			before[i] = ends[n-1]
		}
		if n == len(ends) {
			ends = append(ends, i)
		} else {
			ends[n] = i
		}
	}
	keep := make([]bool, len(times))
	if len(ends) > 0 {
		for i := ends[len(ends)-1]; i >= 0; i = before[i] {
			keep[i] = true
		}
	}
	return keep
}

// clockSet marks what lies on the smaller side of a pause of a month or more:
// loggers begin in 1970 or 2000 until their clock is set.
func clockSet(times []float64, marks []trial.Mark) {
	var good []int
	for i := range times {
		if marks[i] == trial.Good {
			good = append(good, i)
		}
	}
	from, to := 0, len(good) // of the largest stretch without such a pause
	start, best := 0, 0
	for i := 1; i <= len(good); i++ {
		if i == len(good) || times[good[i]]-times[good[i-1]] > longestPause {
			if i-start > best {
				from, to, best = start, i, i-start
			}
			start = i
		}
	}
	for i, at := range good {
		if i < from || i >= to {
			marks[at] = trial.Disordered
		}
	}
}

// Sensor readings that cannot be, in degC. -127 of a digital sensor whose bus
// is silent, -242 and 989 of an open or shorted resistance thermometer, 1023.75
// and 2047.75 of an open thermocouple, -999, 9999 and 6553.5 of loggers all lie
// beyond what a bench like this sees (common practice).
const (
	coldestReading = -100.0
	warmestReading = 400.0
)

// powerUp are readings, in degC, that are real in their place, and those of a
// sensor that has just been switched on or has no data: 85 is the power-on
// value of the register of a common digital thermometer (DS18B20 data sheet,
// Maxim Integrated 19-7487, "Operation - measuring temperature"); -45 and 130
// are all zeros and all ones of common humidity sensors (their conversion is
// -45 + 175 n/65535), 0 is an empty register. They are faults only where the
// reading jumps there and away.
var powerUp = []float64{85, -45, 130, 0}

const (
	jump        = 5.0 // K, to either side
	longestJump = 5   // readings of one value in a row
)

// MarkValues marks the samples of a series whose values cannot be: missing
// ones and those that sensors give when they fail. Marks that are there
// already stay, but for a value that is missing.
func MarkValues(s *trial.Series) {
	for i := range s.Samples {
		x := &s.Samples[i]
		switch {
		case math.IsNaN(x.Value):
			x.Mark = trial.Missing
		case impossible(s.Quantity, x.Value):
			x.Mark = trial.Fault
		}
	}
	if s.Quantity.Measures() == quantity.Temperature {
		markPowerUp(s.Samples)
	}
}

const zeroCelsius = 273.15

// impossible reports whether a value, SI, is none of its quantity.
func impossible(q trial.Quantity, value float64) bool {
	switch q.Measures() {
	case quantity.Temperature:
		c := value - zeroCelsius
		return c < coldestReading || c > warmestReading
	case quantity.Fraction:
		return value < 0 || value > 1.05 // sensors overshoot by some per cent at saturation
	case quantity.Mass:
		return math.Abs(value) > 100
	}
	return value < 0 || value > 1e6
}

// markPowerUp marks runs of a power-up reading between readings far from it.
func markPowerUp(samples []trial.Sample) {
	for _, code := range powerUp {
		is := func(i int) bool { return math.Abs(samples[i].Value-zeroCelsius-code) < 1e-6 }
		usable := func(i int) bool { m := samples[i].Mark; return m != trial.Fault && m != trial.Missing }
		before := math.NaN()
		for i := 0; i < len(samples); {
			if !usable(i) {
				i++
				continue
			}
			if !is(i) {
				before = samples[i].Value
				i++
				continue
			}
			from, n := i, 0
			for i < len(samples) && (is(i) || !usable(i)) {
				if is(i) {
					n++
				}
				i++
			}
			after := math.NaN()
			if i < len(samples) {
				after = samples[i].Value
			}
			near := func(x float64) bool { return math.Abs(x-zeroCelsius-code) <= jump }
			if n > longestJump || near(before) || near(after) || math.IsNaN(before) && math.IsNaN(after) {
				continue
			}
			for j := from; j < i; j++ {
				if is(j) {
					samples[j].Mark = trial.Fault
				}
			}
		}
	}
}
