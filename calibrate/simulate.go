package calibrate

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"meltspan/network"
	"meltspan/result"
)

// drawn is what one run of the network gave for one trial.
type drawn struct {
	features      []float64
	runTime, last float64 // s: stall and last ice, with the pace in them; last is NaN when not reached
	end           string
	done          bool
	run           *result.Run // kept where the subject asks for it; nil for a body that cannot be
}

// shortest stands for a run that never started where a logarithm is taken, s.
const shortest = 60

// simulate runs a subject for one row of deviates over all columns.
func (s *subject) simulate(z []float64) drawn {
	d := s.design.Clone()
	for i := range s.unknowns {
		s.unknowns[i].Set(d, z[s.columns[i]])
	}
	d.Rederive()
	var run *result.Run
	if m, err := network.BuildDraw(d, s.cold); err == nil { // else the values drawn make no body: nothing runs
		// An error here could only be that of a cancelled context.
		run, _ = m.Run(context.Background(), network.Options{Horizon: s.horizon, Course: s.keep || s.wantsCourse()})
	}
	out := s.read(run, z)
	if s.keep {
		out.run = run
	}
	return out
}

// read takes the features from a run.
func (s *subject) read(run *result.Run, z []float64) drawn {
	out := drawn{features: make([]float64, len(s.features)), last: math.NaN(), end: result.EndNeverStarted, done: true}
	if run == nil {
		for i := range out.features {
			out.features[i] = s.fallback(i)
		}
		return out
	}
	pace := 1.0
	if s.pace[0] >= 0 {
		pace = math.Exp(s.paceSize[0]*z[s.pace[0]] + s.paceSize[1]*z[s.pace[1]])
	}
	out.runTime, out.end = run.RunTime*pace, run.End
	last := run.LastIce
	if !math.IsNaN(last) {
		out.last = last * pace
	} else {
		last = run.Simulated
	}
	stretch := pace // from the model's time to the bench's
	if s.anchored {
		stretch = 1 / max(run.RunTime, shortest) // a share of the run, whatever its pace
	}
	for i := range s.features {
		f := &s.features[i]
		switch f.kind {
		case featureStall:
			out.features[i] = math.Log(max(run.RunTime, shortest) * pace)
		case featureIce:
			out.features[i] = math.Log(max(last, shortest) * pace)
		default:
			out.features[i] = s.fromCourse(run, f, stretch)
		}
	}
	return out
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
