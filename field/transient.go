package field

import (
	"context"
	"fmt"
	"math"
	"slices"

	"meltspan/internal/sparse"
)

// Integrator is a method of stepping in time.
type Integrator uint8

const (
	// SDIRK2 is second order and L-stable.
	SDIRK2 Integrator = iota
	// BackwardEuler is first order and L-stable, and never overshoots.
	BackwardEuler
)

// TransientOptions says how far and how exactly to go.
type TransientOptions struct {
	End    float64 // s; the start is the time of the initial state
	Method Integrator
	// Step is the first step, s; with Tolerance 0, every step.
	Step    float64
	Longest float64 // step, s; 0: no bound
	// Tolerance is the error that a step may make, K: the root of the mean
	// square over the volume, estimated to first order. 0 keeps the step.
	Tolerance float64
	// Times that steps must meet: of snapshots, and of jumps in conditions,
	// which take their new value from just after the jump.
	Times  []float64
	Solver Solver
	// Snapshot, if not nil, is called at Times and at the end. Its State and
	// Ledger may be kept; its methods answer during the call only.
	Snapshot func(*Field)
	Progress func(Progress) // if not nil, called after every step
}

// Progress is how far a course in time has come.
type Progress struct {
	Time, Step, End float64 // s
	Liquid          float64 // m3
}

// TransientField is the state at the end of a course in time, and its ledger.
type TransientField struct {
	Field
	Steps, Rejected int // of time
	GradientSteps   int // of the linear solver, in all
}

// gamma makes SDIRK2 L-stable (Alexander 1977): 1 - 1/sqrt 2.
const gamma = 1 - 1/math.Sqrt2

const (
	shortestShare = 1e-12 // of the course: a step below it is given up
	safety        = 0.9
	mostShrink    = 0.2
	mostGrow      = 2
	// exactShare of the tolerance is left by the iteration of a stage; with
	// fixed steps exactAlways, K, which is near rounding.
	exactShare  = 1e-5
	exactAlways = 1e-10
)

// course is a transient solution under way.
type course struct {
	*stepper
	o      TransientOptions
	time   float64
	ledger Ledger    // up to now
	trial  Ledger    // of the step that is tried
	start  []float64 // enthalpies at the start

	now, first, last point
	base             []float64
	before           []float64 // change of temperature in the last step, K
	beforeStep       float64   // its length, s; 0 when there was none
	out              TransientField
}

// Transient follows the field from an initial state to the end time. It fails
// with ErrNotConverged when a step can't be solved however short, and with the
// context's error when it is interrupted; the state reached is returned with
// the error.
func Transient(ctx context.Context, p *Problem, initial State, o TransientOptions) (*TransientField, error) {
	s, err := newSystem(p, true)
	if err != nil {
		return nil, err
	}
	if err := o.validate(initial.Time); err != nil {
		return nil, err
	}
	c, err := newCourse(ctx, s, initial, o)
	if err != nil {
		return nil, err
	}
	stops := slices.Clone(o.Times)
	stops = append(stops, o.End)
	slices.Sort(stops)
	step := o.Step
	for _, stop := range slices.Compact(stops) {
		if stop < c.time || stop > o.End || (stop == c.time && stop != o.End) {
			continue
		}
		if step, err = c.advance(stop, step); err != nil {
			break
		}
		if o.Snapshot != nil {
			f := c.field()
			o.Snapshot(&f)
		}
	}
	c.out.Field = c.field()
	c.out.GradientSteps = c.steps
	return &c.out, err
}

func (o *TransientOptions) validate(start float64) error {
	switch {
	case math.IsNaN(start) || math.IsInf(o.End, 0) || !(o.End > start):
		return fmt.Errorf("field: the course ends at %g s and starts at %g s; it must end after it starts", o.End, start)
	case !positive(o.Step):
		return fmt.Errorf("field: the step is %g s; it must be above 0", o.Step)
	case !(o.Tolerance >= 0) || !(o.Longest >= 0):
		return fmt.Errorf("field: tolerance %g K and longest step %g s must be 0 or above", o.Tolerance, o.Longest)
	case o.Method > BackwardEuler:
		return fmt.Errorf("field: integrator %d is unknown; use SDIRK2 or BackwardEuler", o.Method)
	}
	return nil
}

func newCourse(ctx context.Context, s *system, initial State, o TransientOptions) (*course, error) {
	if len(initial.Temperature) != len(s.unknown) || (initial.Liquid != nil && len(initial.Liquid) != len(s.unknown)) {
		return nil, fmt.Errorf("field: the initial state has %d temperatures and %d shares of liquid for %d cells", len(initial.Temperature), len(initial.Liquid), len(s.unknown))
	}
	exact := max(exactAlways, exactShare*o.Tolerance)
	n := len(s.cells)
	c := &course{stepper: newStepper(ctx, s, o.Solver, exact), o: o, time: initial.Time, ledger: s.newLedger(),
		trial: s.newLedger(), now: *newPoint(n), first: *newPoint(n), last: *newPoint(n), base: make([]float64, n), before: make([]float64, n)}
	for i, cell := range s.cells {
		t, share := initial.Temperature[cell], 0.0
		if initial.Liquid != nil {
			share = initial.Liquid[cell]
		}
		if !positive(t) || !(share >= 0 && share <= 1) {
			return nil, fmt.Errorf("field: the initial state of cell %d is %g K with a share of liquid of %g; it must be above 0 K, and the share from 0 to 1", cell, t, share)
		}
		c.now.enthalpy[i] = s.material(i).enthalpy(t, share)
		c.now.temperature[i] = t
	}
	c.start = slices.Clone(c.now.enthalpy)
	return c, nil
}

// advance steps to a time and returns the step to go on with.
func (c *course) advance(stop, step float64) (float64, error) {
	rejected := false // the step before: no growth right after
	shortest := shortestShare * (c.o.End - c.time)
	for c.time < stop {
		if err := c.ctx.Err(); err != nil {
			return step, err
		}
		if c.o.Longest > 0 {
			step = min(step, c.o.Longest)
		}
		h, left := step, stop-c.time
		meets := h >= left*(1-1e-9)
		switch {
		case meets:
			h = left
		case h > left/2 && c.o.Tolerance > 0:
			h = left / 2
		}
		err := c.try(h)
		if err == nil {
			deviation := c.deviation(h)
			factor := 1.0
			if c.o.Tolerance > 0 {
				most := float64(mostGrow)
				if rejected {
					most = 1
				}
				factor = min(max(safety*math.Sqrt(c.o.Tolerance/deviation), mostShrink), most)
			}
			if c.o.Tolerance == 0 || deviation <= c.o.Tolerance {
				c.accept(h)
				rejected = false
				if meets {
					c.time = stop
				}
				switch {
				case c.o.Tolerance == 0:
					step = c.o.Step
				case h*factor > step || factor < 1:
					step = h * factor
				}
				continue
			}
			step = h * factor
		} else {
			if !repeatable(err) {
				return step, err
			}
			step = h / 4
		}
		c.out.Rejected++
		rejected = true
		if step < shortest {
			return step, fmt.Errorf("%w: at %g s, steps below %g s", ErrNotConverged, c.time, shortest)
		}
	}
	return step, nil
}

// try works out a step into last.
func (c *course) try(h float64) error {
	c.trial.clear()
	if c.o.Method == BackwardEuler {
		copy(c.last.enthalpy, c.now.enthalpy)
		return c.solve(c.time+h, h, h, c.now.enthalpy, &c.last, &c.trial)
	}
	copy(c.first.enthalpy, c.now.enthalpy)
	if err := c.solve(c.time+gamma*h, gamma*h, (1-gamma)*h, c.now.enthalpy, &c.first, &c.trial); err != nil {
		return err
	}
	for i, v := range c.now.enthalpy {
		c.base[i] = v + (c.first.enthalpy[i]-v)*((1-gamma)/gamma)
		c.last.enthalpy[i] = c.first.enthalpy[i]
	}
	return c.solve(c.time+h, gamma*h, gamma*h, c.base, &c.last, &c.trial)
}

// deviation estimates the error of the step, K: half the second derivative
// times the square of the step, from the first stage (SDIRK2) or the step
// before (backward Euler).
func (c *course) deviation(h float64) float64 {
	square := sparse.Total(len(c.volume), func(from, to int) float64 {
		sum := 0.0
		for i := from; i < to; i++ {
			d := c.last.temperature[i] - c.now.temperature[i]
			if c.o.Method == SDIRK2 {
				d = (d - (c.first.temperature[i]-c.now.temperature[i])/gamma) / (2 * (1 - gamma))
			} else if c.beforeStep > 0 {
				d = (d - c.before[i]*h/c.beforeStep) * h / (h + c.beforeStep)
			}
			sum += c.volume[i] * d * d
		}
		return sum
	})
	return math.Sqrt(square / sparse.Total(len(c.volume), func(from, to int) float64 {
		sum := 0.0
		for _, v := range c.volume[from:to] {
			sum += v
		}
		return sum
	}))
}

// accept books the step's heat and moves on.
func (c *course) accept(h float64) {
	for i := range c.before {
		c.before[i] = c.last.temperature[i] - c.now.temperature[i]
	}
	c.beforeStep = h
	c.now, c.last = c.last, c.now
	c.ledger.add(&c.trial)
	c.time += h
	c.out.Steps++
	if c.o.Progress != nil {
		liquid := 0.0
		for i, v := range c.volume {
			liquid += v * c.material(i).share(c.now.enthalpy[i])
		}
		c.o.Progress(Progress{c.time, h, c.o.End, liquid})
	}
}

// field is the present state, apart from what comes after it.
func (c *course) field() Field {
	n := len(c.cells)
	share := make([]float64, n)
	ledger := c.newLedger()
	ledger.add(&c.ledger)
	for i := range n {
		share[i] = c.material(i).share(c.now.enthalpy[i])
		ledger.Stored += c.volume[i] * (c.now.enthalpy[i] - c.start[i])
	}
	values := slices.Clone(c.now.temperature)
	return Field{
		State:  State{Time: c.time, Temperature: c.spread(values), Liquid: c.spread(share)},
		Ledger: ledger, system: c.system, values: values,
	}
}
