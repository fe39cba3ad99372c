package calibrate

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"meltspan/design"
	"meltspan/network"
	"meltspan/result"
)

// drawn is what one run of the network gave for one trial.
type drawn struct {
	features      []float64
	runTime, last float64 // s: stall and last ice, with the pace in them; last is NaN when not reached
	end           string
	done          bool
	ways          []way       // in which the run may have ended, where the trial's stall was seen
	lasting       *lasting    // nil where the load has but one end
	run           *result.Run // kept where the subject asks for it; nil for a body that cannot be
	late          float64     // s, last ice by the model's pace had the load stalled when it did; NaN when not reached
}

// shortest stands for a run that never started where a logarithm is taken, s.
const shortest = 60

// judges reports whether the subject's runs are held against what was seen. Then
// each is followed beyond its stall, for all differences at which its load may
// stall; otherwise to the one that was drawn.
func (s *subject) judges() bool { return s.keep || s.anchored || s.floor > 0 }

// simulate runs a subject for one row of deviates over all columns.
func (s *subject) simulate(z []float64) drawn {
	d := s.design.Clone()
	for i := range s.unknowns {
		s.unknowns[i].Set(d, z[s.columns[i]])
	}
	d.Rederive()
	m, err := network.BuildDraw(d, s.cold)
	if err != nil { // the values drawn make no body: nothing runs
		return s.read(nil, nil, math.NaN(), z)
	}
	run := func(beyond float64, course bool) *result.Run {
		// An error here could only be that of a cancelled context.
		run, _ := m.Run(context.Background(), network.Options{Horizon: s.horizon, Course: course, Beyond: beyond})
		return run
	}
	if !(s.stallSize > 0) || !s.judges() {
		return s.read(run(-s.stallSize*s.stallShift(z), s.keep || s.wantsCourse()), nil, math.NaN(), z)
	}
	long := run(widest*s.stallSize, true)
	l, late := lastingOf(long, stallDifference(d), s.stallSize), math.NaN()
	if l != nil && s.stalledFirst > 0 {
		excess := math.Min(math.Max(l.excessAt(s.stalledFirst/s.paceOf(z)), -widest*s.stallSize), widest*s.stallSize)
		late = run(-excess, false).LastIce
	}
	return s.read(long, l, late, z)
}

// stallDifference is that of the design's load, K; 0 for one without.
func stallDifference(d *design.Design) float64 {
	switch {
	case d.Load.Engine != nil:
		return d.Load.Engine.StallDifference.SI
	case d.Load.Generator != nil:
		return d.Load.Generator.LeastDifference.SI
	}
	return 0
}

// stallShift is the deviate of the trial's stall difference in a row.
func (s *subject) stallShift(z []float64) float64 {
	if s.shift < 0 {
		return 0
	}
	return math.Max(math.Min(z[s.shift], widest), -widest)
}

// paceOf is the factor on all times of a row.
func (s *subject) paceOf(z []float64) float64 {
	if s.pace[0] < 0 {
		return 1
	}
	return math.Exp(s.paceSize[0]*z[s.pace[0]]) * math.Exp(s.paceSize[1]*z[s.pace[1]])
}

// read takes the features from a run. l is when its load may stall, nil where that
// is when the run does; late the last ice had the load stalled when it did.
func (s *subject) read(run *result.Run, l *lasting, late float64, z []float64) drawn {
	out := drawn{features: make([]float64, len(s.features)), last: math.NaN(), end: result.EndNeverStarted, done: true, lasting: l, late: late}
	if run == nil {
		for i := range out.features {
			out.features[i] = s.fallback(i)
		}
		return out
	}
	if s.keep {
		out.run = run
	}
	pace := s.paceOf(z)
	runTime := run.FirstStall()
	if l != nil {
		runTime = l.stalls(s.stallSize * s.stallShift(z))
	}
	out.runTime, out.end = runTime*pace, run.End
	last := run.LastIce
	if s.stalledFirst > 0 && l != nil {
		last = late
	}
	if !math.IsNaN(last) {
		out.last = last * pace
	} else {
		last = run.Simulated // it comes later than that
	}
	s.readFeatures(run, runTime, last, pace, out.features)
	if s.anchored && l != nil {
		out.ways = l.ways(s.stallSeen/pace, s.stallKnown)
		for i := range out.ways {
			w := &out.ways[i]
			w.features = make([]float64, len(s.features))
			s.readFeatures(run, w.runTime, last, pace, w.features)
		}
	}
	return out
}

// readFeatures reads them for a stall at a moment, s by the model's pace.
func (s *subject) readFeatures(run *result.Run, runTime, last, pace float64, out []float64) {
	stretch := pace // from the model's time to the bench's
	if s.anchored {
		stretch = 1 / max(runTime, shortest) // a share of the run, whatever its pace
	}
	for i := range s.features {
		f := &s.features[i]
		switch f.kind {
		case featureStall:
			out[i] = math.Log(max(runTime, shortest) * pace)
		case featureIce:
			out[i] = math.Log(max(last, shortest) * pace)
		default:
			out[i] = s.fromCourse(run, f, stretch)
		}
	}
}

func (s *subject) wantsCourse() bool {
	for i := range s.features {
		if s.features[i].channel != "" {
			return true
		}
	}
	return false
}

// fallback is what a body that cannot be is said to give: no run, and plates at
// the room's temperature.
func (s *subject) fallback(i int) float64 {
	switch s.features[i].kind {
	case featureStall, featureIce:
		return math.Log(shortest)
	case featureSpeed:
		return math.Log(leastSpeed)
	case featureMelt:
		return 0
	}
	return s.design.Room.Temperature.SI
}

// fromCourse is the mean of a channel over a feature's stretch. A run that
// ended earlier is held at its last values.
func (s *subject) fromCourse(run *result.Run, f *feature, stretch float64) float64 {
	c := run.Channel(f.channel)
	if c == nil { // all solid melted before the start, or none of that part
		if f.kind == featureMelt {
			return s.design.Store.Mass.SI
		}
		return s.design.Room.Temperature.SI
	}
	from, to := f.from/stretch, f.to/stretch
	const points = 5
	mean := 0.0
	for k := range points {
		at := from + (to-from)*(float64(k)+0.5)/points
		mean += interpolate(run.Times, c.Values, at) / points
	}
	switch f.kind {
	case featureSpeed:
		return math.Log(max(mean, leastSpeed))
	case featureMelt:
		return s.design.Store.Mass.SI - mean
	}
	return mean
}

// task asks for one run.
type task struct {
	subject *subject
	z       []float64
	out     *drawn
}

// runAll does the tasks on all cores. Those that a cancelled context leaves out
// stay not done.
func runAll(ctx context.Context, tasks []task) error {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(tasks)) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= len(tasks) {
					return
				}
				*tasks[i].out = tasks[i].subject.simulate(tasks[i].z)
			}
		}()
	}
	wait.Wait()
	return ctx.Err()
}
