package trial

import (
	"errors"
	"math"
	"slices"
)

// Motion is what a row of pictures of a moving part says.
type Motion struct {
	Spans []MotionSpan // in which the part moved, by time
	Ended bool         // whether the last span ended before the last picture

	// The end of the last span, when Ended: its expected time, one standard
	// uncertainty, and the two pictures between which it most likely lies, all s.
	End, Uncertainty float64
	From, Until      float64
	Probability      float64 // that it lies between just these two

	Threshold float64 // change that counts as motion, in units of the noise
	Faint     bool    // many changes lie about the threshold: look for yourself
	Alike     float64 // share of pictures of the moving part that look as the one before by chance
	Passing   int     // pictures that something other than the part went through
	Unusable  int     // pictures of which nothing could be told
}

// MotionSpan is a stretch of time, s, between the last picture before motion
// began and the first after it ended.
type MotionSpan struct {
	Begin, End float64
	Pictures   int
}

// Why pictures give no end of motion.
var (
	ErrFewPictures = errors.New("fewer than four usable pictures")
	ErrNoMotion    = errors.New("no motion in any picture")
)

// What is assumed of pictures. The chances are rough; the answer leans on them
// only where few pictures decide.
const (
	switching = 0.01 // chance of motion beginning or ending between two pictures
	startled  = 0.03 // chance that a still part looks moved: a hand, a shadow
	alike     = 0.10 // chance that a moving part looks still, before it is known better

	// Changes in units of the noise. A part that stands changes by 1, or a
	// little more where light and noise are uneven.
	surelyMoved  = 2.0
	usuallyMoved = 1.8
	farAbove     = 5.0 // standard deviations over the changes of a still part
	leastFactor  = 1.3

	// What passes before the part is gone after this many pictures, and the
	// part stands as it stood before; chance that this is so by accident.
	passing  = 10
	accident = 0.001
)

// FindMotion finds when a part moved, from pictures at times that increase.
// changed gives the size of the change of the part between two pictures in
// units of the noise, so that 1 is none, and NaN where it cannot be told. It is
// asked about neighbours, and about pictures a few apart.
//
// The part stands in each interval between neighbours either still or moving:
// a hidden Markov chain of two states (L. R. Rabiner, Proceedings of the IEEE
// 77, 1989, 257-286), whose most likely course gives the spans. The end of the
// last one is the mean over all intervals that may have been the last in
// motion, each with its probability and even within itself.
func FindMotion(times []float64, changed func(i, j int) float64) (*Motion, error) {
	usable := usablePictures(len(times), changed)
	m := &Motion{Unusable: len(times) - len(usable), Alike: alike}
	if len(usable) < 4 {
		return m, ErrFewPictures
	}
	at := make([]float64, len(usable))
	for i, k := range usable {
		at[i] = times[k]
	}
	change := make([]float64, len(usable)-1)
	for i := range change {
		change[i] = changed(usable[i], usable[i+1])
	}
	m.Threshold = threshold(change)
	m.Faint = faint(change, m.Threshold)
	links := make([]link, len(change))
	for i, c := range change {
		links[i] = observe(c, m.Threshold)
	}
	moving := m.course(links)
	alikeIn := func(i, j int) bool { return changed(usable[i], usable[j]) < m.Threshold }
	for _, s := range spans(moving) {
		m.pass(links, s, alikeIn)
	}
	moving = m.course(links)
	found := m.fetched(links, spans(moving))
	if len(found) == 0 {
		return m, ErrNoMotion
	}
	for _, s := range found {
		m.Spans = append(m.Spans, MotionSpan{at[s.first], at[s.last+1], s.last - s.first + 1})
	}
	m.end(at, links, found[len(found)-1].first)
	return m, nil
}

// pass forgives what only passed before a part that stood still: the part
// looks, after a stretch of seeming motion, as it did before. Pictures of a
// moving part look alike by chance as well, so there must be enough of them,
// one after another, not to be an accident.
func (m *Motion) pass(links []link, s span, alikeIn func(i, j int) bool) {
	if s.last == len(links)-1 {
		return // nothing after it to compare with
	}
	after := s.last + 1
	need := int(math.Ceil(math.Log(accident/passing) / math.Log(m.Alike)))
	run := 0
	for before := s.last; before >= max(0, after-passing-need); before-- {
		if !alikeIn(before, after) {
			run = 0
			continue
		}
		if run++; run == need {
			last := before + need - 1 // the last picture before the passing
			if last < after-1 {
				m.Passing += after - last - 1
			}
			for i := last; i < after; i++ {
				links[i] = unknown
			}
			return
		}
	}
}

// fetched takes the last span away where it is that of someone who comes for the
// camera: short, at the very end, after a part that stood still for longer.
func (m *Motion) fetched(links []link, found []span) []span {
	if len(found) < 2 {
		return found
	}
	last, before := found[len(found)-1], found[len(found)-2]
	size := last.last - last.first + 1
	if len(links)-last.first > passing || last.first-before.last <= max(size, passing/2) {
		return found
	}
	m.Passing += size
	for i := last.first; i < len(links); i++ {
		links[i] = unknown
	}
	return found[:len(found)-1]
}

// link is what is seen between two neighbours.
type link int

const (
	unknown link = iota
	same
	different
)

func observe(change, threshold float64) link {
	switch {
	case math.IsNaN(change):
		return unknown
	case change < threshold:
		return same
	}
	return different
}

// usablePictures leaves out pictures that can be compared with neither
// neighbour: something stood before the camera.
func usablePictures(n int, changed func(i, j int) float64) []int {
	var out []int
	for i := range n {
		before := i > 0 && !math.IsNaN(changed(i-1, i))
		after := i < n-1 && !math.IsNaN(changed(i, i+1))
		if before || after {
			out = append(out, i)
		}
	}
	return out
}

// threshold tells the changes of a still part from those of a moving one.
// Pictures of a still part differ by their noise alone, nearly always by the
// same amount, while those of a moving one differ by anything: so the narrowest
// interval that holds a quarter of the small changes belongs to the still part,
// in the way of the shorth (Rousseeuw and Leroy, Robust Regression and Outlier
// Detection, 1987, 4.3), and what lies far above it is motion.
func threshold(change []float64) float64 {
	var small []float64
	for _, c := range change {
		if c < surelyMoved {
			small = append(small, math.Log(max(c, 0.1)))
		}
	}
	if len(small) < 3 {
		return usuallyMoved // there is no still part to learn from
	}
	slices.Sort(small)
	some := max(3, len(small)/4)
	from, width := 0, math.Inf(1)
	for i := 0; i+some <= len(small); i++ {
		if w := small[i+some-1] - small[i]; w < width {
			from, width = i, w
		}
	}
	level := median(slices.Clone(small[from : from+some]))
	// Taken for half of the still part's changes, which lie within 1.349 standard
	// deviations; where they are all of them, the least factor is wide enough.
	return min(math.Exp(level+max(farAbove*width/1.349, math.Log(leastFactor))), 1.5*surelyMoved)
}

// faint reports whether motion hardly stands out of what a still part shows: in
// clear pictures few changes lie near the threshold.
func faint(change []float64, threshold float64) bool {
	const near, many = 1.15, 0.2
	about := 0
	for _, c := range change {
		if c > threshold/near && c < threshold*near {
			about++
		}
	}
	return float64(about) > many*float64(len(change))
}

// chance is the probability of an observation, still and moving.
func (m *Motion) chance(l link) (still, moving float64) {
	switch l {
	case same:
		return 1 - startled, m.Alike
	case different:
		return startled, 1 - m.Alike
	}
	return 1, 1
}

// course returns in which links the part moved, most likely, and learns from
// them how often a moving part looks still.
func (m *Motion) course(links []link) []bool {
	moving := m.likeliest(links)
	looksSame, of := 0, 0
	for i, l := range links {
		if moving[i] && l != unknown {
			of++
			if l == same {
				looksSame++
			}
		}
	}
	// As if 10 pictures had been seen before these.
	m.Alike = min((float64(looksSame)+10*alike)/(float64(of)+10), 0.8)
	return m.likeliest(links)
}

// likeliest is the most likely course of the chain (Viterbi's way).
func (m *Motion) likeliest(links []link) []bool {
	stay, turn := math.Log(1-switching), math.Log(switching)
	from := make([][2]bool, len(links)) // whether the best way came from moving
	var score [2]float64
	for i, l := range links {
		still, moving := m.chance(l)
		seen := [2]float64{math.Log(still), math.Log(moving)}
		if i == 0 {
			score = seen
			continue
		}
		var next [2]float64
		for s := range next {
			way := [2]float64{score[0] + turn, score[1] + turn}
			way[s] = score[s] + stay
			from[i][s] = way[1] > way[0]
			next[s] = max(way[0], way[1]) + seen[s]
		}
		score = next
	}
	out := make([]bool, len(links))
	state := score[1] > score[0]
	for i := len(links) - 1; i >= 0; i-- {
		out[i] = state
		if state {
			state = from[i][1]
		} else {
			state = from[i][0]
		}
	}
	return out
}

type span struct{ first, last int }

func spans(moving []bool) []span {
	var out []span
	for i, is := range moving {
		switch {
		case is && i > 0 && moving[i-1]:
			out[len(out)-1].last = i
		case is:
			out = append(out, span{i, i})
		}
	}
	return out
}

// end works out when the span that begins at link first ended: the chance that
// a link was the last in motion is that of moving in all links up to it and
// standing still in all after it.
func (m *Motion) end(at []float64, links []link, first int) {
	n := len(links)
	weight := make([]float64, n) // logs; the last: of not having ended
	soFar, after := 0.0, 0.0     // of moving up to here; of standing still from here on
	for i := n - 1; i > first; i-- {
		still, _ := m.chance(links[i])
		after += math.Log(still * (1 - switching))
	}
	for i := first; i < n; i++ {
		still, moving := m.chance(links[i])
		soFar += math.Log(moving * (1 - switching))
		if i > first {
			after -= math.Log(still * (1 - switching))
		}
		weight[i] = soFar + after
		if i < n-1 { // one stay of those after it is the turn
			weight[i] += math.Log(switching / (1 - switching))
		}
	}
	top, sum := slices.Max(weight[first:]), 0.0
	for i := first; i < n; i++ {
		weight[i] = math.Exp(weight[i] - top)
		sum += weight[i]
	}
	if weight[n-1] > sum/2 {
		return // it still moves, more likely than not
	}
	m.Ended = true
	sum -= weight[n-1]
	var square float64
	best, origin := first, at[first] // Unix times are too large to be squared
	for i := first; i < n-1; i++ {
		w := weight[i] / sum
		middle, width := (at[i]+at[i+1])/2-origin, at[i+1]-at[i]
		m.End += w * middle
		square += w * (middle*middle + width*width/12)
		if weight[i] > weight[best] {
			best = i
		}
	}
	m.Uncertainty = math.Sqrt(max(square-m.End*m.End, 0))
	m.End += origin
	m.From, m.Until, m.Probability = at[best], at[best+1], weight[best]/sum
}
