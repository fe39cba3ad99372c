package trial

import (
	"fmt"
	"math"

	"meltspan/quantity"
)

// Outcome says what a log shows of a load's running.
type Outcome string

// The outcomes.
const (
	Unknown      Outcome = "not known" // nothing was logged that tells
	NeverRan     Outcome = "never ran"
	StillRunning Outcome = "still running at the end of the log"
	HasStalled   Outcome = "stalled"
)

// Detection is what a log shows of a load's running. Start and Stall are set
// as far as they were seen.
type Detection struct {
	Outcome Outcome
	Start   *Event
	Stall   *Event

	// The parts of Stall.Uncertainty, s, one standard uncertainty each.
	Timing    float64 // from the interval of the readings and their noise
	Threshold float64 // from the stall difference and the sensors' own errors, common to many trials
}

// Sources of detected events.
const (
	BySpeed      = "speed"
	ByDifference = "plate difference"
)

// Stalling is what is known of the load beforehand.
type Stalling struct {
	Difference  float64 // plate difference below which it stalls, K, positive; 0: not known
	Uncertainty float64 // of that, one standard uncertainty, K
	Starting    float64 // plate difference at which it starts, K; 0: as Difference
	Hot         bool    // the store is warmer than the room
	Standing    float64 // speed below which it stands, 1/s; 0: 0.05
}

// Detect finds when the load started and stalled for good: by its speed when
// that was logged, else by the plate difference against the stall difference.
func (t *Trial) Detect(s Stalling) Detection {
	if speed := t.Find(Speed); speed != nil {
		if d := bySpeed(speed, t.lastReading(), s.Standing); d.Outcome != Unknown {
			return d
		}
	}
	bottom, top := t.Find(BottomPlate), t.Find(TopPlate)
	if bottom == nil || top == nil || !(s.Difference > 0) {
		return Detection{Outcome: Unknown}
	}
	return byDifference(bottom, top, s)
}

// lastReading is the time of the trial's last good sample; -Inf for none.
func (t *Trial) lastReading() float64 {
	last := math.Inf(-1)
	for i := range t.Series {
		for j := len(t.Series[i].Samples) - 1; j >= 0; j-- {
			if x := &t.Series[i].Samples[j]; x.Mark == Good {
				last = max(last, x.Time)
				break
			}
		}
	}
	return last
}

// standing is the speed below which a load stands unless said otherwise, in
// revolutions per second: engines of this kind stop from some 20 turns a
// minute (common practice), so three a minute is no running.
const standing = 0.05

// A turn is running when it lasts: a flywheel that is touched once gives a
// reading or two.
const leastTurning = 3 // readings in a row

// bySpeed finds start and stall from a series of speeds. until is the last
// time at which anything was logged: a sensor of pulses falls silent when the
// load stands.
func bySpeed(s *Series, until, least float64) Detection {
	if least <= 0 {
		least = standing
	}
	times, speeds := s.Good()
	if len(times) < 2 {
		return Detection{Outcome: Unknown}
	}
	first, last := turning(speeds, least)
	if first < 0 {
		return Detection{Outcome: NeverRan}
	}
	usual := interval(times)
	d := Detection{Outcome: StillRunning}
	d.Start = within(Started, before(times, first, usual), times[first], BySpeed)
	switch silence := until - times[last]; {
	case last+1 < len(times):
		d.Stall = within(Stalled, times[last], times[last+1], BySpeed)
	case silence > gapFactor*usual && silence > usual+1:
		d.Stall = within(Stalled, times[last], times[last]+usual, BySpeed)
		d.Stall.Note = "the speed readings end here, others go on"
	default:
		return d
	}
	d.Outcome, d.Timing = HasStalled, d.Stall.Uncertainty
	return d
}

// before is the time of the reading before the i-th, or where it would be.
func before(times []float64, i int, usual float64) float64 {
	if i > 0 {
		return times[i-1]
	}
	return times[0] - usual
}

// within is an event that happened somewhere between two readings: a
// rectangular distribution (GUM, JCGM 100:2008, 4.3.7).
func within(kind EventKind, from, to float64, source string) *Event {
	return &Event{Kind: kind, Time: (from + to) / 2, Uncertainty: (to - from) / math.Sqrt(12), Source: source}
}

// turning returns the first and the last reading of running; -1 for none.
func turning(speeds []float64, least float64) (first, last int) {
	first, last = -1, -1
	for i := 0; i < len(speeds); {
		if speeds[i] < least {
			i++
			continue
		}
		from := i
		for i < len(speeds) && speeds[i] >= least {
			i++
		}
		if i-from >= leastTurning || i-from == len(speeds) {
			if first < 0 {
				first = from
			}
			last = i - 1
		}
	}
	return first, last
}

// byDifference finds start and stall from the logs of both plates.
func byDifference(bottom, top *Series, s Stalling) Detection {
	times, differences := difference(bottom, top, s.Hot)
	if len(times) < 2 {
		return Detection{Outcome: Unknown}
	}
	smooth := runningMedian(differences)
	start := max(s.Starting, s.Difference)
	first, last := -1, -1
	for i, x := range smooth {
		if first < 0 && x >= start {
			first = i
		}
		if first >= 0 && x >= s.Difference {
			last = i
		}
	}
	usual := interval(times)
	switch {
	case first < 0:
		return Detection{Outcome: NeverRan}
	case last == len(times)-1:
		return Detection{Outcome: StillRunning, Start: within(Started, before(times, first, usual), times[first], ByDifference)}
	}
	d := Detection{Outcome: HasStalled, Start: within(Started, before(times, first, usual), times[first], ByDifference)}
	bias := math.Sqrt(sq(s.Uncertainty) + sq(bottom.Uncertainty) + sq(top.Uncertainty))
	at, timing, slope := crossing(times, differences, smooth, last, s.Difference)
	d.Timing, d.Threshold = math.Hypot(timing, stamp), bias/slope
	d.Stall = &Event{
		Kind: Stalled, Time: at, Uncertainty: math.Hypot(d.Timing, d.Threshold), Source: ByDifference,
		Note: fmt.Sprintf("plate difference falls below %s for good", quantity.Format(s.Difference, quantity.TemperatureDifference, 3)),
	}
	return d
}

// stamp is the standard uncertainty of a time that is written in whole
// seconds, as many loggers do.
var stamp = 1 / math.Sqrt(12)

func sq(x float64) float64 { return x * x }

// PlateDifference is the temperature of top over that of bottom, K, at the
// times of the top plate's good readings, where the bottom plate has good
// readings around them.
func PlateDifference(bottom, top *Series) (times, values []float64) {
	return difference(bottom, top, false)
}

// difference is that of top over bottom (of bottom over top for a hot store)
// at the times of the top plate's good readings, where the bottom plate has
// good readings around them.
func difference(bottom, top *Series, hot bool) (times, values []float64) {
	bt, bv := bottom.Good()
	tt, tv := top.Good()
	if len(bt) < 2 {
		return nil, nil
	}
	reach := gapFactor * max(interval(bt), interval(tt))
	j := 0
	for i, at := range tt {
		for j+2 < len(bt) && bt[j+1] <= at {
			j++
		}
		from, to := bt[j], bt[j+1]
		if at < from || at > to || to-from > reach {
			continue
		}
		d := tv[i] - (bv[j] + (at-from)/(to-from)*(bv[j+1]-bv[j]))
		if hot {
			d = -d
		}
		times, values = append(times, at), append(values, d)
	}
	return times, values
}
