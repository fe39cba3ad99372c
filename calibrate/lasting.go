package calibrate

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"

	"meltspan/result"
)

// lasting is how long the load of one run keeps running when the plate
// difference at which it stalls differs a little in each trial. Until it stalls
// a run is the same whatever that difference is, so that one run that is followed
// far enough says when it would have stalled for any.
type lasting struct {
	times  []float64 // s, from when the plates have parted to the end
	excess []float64 // K, the least plate difference so far over the design's stall difference: it falls
	size   float64   // K, standard deviation of a trial's stall difference
}

// widest is how many standard deviations below the design's stall difference a
// run is followed.
const widest = 3

// lastingOf a run, nil for one that never started or whose load has no plate
// difference. size is 0 where the load stalls at one difference always.
func lastingOf(run *result.Run, stall, size float64) *lasting {
	if run == nil || !(size > 0) || run.End == result.EndNeverStarted {
		return nil
	}
	difference := run.Channel("difference")
	if difference == nil {
		return nil
	}
	start, end := math.Max(run.Start, 0), run.FirstStall()
	l := &lasting{size: size}
	falling, before, least := false, math.Inf(-1), math.Inf(1)
	add := func(time, value float64) {
		// While the plates still part after the start nothing stalls: a load that
		// stalls at more than others is set going at more as well.
		if falling = falling || value < before; falling {
			least = math.Min(least, value-stall)
			l.times, l.excess = append(l.times, time), append(l.excess, least)
		} else {
			least = value - stall
			l.times, l.excess = []float64{time}, []float64{least}
		}
		before = value
	}
	add(start, interpolate(run.Times, difference.Values, start))
	for i, t := range run.Times {
		if t > start && t < end {
			add(t, difference.Values[i])
		}
	}
	if run.End == result.EndStalled {
		add(end, stall-widest*size)
	} else {
		add(end, interpolate(run.Times, difference.Values, end))
	}
	return l
}

// excessAt is the least excess up to a moment, K: +Inf before the plates have
// parted, that at the end after it.
func (l *lasting) excessAt(time float64) float64 {
	if time < l.times[0] {
		return math.Inf(1)
	}
	return interpolate(l.times, l.excess, time)
}

// stalls is when the load stalls where it does so at an excess, K.
func (l *lasting) stalls(excess float64) float64 {
	i := sort.Search(len(l.excess), func(i int) bool { return l.excess[i] <= excess })
	switch {
	case i == 0:
		return l.times[0]
	case i == len(l.times):
		return l.times[i-1]
	}
	w := (l.excess[i-1] - excess) / (l.excess[i-1] - l.excess[i])
	return l.times[i-1]*(1-w) + l.times[i]*w
}

// longest is when it stalls at the latest, s.
func (l *lasting) longest() float64 { return l.times[len(l.times)-1] }

// way is one of the ways in which a run may have ended, with its chance.
type way struct {
	chance    float64 // before the data
	low, high float64 // the deviates of the stall difference for which it is so
	runTime   float64 // s, by the model's pace
	features  []float64
}

// Edges of the ways about a stall that was seen, in standard deviations of what
// that time is known to: fine where the likelihood is, coarse beyond.
var edges = func() []float64 {
	out := []float64{-35, -22, -14, -9, -6}
	for e := -4.0; e <= 4; e += 0.5 {
		out = append(out, e)
	}
	return append(out, 6, 9, 14, 22, 35)
}()

// leastChance is that of a way which is left out.
const leastChance = 1e-9

// ways cuts the stalls that a run allows at moments about one that was seen (s,
// by the model's pace), known to a relative size.
func (l *lasting) ways(seen, known float64) []way {
	low := math.Inf(1) // deviate for which it stalls at the edge before
	var out []way
	for i := range len(edges) + 1 {
		next := math.Inf(-1)
		if i < len(edges) {
			next = l.excessAt(seen*math.Exp(known*edges[i])) / l.size
		}
		// What stalls between two moments stalls at a difference between the
		// excesses at these.
		below, above := normal.CDF(next), normal.CDF(low)
		if i == 0 {
			above = 1
		}
		if chance := above - below; chance > leastChance {
			middle := normal.Quantile((above + below) / 2)
			out = append(out, way{chance: chance, low: next, high: low, runTime: l.stalls(middle * l.size)})
		}
		low = next
	}
	return out
}

// normal is the standard normal distribution.
var normal = distuv.UnitNormal

// between draws a standard normal deviate between two bounds.
func between(low, high, uniform float64) float64 {
	a, b := normal.CDF(low), normal.CDF(high)
	z := normal.Quantile(a + (b-a)*uniform)
	return math.Min(math.Max(z, math.Max(low, -8)), math.Min(high, 8))
}
