package trial

import "math"

// PulseForm says what a sensor of pulses tells.
type PulseForm string

// The forms. Times are those of the sensor's own clock.
const (
	PulseTime   PulseForm = "pulse time"   // the moment of a pulse, s
	PulsePeriod PulseForm = "pulse period" // from one pulse to the next, s
	PulseCount  PulseForm = "pulse count"  // pulses since some beginning
)

// Pulses turns what a sensor of pulses tells into speed. The zero value of the
// optional fields asks for the defaults.
type Pulses struct {
	Form          PulseForm
	PerRevolution int     // 1 or more
	Fastest       float64 // revolutions per second; what seems faster is contact bounce (50)
	Tick          float64 // s, of the sensor's clock, which starts anew after 2^32 of them; 0: it does not

	stamps  []float64 // of the last revolution, the sensor's time
	arrived float64   // when the last good pulse (or change of the count) came
	any     bool
	first   counted // where the count's present window began
	last    counted
	speed   float64
	zeroed  float64 // when standing still was last told
	still   bool
}

type counted struct{ time, count float64 }

// A count's window is at least this long, s: a count a second is coarse.
const countWindow = 2

// Pulses that stay away for this long, s, or for this many times their last
// distance, mean that the device stands still.
const (
	silence        = 5
	silentPulses   = 4
	silenceRepeats = 10 // s, after which it is said again
)

const defaultFastest = 50

// Add takes one reading, which arrived at a time, s, and returns the speed in
// revolutions per second, if the reading settles one. With several pulses per
// revolution the speed is that over a whole revolution, so that unevenly spaced
// marks do no harm.
func (p *Pulses) Add(time, value float64) (speed float64, ok bool) {
	if math.IsNaN(value) || math.IsInf(value, 0) || value < 0 {
		return 0, false
	}
	switch p.Form {
	case PulsePeriod:
		return p.period(time, value)
	case PulseCount:
		return p.count(time, value)
	}
	return p.stamp(time, value)
}

// Quiet says, at a time, s, whether pulses have stayed away for so long that
// the device stands still. It tells so once, and then now and then.
func (p *Pulses) Quiet(time float64) bool {
	if !p.any || time-p.arrived < p.patience() {
		return false
	}
	if p.still && time-p.zeroed < silenceRepeats {
		return false
	}
	p.still, p.zeroed, p.stamps = true, time, nil
	return true
}

// patience is how long pulses may stay away, s.
func (p *Pulses) patience() float64 {
	if p.speed > 0 {
		return max(silence, silentPulses/(p.speed*float64(p.PerRevolution)))
	}
	return silence
}

func (p *Pulses) seen(time float64) { p.arrived, p.any, p.still = time, true, false }

func (p *Pulses) least() float64 {
	fastest := p.Fastest
	if fastest == 0 {
		fastest = defaultFastest
	}
	return 1 / (fastest * float64(p.PerRevolution))
}

func (p *Pulses) stamp(time, value float64) (float64, bool) {
	if n := len(p.stamps); n > 0 {
		step := value - p.stamps[n-1]
		if step < 0 && p.Tick > 0 {
			// The counter behind the clock has 32 bits and may have run over.
			whole := p.Tick * (1 << 32)
			if apart := time - p.arrived; math.Abs(step+whole-apart) < 2+apart/2 {
				for i := range p.stamps {
					p.stamps[i] -= whole
				}
				step += whole
			}
		}
		switch {
		case step < 0: // the sensor started anew
			p.stamps = nil
		case step < p.least():
			return 0, false
		}
	}
	p.seen(time)
	p.stamps = append(p.stamps, value)
	return p.overRevolution()
}

func (p *Pulses) period(time, value float64) (float64, bool) {
	if value < p.least() {
		return 0, false
	}
	p.seen(time)
	next := value
	if n := len(p.stamps); n > 0 {
		next += p.stamps[n-1]
	} else {
		p.stamps = append(p.stamps, 0)
	}
	p.stamps = append(p.stamps, next)
	return p.overRevolution()
}

// overRevolution is the speed over the last whole revolution.
func (p *Pulses) overRevolution() (float64, bool) {
	n := len(p.stamps) - 1 - p.PerRevolution
	if n < 0 {
		return 0, false
	}
	p.stamps = append([]float64{}, p.stamps[n:]...)
	p.speed = 1 / (p.stamps[p.PerRevolution] - p.stamps[0])
	return p.speed, true
}

// count measures between two moments at which the count was seen to change, so
// that the error is the distance of two readings, not a whole pulse.
func (p *Pulses) count(time, value float64) (float64, bool) {
	switch {
	case !p.any || value < p.last.count: // the first, or the sensor started anew
		p.seen(time)
		p.first, p.last = counted{math.NaN(), value}, counted{time, value}
		return 0, false
	case value == p.last.count:
		return 0, false
	case math.IsNaN(p.first.time) || p.still: // the first change
		p.seen(time)
		p.first, p.last = counted{time, value}, counted{time, value}
		return 0, false
	}
	p.seen(time)
	p.last = counted{time, value}
	if time-p.first.time < countWindow {
		return 0, false
	}
	speed := (value - p.first.count) / (time - p.first.time) / float64(p.PerRevolution)
	p.first = p.last
	if speed > 1/(p.least()*float64(p.PerRevolution)) {
		return 0, false
	}
	p.speed = speed
	return speed, true
}
