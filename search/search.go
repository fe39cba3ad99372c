package search

import (
	"context"
	"fmt"
	"math"
	"slices"

	"meltspan/design"
	"meltspan/network"
	"meltspan/predict"
	"meltspan/quantity"
)

// Problem is what may vary, what must hold and what is wanted.
type Problem struct {
	Space    *Space
	Limits   Limits
	Aims     []Aim   // run time first; more than one gives a front
	Quantile float64 // of the run time, by which designs are ranked
	Horizon  float64 // s simulated at most
}

// DefaultQuantile is the lower end of a band of 90 %.
const DefaultQuantile = 0.05

// NewProblem checks that the parts fit, and gives the envelope of the limits
// to the base design.
func NewProblem(base *design.Design, inputs []Input, limits Limits, aims []Aim, quantileAt, horizon float64) (*Problem, error) {
	if i := slices.Index(aims, AimRunTime); i > 0 {
		aims = slices.Delete(slices.Clone(aims), i, i+1)
	}
	if len(aims) == 0 || aims[0] != AimRunTime {
		aims = append([]Aim{AimRunTime}, aims...)
	}
	for i, a := range aims {
		if !slices.Contains(Aims(), a) {
			return nil, fmt.Errorf("%q cannot be aimed at", string(a))
		}
		if slices.Contains(aims[:i], a) {
			return nil, fmt.Errorf("%s is aimed at twice", a)
		}
	}
	if quantileAt == 0 {
		quantileAt = DefaultQuantile
	}
	if horizon <= 0 {
		horizon = network.DefaultHorizon
	}
	base = base.Clone()
	for _, e := range []struct {
		of   *quantity.Value
		size float64
	}{{&base.Envelope.Diameter, limits.EnvelopeDiameter}, {&base.Envelope.Height, limits.EnvelopeHeight}} {
		if e.size > 0 {
			*e.of = quantity.Value{SI: e.size, Origin: quantity.Stated}
		}
	}
	s, err := NewSpace(base, inputs)
	if err != nil {
		return nil, err
	}
	return &Problem{Space: s, Limits: limits, Aims: aims, Quantile: quantileAt, Horizon: horizon}, nil
}

// atLeast checks the run time at the quantile.
func (p *Problem) atLeast(runTime float64, b *breaches) {
	if least := p.Limits.RunTime; least > 0 && !(runTime >= least) {
		*b = append(*b, Breach{"run_time", fmt.Sprintf("runs %s, less than %s", quantity.FormatDuration(runTime), quantity.FormatDuration(least)), 1 - runTime/least})
	}
}

// Options of a search. The zero value is right.
type Options struct {
	Candidates int     // screened; 0: DefaultCandidates
	Seed       uint64  // 0: predict.DefaultSeed
	Samples    int     // common draws for the ranking; 0: DefaultSamples
	Ranked     int     // designs that are ranked; 0: DefaultRanked
	Spacing    float64 // of the section that confirms, m; 0: 1 mm; negative: no section

	Screen   Screen // nil: on all cores of this machine
	Progress func(stage string, done, of int)
}

// Defaults of the options.
const (
	DefaultSamples = 200
	DefaultRanked  = 24
	defaultSpacing = 1e-3
)

// leastScenario is how many draws a scenario takes at least: twice the number of
// uncertain inputs, some seventy, or its regression cannot be worked out.
const leastScenario = 150

func (o *Options) complete() {
	if o.Candidates <= 0 {
		o.Candidates = DefaultCandidates
	}
	if o.Seed == 0 {
		o.Seed = predict.DefaultSeed
	}
	if o.Samples <= 0 {
		o.Samples = DefaultSamples
	}
	if o.Ranked <= 0 {
		o.Ranked = DefaultRanked
	}
	if o.Spacing == 0 {
		o.Spacing = defaultSpacing
	}
	if o.Progress == nil {
		o.Progress = func(string, int, int) {}
	}
}

// The stages of a search.
const (
	StageScreening  = "candidate"
	StageRanking    = "draw"
	StageConfirming = "section"
)

// Run searches. Candidates are screened by one nominal run, which says what
// holds, and one run in the scenario that stands for the quantile; half way the
// scenario is taken anew from the best so far, since what can go wrong differs
// from design to design. The promising ones are then ranked on common draws of
// all that is uncertain, and the best and the base design are followed on the
// fine section. When the context is cancelled it returns what was found so far,
// together with the context's error.
func (p *Problem) Run(ctx context.Context, o Options) (*Result, error) {
	o.complete()
	r := p.newResult(&o)
	base, err := p.figuresOf(ctx, p.Space.Base, checked(p.Space.Base), nil, true)
	if err != nil {
		return r, err
	}
	r.Base.Figures, r.Base.Revision = base, p.Space.Base.Revision()
	for i := range p.Space.Inputs {
		r.Base.At = append(r.Base.At, p.Space.Inputs[i].Now(p.Space.Base))
	}
	screen := o.Screen
	if screen == nil {
		screen = Local
	}
	reference := p.Space.Base
	start, _ := p.Space.Now()
	starts := [][]float64{start}
	var promising []Found
	for round := range 2 {
		scenario, err := predict.NewScenario(ctx, reference, p.Quantile, predict.Options{Samples: max(o.Samples, leastScenario), Seed: o.Seed, Horizon: p.Horizon})
		if err != nil {
			return p.conclude(ctx, r, promising, &o, err)
		}
		before, half := r.Tried, o.Candidates/2
		if round == 1 {
			half = o.Candidates - o.Candidates/2
		}
		out, err := Evolve(ctx, p.Space.domains(), p.evaluate(screen, scenario), Evolution{
			Candidates: half, Seed: o.Seed + uint64(round), Keep: 2 * o.Ranked, Start: starts,
			Progress: func(done, _ int) { o.Progress(StageScreening, before+done, o.Candidates) },
		})
		if r.Tried += out.Tried; out.Exhausted {
			r.Tried, r.Exhausted = out.Tried, true // the same candidates in either round
		}
		if len(out.Promising) > 0 {
			promising, r.nearest = out.Promising, nil // the scenario of the last round is nearer
		} else if len(promising) == 0 {
			r.nearest = out.Nearest
		}
		if err != nil {
			return p.conclude(ctx, r, promising, &o, err)
		}
		if out.Exhausted && len(out.Promising) <= o.Ranked {
			break // all there is will be ranked: a better scenario changes nothing
		}
		if len(out.Promising) == 0 {
			continue
		}
		starts = nil
		for _, f := range out.Promising {
			starts = append(starts, f.At)
		}
		// The scenario of the next round is that of the longest running so far:
		// the first of the front, since run time is the first aim.
		if reference, err = p.Space.Design(promising[0].At); err != nil {
			return p.conclude(ctx, r, promising, &o, err)
		}
	}
	return p.conclude(ctx, r, promising, &o, nil)
}

// checked is what a check of the design as it stands finds.
func checked(d *design.Design) error {
	if problems := d.Check(); len(problems) > 0 {
		return problems
	}
	return nil
}

// evaluate turns a screen into what the evolution asks for.
func (p *Problem) evaluate(screen Screen, scenario *predict.Scenario) Evaluate {
	return func(ctx context.Context, at [][]float64) ([]*Score, error) {
		figures, err := screen(ctx, p, scenario, at)
		out := make([]*Score, len(at))
		for i, f := range figures {
			if f != nil {
				s := f.score(p.Aims, f.Screened)
				out[i] = &s
			}
		}
		return out, err
	}
}

// conclude ranks, orders and confirms what was found, as far as the context
// allows.
func (p *Problem) conclude(ctx context.Context, r *Result, promising []Found, o *Options, err error) (*Result, error) {
	for _, f := range spreadOut(promising, o.Ranked) {
		c := Candidate{At: f.At}
		if c.design, _ = p.Space.Design(f.At); c.design == nil {
			continue
		}
		c.Revision = c.design.Revision()
		figures, e := p.figuresOf(context.WithoutCancel(ctx), c.design, nil, nil, true)
		if e != nil {
			return r, e
		}
		c.Figures = figures
		c.Screened = -f.Objectives[0] // run time is the first aim
		r.Front = append(r.Front, c)
	}
	if err == nil {
		err = p.rank(ctx, r, o)
	}
	p.order(r)
	if err == nil && o.Spacing > 0 && len(r.Front) > 0 {
		err = p.confirm(ctx, r, o)
	}
	r.Interrupted = err != nil
	return r, err
}

// spreadOut keeps n of the promising: those on the front before others, and of
// these the least crowded.
func spreadOut(promising []Found, n int) []Found {
	kept := best(promising, n)
	// Ordered as they came, so that the first is the longest running.
	slices.SortStableFunc(kept, func(a, b Found) int {
		return int(math.Copysign(1, a.Objectives[0]-b.Objectives[0]))
	})
	return kept
}
