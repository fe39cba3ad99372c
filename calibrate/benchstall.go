package calibrate

import (
	"fmt"
	"math"

	"meltspan/quantity"
	"meltspan/trial"
)

// stall finds the plate differences at which the engine stopped: where events
// or the speed say so, or where the heat it takes drops at one difference.
func (b *bench) stall() {
	bt, bv := b.bottom.Good()
	tt, tv := b.top.Good()
	difference := func(at float64) float64 { return interpolate(bt, bv, at) - interpolate(tt, tv, at) }
	var seen []float64  // K
	var times []float64 // s
	var timing float64  // s, by which a moment is uncertain
	for _, e := range b.t.Events {
		if e.Kind == trial.Stalled {
			times = append(times, e.Time)
			timing = math.Max(timing, stated(e.Uncertainty, b.a.Stopwatch))
		}
	}
	if len(times) == 0 {
		times, timing = b.stops()
	}
	rate := 0.0
	for _, at := range times {
		if at < math.Max(bt[0], tt[0]) || at > math.Min(bt[len(bt)-1], tt[len(tt)-1]) {
			continue
		}
		seen = append(seen, difference(at))
		const about = 60
		rate = math.Max(rate, math.Abs(slope(bt, bv, at-about, at+about)-slope(tt, tv, at-about, at+about)))
	}
	b.load.Stalls = len(seen)
	if len(seen) == 0 {
		b.markRunning(nil)
		b.load.Remarks = append(b.load.Remarks, "No stall is in the log, by event or by speed: the stall difference stays as the design has it. Let the warm plate cool until the engine stops, three times at least.")
		return
	}
	b.markRunning(times)
	mean, deviation := moments(seen)
	n := float64(len(seen))
	// Engines stop a little sooner or later each time. Until several stalls
	// show by how much, half a kelvin is taken (judgement), as three degrees of
	// freedom's worth.
	const usual, worth = 0.5, 3
	spread := math.Sqrt((worth*usual*usual + (n-1)*deviation*deviation) / (worth + n - 1))
	if n == 1 {
		spread = usual
	}
	moment := rate * timing
	b.load.Stall = Estimate{mean, math.Sqrt(spread*spread/n + b.sensors()*b.sensors() + moment*moment/n)}
	if n < 3 {
		b.load.Remarks = append(b.load.Remarks, fmt.Sprintf("Only %d stall%s in the log: a stall scatters by some half a kelvin from time to time, so three or more are worth having.", len(seen), plural(len(seen))))
	}
}

func plural(n int) string {
	if n == 1 {
		return " is"
	}
	return "s are"
}

// stops are the moments at which a logged speed fell to nothing.
func (b *bench) stops() (times []float64, interval float64) {
	st, sv := b.speeds()
	for i := 1; i < len(st); i++ {
		if sv[i-1] > leastSpeed && sv[i] <= leastSpeed && (i+1 == len(st) || sv[i+1] <= leastSpeed) {
			times = append(times, (st[i-1]+st[i])/2)
			interval = math.Max(interval, (st[i]-st[i-1])/math.Sqrt(12)) // rectangular: GUM 4.3.7
		}
	}
	return times, interval
}

// markRunning says of stretches without a logged speed whether the engine ran:
// from a start to the next stall, from the log's begin where it says no more.
func (b *bench) markRunning(stalls []float64) {
	var starts []float64
	for _, e := range b.t.Events {
		if e.Kind == trial.Started {
			starts = append(starts, e.Time)
		}
	}
	last := func(list []float64, at float64) float64 {
		found := math.Inf(-1)
		for _, t := range list {
			if t <= at {
				found = math.Max(found, t)
			}
		}
		return found
	}
	for i := range b.load.Points {
		p := &b.load.Points[i]
		if math.IsNaN(p.Speed) {
			stalled, started := last(stalls, p.Time), last(starts, p.Time)
			p.Running = started > stalled || math.IsInf(stalled, -1) && len(starts) == 0
		}
	}
}

// speed fits the straight line of speed over plate difference.
func (b *bench) speed() {
	var x, y []float64
	for _, p := range b.load.Points {
		if p.Running && !math.IsNaN(p.Speed) && p.Speed > leastSpeed {
			x, y = append(x, p.Difference), append(y, p.Speed)
		}
	}
	if len(x) < 4 {
		return
	}
	about := average(x)
	if !math.IsNaN(b.load.Stall.Value) {
		about = b.load.Stall.Value
	}
	f, err := leastSquares([]float64{average(y), 0.1}, residuals{count: len(x), damping: 1e-2, at: func(p, out []float64) {
		for i := range x {
			out[i] = p[0] + p[1]*(x[i]-about) - y[i]
		}
	}}, 50, 1e-9)
	if err != nil || math.IsNaN(b.load.Stall.Value) {
		return
	}
	b.load.Speed = Estimate{f.Parameters[0], math.Hypot(f.StandardError(0), b.a.Tachometer*f.Parameters[0])}
	b.load.Slope = Estimate{f.Parameters[1], math.Hypot(f.StandardError(1), b.a.Tachometer*f.Parameters[1])}
}

// Lengths and shares from which a bench log is long and steady enough.
const (
	enoughConstants = 20.0
	enoughSteady    = 0.5
	enoughSpan      = 1.3 // largest over smallest plate difference
)

// judge says whether the log was long and steady enough, and what is missing.
func (b *bench) judge() {
	l := b.load
	steady, low, high := 0, math.Inf(1), 0.0
	for _, p := range l.Points {
		if p.steady {
			steady++
		}
		if p.Difference > 0 {
			low, high = math.Min(low, p.Difference), math.Max(high, p.Difference)
		}
	}
	l.Steady = float64(steady) / float64(len(l.Points))
	l.Enough = true
	lack := func(format string, args ...any) {
		l.Enough = false
		l.Remarks = append(l.Remarks, fmt.Sprintf(format, args...))
	}
	if l.Duration < enoughConstants*l.Constant {
		lack("The log is short: %s, and the upper plate takes some %s to settle. Log for %s or more.",
			quantity.FormatDuration(l.Duration), quantity.FormatDuration(3*l.Constant), quantity.FormatDuration(enoughConstants*l.Constant))
	}
	if l.Steady < enoughSteady {
		lack("Only %.0f %% of the log is steady: elsewhere the plate stores more than a tenth of the heat. Change the warm plate more slowly.", 100*l.Steady)
	}
	if high < enoughSpan*low {
		lack("The plate difference only goes from %.1f K to %.1f K: take it further, so that speed and heat can be told apart.", low, high)
	}
	if !l.Absolute && !math.IsNaN(l.Still.Value) {
		l.Remarks = append(l.Remarks, "Watts rest on the upper plate's air film by the handbook. A heater of known power on that plate would make them absolute.")
	}
}

// settings are what the design takes over.
func (b *bench) settings() {
	reason := "bench log " + b.t.Name
	add := func(path string, kind quantity.Kind, e Estimate) {
		if !math.IsNaN(e.Value) && e.Value > 0 {
			b.load.Settings = append(b.load.Settings, newSetting(path, kind, e.Value, e.Uncertainty, reason))
		}
	}
	add("load.engine.stall_difference", quantity.TemperatureDifference, b.load.Stall)
	add("load.engine.still_conductance", quantity.ThermalConductance, b.load.Still)
	add("load.engine.intake_per_cycle", quantity.HeatPerCycle, b.load.Cycle)
	add("load.engine.stall_speed", quantity.Frequency, b.load.Speed)
	add("load.engine.speed_per_kelvin", quantity.Frequency, b.load.Slope)
}
