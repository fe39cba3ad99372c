package search

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"meltspan/design"
	"meltspan/network"
	"meltspan/predict"
)

// Candidate is one design with what it comes to.
type Candidate struct {
	At       []float64 `json:"at"` // values of the inputs, SI
	Revision string    `json:"revision"`
	Figures  `json:"figures"`
	Ranked   *predict.Ranked `json:"ranked,omitempty"` // on common draws; nil: only screened

	design *design.Design
}

// RunTime is the one to judge the candidate by: that at the quantile on common
// draws, or where it was only screened that in the scenario.
func (c *Candidate) RunTime() float64 {
	if c.Ranked != nil {
		return c.Ranked.Quantile
	}
	return c.Screened
}

// Result is what a search found.
type Result struct {
	Design   string  `json:"design"`
	Inputs   []Input `json:"inputs"`
	Limits   Limits  `json:"limits"`
	Aims     []Aim   `json:"aims"`
	Quantile float64 `json:"quantile"`

	Base    Candidate     `json:"base"`              // the design as it is
	Front   []Candidate   `json:"front"`             // longest run time first; one aim leaves one design
	Beaten  []Candidate   `json:"beaten"`            // promising at first, and beaten when ranked
	Nearest *Candidate    `json:"nearest,omitempty"` // what violates least, when nothing holds
	Confirm *Confirmation `json:"confirmation,omitempty"`

	Tried       int    `json:"candidates"`
	Asked       int    `json:"candidates_asked"`
	Exhausted   bool   `json:"space_used_up"`
	Samples     int    `json:"samples"`
	Seed        uint64 `json:"seed"`
	Interrupted bool   `json:"interrupted"`

	nearest *Found
}

// Confirmation looks at the base design and the best once more, by means that
// had no part in the choice: other draws, and the fine section.
type Confirmation struct {
	Base        predict.Ranked  `json:"base"` // on draws of their own
	Best        predict.Ranked  `json:"best"`
	Samples     int             `json:"samples"`
	Seed        uint64          `json:"seed"`
	Spacing     float64         `json:"spacing_m"`
	SectionBase float64         `json:"section_base_s"` // nominal run time on the section
	SectionBest float64         `json:"section_best_s"`
	CeilingBase predict.Ceiling `json:"ceiling_base"`
	CeilingBest predict.Ceiling `json:"ceiling_best"`
}

func (p *Problem) newResult(o *Options) *Result {
	return &Result{
		Design: p.Space.Base.Name, Inputs: p.Space.Inputs, Limits: p.Limits, Aims: p.Aims, Quantile: p.Quantile,
		Asked: o.Candidates, Samples: o.Samples, Seed: o.Seed,
	}
}

// Name is what the design of a candidate of the front is called.
func (r *Result) Name(i int) string { return fmt.Sprintf("%s found %d", r.Design, i+1) }

// DesignOf is the design of a candidate of the front, ready to be written.
func (r *Result) DesignOf(i int) *design.Design {
	d := r.Front[i].design.Clone()
	d.Name = r.Name(i)
	d.Note = fmt.Sprintf("Found by a search from the design %q (revision %s); a prediction, not a measurement.", r.Design, r.Base.Revision)
	return d
}

// rank runs base and front on common draws.
func (p *Problem) rank(ctx context.Context, r *Result, o *Options) error {
	designs := []*design.Design{p.Space.Base}
	for i := range r.Front {
		designs = append(designs, r.Front[i].design)
	}
	if r.Base.Impossible != "" {
		designs = designs[1:]
	}
	if len(designs) == 0 {
		return nil
	}
	ranked, err := predict.Bands(ctx, p.Space.Base, designs, p.Quantile, predict.Options{
		Samples: o.Samples, Seed: o.Seed, Horizon: p.Horizon, Progress: func(done, of int) { o.Progress(StageRanking, done, of) },
	})
	if err != nil {
		return err // too few draws in common: the screened figures stay
	}
	if r.Base.Impossible == "" {
		r.Base.Ranked, ranked = &ranked[0], ranked[1:]
	}
	for i := range r.Front {
		c := &r.Front[i]
		c.Ranked = &ranked[i]
		c.Breaches = slices.DeleteFunc(c.Breaches, func(b Breach) bool { return b.Limit == "run_time" })
		p.atLeast(c.Ranked.Quantile, (*breaches)(&c.Breaches))
	}
	return nil
}

// order parts the front from what it beats, the longest run time first.
func (p *Problem) order(r *Result) {
	var all []Found
	for i := range r.Front {
		c := &r.Front[i]
		all = append(all, Found{c.At, c.score(p.Aims, c.RunTime())})
	}
	var front, rest []Candidate
	for i := range r.Front {
		if all[i].Violation > 0 || beaten(all[i], all) {
			rest = append(rest, r.Front[i])
		} else {
			front = append(front, r.Front[i])
		}
	}
	longest := func(a, b Candidate) int { return cmp.Compare(b.RunTime(), a.RunTime()) }
	slices.SortStableFunc(front, longest)
	slices.SortStableFunc(rest, longest)
	r.Front, r.Beaten = front, rest
	if len(front) == 0 && r.nearest != nil {
		p.nearest(r)
	}
}

// nearest tells what stands in the way where nothing holds.
func (p *Problem) nearest(r *Result) {
	d, failed := p.Space.Design(r.nearest.At)
	f, err := p.figuresOf(context.Background(), d, failed, nil, true)
	if err == nil {
		r.Nearest = &Candidate{At: r.nearest.At, Revision: d.Revision(), Figures: f, design: d}
	}
}

// confirm looks once more at base and best.
func (p *Problem) confirm(ctx context.Context, r *Result, o *Options) error {
	c := &Confirmation{Samples: 2 * o.Samples, Seed: o.Seed + 1000, Spacing: o.Spacing, SectionBase: math.NaN()}
	best := r.Front[0].design
	designs := []*design.Design{best}
	if r.Base.Impossible == "" {
		designs = []*design.Design{p.Space.Base, best}
	}
	ranked, err := predict.Bands(ctx, p.Space.Base, designs, p.Quantile, predict.Options{
		Samples: c.Samples, Seed: c.Seed, Horizon: p.Horizon, Progress: func(done, of int) { o.Progress(StageRanking, done, of) },
	})
	if err != nil {
		return err
	}
	c.Base, c.Best = ranked[0], ranked[len(ranked)-1]
	times := make([]float64, len(designs))
	ceilings := make([]predict.Ceiling, len(designs))
	for i, d := range designs {
		o.Progress(StageConfirming, i, len(designs))
		fine, err := network.BuildSection(d, o.Spacing)
		if err != nil {
			return fmt.Errorf("search: %w", err)
		}
		run, err := fine.Run(ctx, network.Options{Horizon: p.Horizon})
		if err != nil {
			return err
		}
		times[i] = run.RunTime
		coarse, err := network.Build(d)
		if err != nil {
			return fmt.Errorf("search: %w", err)
		}
		if run, err = coarse.Run(ctx, network.Options{Horizon: p.Horizon}); err != nil {
			return err
		}
		if ceilings[i], err = predict.CeilingOf(d, run); err != nil {
			return err
		}
	}
	c.SectionBest, c.CeilingBest = times[len(times)-1], ceilings[len(times)-1]
	if len(times) > 1 {
		c.SectionBase, c.CeilingBase = times[0], ceilings[0]
	}
	r.Confirm = c
	return nil
}
