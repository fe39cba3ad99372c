package trial

import (
	"math"
	"sort"
)

// medianSpan is how many readings the running median looks at: it takes away
// noise and two false readings in a row, and blurs less than it would to
// average.
const medianSpan = 5

// runningMedian smooths readings; near the ends it looks at fewer.
func runningMedian(values []float64) []float64 {
	out := make([]float64, len(values))
	window := make([]float64, 0, medianSpan)
	for i := range values {
		half := min(medianSpan/2, i, len(values)-1-i)
		window = append(window[:0], values[i-half:i+half+1]...)
		out[i] = median(window)
	}
	return out
}

// The straight line through which a crossing is found takes in a few minutes
// to either side: a plate difference near the end of a trial falls evenly over
// that time (common practice), and noise averages out. Where noise hides the
// fall, it takes in more.
const (
	lineReach    = 300.0  // s to either side, unless readings are rarer
	longestReach = 3000.0 // s
	lineReadings = 5      // to either side at least
	plainFall    = 6      // times its own uncertainty, from which a fall is plain
)

// line is a least-squares straight line that falls.
type line struct {
	n                int
	middle, height   float64 // mean of times and of values
	fall             float64 // per second
	sxx, noise       float64 // sum of squares of the times about their mean; of the values about the line
	earliest, latest float64
}

// lineAround fits the readings within reach of a time, and some to either
// side of it at least.
func lineAround(times, values []float64, at, reach float64) line {
	near := sort.SearchFloat64s(times, at)
	from := min(sort.SearchFloat64s(times, at-reach), max(near-lineReadings, 0))
	to := max(sort.SearchFloat64s(times, at+reach), min(near+lineReadings, len(times)))
	t, v := times[from:to], values[from:to]
	l := line{n: len(t), middle: mean(t), height: mean(v), earliest: t[0], latest: t[len(t)-1]}
	var sxy, rest float64
	for i := range t {
		l.sxx += sq(t[i] - l.middle)
		sxy += (t[i] - l.middle) * (v[i] - l.height)
	}
	l.fall = -sxy / l.sxx
	for i := range t {
		rest += sq(v[i] - l.height + l.fall*(t[i]-l.middle))
	}
	if l.n > 2 {
		l.noise = math.Sqrt(rest / float64(l.n-2))
	}
	return l
}

func (l *line) plain() bool { return l.n > 2 && l.fall > plainFall*l.noise/math.Sqrt(l.sxx) }

// through is when the line goes through a level, and how uncertain noise
// leaves that: inverse regression to first order (Draper & Smith, Applied
// Regression Analysis, 3rd ed., section 3.2).
func (l *line) through(level float64) (at, timing float64) {
	at = l.middle + (l.height-level)/l.fall
	return at, l.noise / l.fall * math.Sqrt(1/float64(l.n)+sq(at-l.middle)/l.sxx)
}

// crossing finds when readings that fall go through a level for good, near
// the last one above it: where the line through the readings around it does.
// timing is its standard uncertainty from noise and interval, fall the line's
// fall per second, both positive. smooth are the values without noise.
func crossing(times, values, smooth []float64, last int, level float64) (at, timing, fall float64) {
	centre := (times[last] + times[last+1]) / 2
	for reach, looks := lineReach, 0; reach <= longestReach && looks < 20; looks++ {
		l := lineAround(times, values, centre, reach)
		if !l.plain() {
			reach *= 2
			continue
		}
		at, timing := l.through(level)
		if at < l.earliest || at > l.latest {
			break // no line that goes on through the level: a step
		}
		if math.Abs(at-centre) <= reach/4 {
			return at, timing, l.fall
		}
		centre = at
	}
	return bracket(times, smooth, last, level)
}

// bracket is for readings through which no falling line goes: a step, or
// readings that linger about the level. It happened between the first of them
// that was below and the last that was above.
func bracket(times, smooth []float64, last int, level float64) (at, timing, fall float64) {
	first := last
	for first > 0 && times[last]-times[first-1] <= longestReach {
		first--
	}
	for first < last && smooth[first] >= level {
		first++
	}
	from, to := times[max(first-1, 0)], times[last+1]
	if first == last {
		from = times[last]
	}
	fall = math.Abs(smooth[last]-smooth[last+1]) / (times[last+1] - times[last])
	if fall == 0 { // flat but for less than a digit
		fall = 1 / longestReach
	}
	return (from + to) / 2, (to - from) / math.Sqrt(12), fall
}
