package calibrate

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/mat"

	"meltspan/network"
	"meltspan/trial"
)

type featureKind uint8

const (
	featureStall featureKind = iota // logarithm of the run time, s
	featureIce                      // logarithm of the moment of the last ice, s
	featurePlate                    // mean of a temperature over a stretch, K
	featureSpeed                    // logarithm of the mean speed over a stretch, Hz
	featureMelt                     // melted mass, kg
)

// feature is one number that a trial gave and the model gives too.
type feature struct {
	kind     featureKind
	channel  string  // of the network's course
	from, to float64 // of the stretch: shares of the run when anchored, s otherwise
	value    float64
	noise    float64 // standard uncertainty of its own
	bias     float64 // standard uncertainty shared by all of its group
	varying  float64 // standard deviation of the slowly varying deviation of its group
	group    int     // features of one sensor
}

// stretches is how many pieces a course is cut into. What a piece holds is its
// mean: the course's deviation from the model varies slowly, so that more
// pieces would say little more.
const stretches = 10

// A course is used from the first to the last of these shares of the run; while
// the trial goes on, from settled (s) at the latest, because an engine that will
// stall within the hour shows it by then: before, the plates settle in minutes,
// and a moment's delay in setting up would count as a wrong model; after, once
// the ice is gone, the plates rise steeply, and a mean over a stretch says little
// that the times of last ice and stall do not. Where the last ice was seen before
// the stall, courses end at lastOfIce of that.
const (
	firstShare = 0.05
	lastShare  = 0.85
	lastOfIce  = 0.9
	settled    = 600
)

// leastSpeed is the speed, Hz, below which the load counts as standing.
const leastSpeed = 0.02

// coarse is the part of a temperature's uncertainty that no averaging removes:
// the steps of a logger, K.
const coarse = 0.03

// observe turns a trial into features. now is how far it is known, s; +Inf for
// a trial that is over.
func (s *subject) observe(a Discrepancy, now float64) error {
	m, err := network.BuildDraw(s.design, s.cold)
	if err != nil {
		return fmt.Errorf("trial %q: %w", s.trial.Name, err)
	}
	summary := m.Time(network.Options{})
	reach := summary.RunTime
	if !(reach > 600) {
		reach = max(summary.Simulated, 600)
	}
	s.length = a.Correlation * reach
	s.horizon = network.DefaultHorizon
	s.features, s.floor, s.anchored = nil, 0, false
	s.stallSeen, s.stallKnown, s.stalledFirst = 0, 0, 0
	switch s.trial.Kind {
	case trial.BlankMelt:
		s.observeMelt(a, now)
	case trial.PlateHeater:
		// As in a run, the first minutes and the end of the ice are left out: there the
		// plates move steeply, and a moment's difference would count as another
		// conductance.
		end := min(now, s.lastSample())
		if summary.LastSolid > 0 {
			end = min(end, lastShare*summary.LastSolid)
		}
		s.observePlates(a, firstShare*end, end, false)
	default:
		s.observeRun(a, now, reach)
	}
	if len(s.features) == 0 && s.floor == 0 && math.IsInf(now, 1) {
		return fmt.Errorf("trial %q holds nothing to learn from: no time of the stall or of the last ice, no course of a plate, no weighing", s.trial.Name)
	}
	if s.trial.Kind == trial.BlankMelt || s.trial.Kind == trial.PlateHeater {
		s.horizon = s.lastSample() + 60
	}
	return nil
}

func (s *subject) observeRun(a Discrepancy, now, reach float64) {
	before := func(kind trial.EventKind) *trial.Event {
		if e := s.trial.Event(kind); e != nil && e.Time <= now && e.Time > 0 {
			return e
		}
		return nil
	}
	stalled, ice, stopped := before(trial.Stalled), before(trial.IceGone), before(trial.Stopped)
	end := min(now, s.lastSample())
	switch {
	case stalled != nil:
		s.anchored = true
		noise := math.Hypot(stated(stalled.Uncertainty, a.Stopwatch)/stalled.Time, 1e-3)
		s.features = append(s.features, feature{kind: featureStall, value: math.Log(stalled.Time), noise: noise})
		s.stallSeen, s.stallKnown = stalled.Time, math.Hypot(noise, s.paceSize[1])
		if ice == nil || ice.Time > stalled.Time {
			s.stalledFirst = stalled.Time
		}
		end = stalled.Time
	case stopped != nil:
		s.floor, end = stopped.Time, min(end, stopped.Time)
	case !math.IsInf(now, 1):
		s.floor = now
	}
	if ice != nil {
		noise := math.Hypot(stated(ice.Uncertainty, a.Stopwatch)/ice.Time, a.LastIce)
		s.features = append(s.features, feature{kind: featureIce, value: math.Log(ice.Time), noise: noise})
	}
	start := math.Min(firstShare*reach, settled)
	if s.anchored {
		start = firstShare * end
	}
	s.observePlates(a, start, end, s.anchored)
	s.observeSpeed(a, start, end)
	if !s.anchored {
		s.allowForDelay(a.Stopwatch)
	}
}

// allowForDelay adds to each feature what a start noted too early or too late by
// so many seconds would make of it, by the slope between its neighbours.
func (s *subject) allowForDelay(delay float64) {
	for i := range s.features {
		f := &s.features[i]
		if f.channel == "" {
			continue
		}
		first, last := i, i
		if i > 0 && s.features[i-1].channel == f.channel {
			first--
		}
		if i+1 < len(s.features) && s.features[i+1].channel == f.channel {
			last++
		}
		if a, b := &s.features[first], &s.features[last]; first < last {
			f.noise = math.Hypot(f.noise, delay*(b.value-a.value)/((b.from+b.to-a.from-a.to)/2))
		}
	}
}

// lastSample is the time of the last sample of any series, s.
func (s *subject) lastSample() float64 {
	last := 0.0
	for i := range s.trial.Series {
		if n := len(s.trial.Series[i].Samples); n > 0 {
			last = max(last, s.trial.Series[i].Samples[n-1].Time)
		}
	}
	return last
}

// cut calls visit for each stretch with its ends as the model is to take them.
func (s *subject) cut(start, end float64, visit func(from, to, modelFrom, modelTo float64)) {
	if !(end-start > 60) {
		return
	}
	scale := 1.0
	if s.anchored {
		scale = 1 / end
		end *= lastShare
		if ice := s.trial.Event(trial.IceGone); ice != nil && ice.Time > 0 {
			end = min(end, lastOfIce*ice.Time)
		}
	}
	n := min(stretches, max(1, int((end-start)/60)))
	for i := range n {
		from := start + (end-start)*float64(i)/float64(n)
		to := start + (end-start)*float64(i+1)/float64(n)
		visit(from, to, from*scale, to*scale)
	}
}

func (s *subject) observePlates(a Discrepancy, start, end float64, anchored bool) {
	s.anchored = anchored
	for _, which := range []struct {
		quantity trial.Quantity
		channel  string
	}{{trial.BottomPlate, "bottom_plate"}, {trial.TopPlate, "top_plate"}} {
		series := s.trial.Find(which.quantity)
		if series == nil || which.channel == "top_plate" && s.design.Load.TopPlate == nil {
			continue
		}
		times, values := series.Good()
		group, scatter := len(s.features), scatterOf(values)
		s.cut(start, end, func(from, to, modelFrom, modelTo float64) {
			mean, n := meanBetween(times, values, from, to)
			if n == 0 {
				return
			}
			s.features = append(s.features, feature{
				kind: featurePlate, channel: which.channel, from: modelFrom, to: modelTo, value: mean,
				noise: math.Hypot(scatter/math.Sqrt(float64(n)), coarse),
				bias:  stated(series.Uncertainty, a.Sensor), varying: a.Temperature, group: group,
			})
		})
	}
}

func (s *subject) observeSpeed(a Discrepancy, start, end float64) {
	series := s.trial.Find(trial.Speed)
	if series == nil || s.design.Load.Engine == nil {
		return
	}
	times, values := series.Good()
	group := len(s.features)
	s.cut(start, end, func(from, to, modelFrom, modelTo float64) {
		mean, n := meanBetween(times, values, from, to)
		if n == 0 || !(mean > leastSpeed) {
			return
		}
		scatter := scatterOf(values) / mean / math.Sqrt(float64(n))
		bias := a.Tachometer
		if series.Uncertainty > 0 {
			bias = series.Uncertainty / mean
		}
		s.features = append(s.features, feature{
			kind: featureSpeed, channel: "speed", from: modelFrom, to: modelTo, value: math.Log(mean),
			noise: math.Hypot(scatter, 0.01), bias: bias, varying: a.Speed, group: group,
		})
	})
}

// mostWeighings bounds how many weighings of a melt are used; the last count.
const mostWeighings = 10

func (s *subject) observeMelt(a Discrepancy, now float64) {
	series := s.trial.Find(trial.Weight)
	if series == nil {
		return
	}
	times, values := series.Good()
	first := max(0, len(times)-mostWeighings)
	for i := first; i < len(times); i++ {
		if times[i] <= 0 || times[i] > now || !(values[i] > 0) {
			continue
		}
		s.features = append(s.features, feature{
			kind: featureMelt, channel: "solid", from: times[i], to: times[i], value: values[i],
			noise: stated(series.Uncertainty, a.Scale), varying: a.Melt * values[i],
		})
	}
}

// scatterOf is the standard deviation of the noise from sample to sample, by
// the median of the steps, which no jump moves (0.6745 is the median of the
// normal's absolute value).
func scatterOf(values []float64) float64 {
	if len(values) < 3 {
		return 0
	}
	steps := make([]float64, len(values)-1)
	for i := range steps {
		steps[i] = math.Abs(values[i+1] - values[i])
	}
	sort.Float64s(steps)
	return steps[len(steps)/2] / (0.6745 * math.Sqrt2)
}

// meanBetween is the mean of the samples of a stretch, and their number.
func meanBetween(times, values []float64, from, to float64) (mean float64, n int) {
	first, _ := slices.BinarySearch(times, from)
	for i := first; i < len(times) && times[i] < to; i++ {
		mean += values[i]
		n++
	}
	return mean / float64(max(n, 1)), n
}

// covariance of the features: noise, constant errors of sensors, and the slowly
// varying deviation. The paces of design and trial are columns, not in here.
func (s *subject) covariance() *mat.SymDense {
	n := len(s.features)
	out := mat.NewSymDense(max(n, 1), nil)
	scale := 1.0
	for i := range s.features {
		if s.anchored && s.features[i].kind == featureStall {
			scale = math.Exp(s.features[i].value)
		}
	}
	for i := range n {
		f := &s.features[i]
		out.SetSym(i, i, f.noise*f.noise+f.bias*f.bias+f.varying*f.varying)
		for j := range i {
			g := &s.features[j]
			if f.kind != g.kind || f.group != g.group || f.kind == featureStall || f.kind == featureIce {
				continue
			}
			apart := scale * (f.from + f.to - g.from - g.to) / 2
			out.SetSym(i, j, f.bias*g.bias+f.varying*g.varying*matern(apart, s.length))
		}
	}
	return out
}
