package predict

import (
	"context"
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"

	"meltspan/design"
	"meltspan/network"
	"meltspan/quantity"
	"meltspan/result"
)

// plan says which column of the common draws each input of two designs takes.
// An input that both have takes the same column, so that what is unknown about
// one is unknown in the same way about the other: the material, the engine,
// the correlations. What belongs to one trial (weighing, setting up) gets a
// column for each design; so does the room, unless both designs state the same,
// which is how one asks which of two stands is better on the same day.
type plan struct {
	a, b         []int
	names        []Influence // by column
	shared       int
	onlyA, onlyB int
}

func planOf(a, b []variable, sameStore bool) plan {
	var p plan
	column := map[string]int{}
	of := map[string]variable{}
	add := func(v variable) int {
		p.names = append(p.names, Influence{Path: v.Path, About: v.About, Kind: v.Kind, Value: v.Value})
		return len(p.names) - 1
	}
	for _, v := range a {
		c := add(v)
		p.a = append(p.a, c)
		column[v.Path], of[v.Path] = c, v
		p.names[c].Of = "A"
	}
	for _, v := range b {
		if c, both := column[v.Path]; both && common(v, of[v.Path], sameStore) {
			p.b = append(p.b, c)
			p.names[c].Of = ""
			p.shared++
			continue
		}
		c := add(v)
		p.names[c].Of = "B"
		p.b = append(p.b, c)
		p.onlyB++
	}
	p.onlyA = len(a) - p.shared
	return p
}

// common reports whether an input that both designs have is one unknown: not
// what belongs to a trial, unless it is the same room; not the properties of
// two different stores.
func common(a, b variable, sameStore bool) bool {
	switch {
	case strings.HasPrefix(a.Path, "room."):
		return !a.Own || a.Value.SI == b.Value.SI && a.Value.Spread == b.Value.Spread
	case a.Path == "store.melting_point" || a.Path == "store.latent_heat":
		return sameStore
	}
	return !a.Own
}

// Compare runs two designs on the same draws of what is unknown about both,
// and gives the ratio and the difference of their run times with bands of
// their own. When the context is cancelled it returns what was computed so
// far, together with the context's error.
func Compare(ctx context.Context, a, b *design.Design, o Options) (*Comparison, error) {
	o.complete()
	runA, err := nominal(ctx, a, o)
	if err != nil {
		return nil, err
	}
	runB, err := nominal(ctx, b, o)
	if err != nil {
		return nil, err
	}
	c := &Comparison{
		A: a.Name, B: b.Name, RevisionA: runA.Revision, RevisionB: runB.Revision,
		RunA: runA, RunB: runB, NominalA: runA.RunTime, NominalB: runB.RunTime,
	}
	va, err := variables(a)
	if err != nil {
		return nil, err
	}
	vb, err := variables(b)
	if err != nil {
		return nil, err
	}
	p := planOf(va, vb, a.Store.Substance == b.Store.Substance)
	c.Shared, c.OnlyA, c.OnlyB = p.shared, p.onlyA, p.onlyB
	z := deviates(o.Samples, len(p.names), o.Seed)
	out := sweep(ctx, []subject{{a, va, p.a, a.ColdStore()}, {b, vb, p.b, b.ColdStore()}}, z, o.Horizon, o.Progress)
	c.BandA, _ = runBands(out[0], o.Seed)
	c.BandB, _ = runBands(out[1], o.Seed)
	c.join(p, z, out[0], out[1], o)

	stepsA, changeA := changes(ctx, a, va, c.NominalA, o.Horizon)
	stepsB, changeB := changes(ctx, b, vb, c.NominalB, o.Horizon)
	for i, column := range p.b {
		p.names[column].Step, p.names[column].Change = stepsB[i], changeB[i]
	}
	for i, column := range p.a {
		n := &p.names[column]
		n.Step, n.Change = stepsA[i], (1+n.Change)/(1+changeA[i])-1
	}
	c.RatioInputs = ranked(p.names)
	c.caution()
	return c, ctx.Err()
}

func nominal(ctx context.Context, d *design.Design, o Options) (*result.Run, error) {
	m, err := network.Build(d)
	if err != nil {
		return nil, err
	}
	return m.Run(ctx, network.Options{Horizon: o.Horizon, Course: true})
}

// join compares the designs draw by draw. Draws in which the first never
// starts have no ratio: they enter as infinite, or are left out where neither
// starts, so that the quantiles stay honest.
func (c *Comparison) join(p plan, z *mat.Dense, outA, outB []outcome, o Options) {
	var ratios, differences, logs []float64
	var rows []int
	longer, pairs := 0.0, 0.0
	for i := range outA {
		if !outA[i].done || !outB[i].done {
			continue
		}
		ta, tb := outA[i].runTime, outB[i].runTime
		pairs++
		differences = append(differences, tb-ta)
		switch {
		case tb > ta:
			longer++
		case tb == ta:
			longer += 0.5
		}
		if ta > 0 {
			ratios = append(ratios, tb/ta)
			if tb > 0 {
				logs, rows = append(logs, math.Log(tb/ta)), append(rows, i)
			}
		} else if tb > 0 {
			ratios = append(ratios, math.Inf(1))
		}
	}
	c.Ratio = bandOf(ratios, quantity.Fraction, len(outA), o.Seed)
	c.Difference = bandOf(differences, quantity.Time, len(outA), o.Seed)
	if pairs > 0 {
		c.Longer = longer / pairs
	}
	var share []float64
	share, c.Residual = shares(z, rows, logs)
	for j := range p.names {
		p.names[j].VarianceShare = share[j]
	}
}

// caution says where the comparison means less than it seems.
func (c *Comparison) caution() {
	if c.BandA.StillRunning > 0.02 || c.BandB.StillRunning > 0.02 {
		c.Cautions = append(c.Cautions, "Some samples were still running when the time simulated ran out: ratio and difference are drawn towards none. Simulate longer.")
	}
	if c.BandA.NeverStarted > 0.02 {
		c.Cautions = append(c.Cautions, "Where A never starts there is no ratio; such samples count as an infinite one.")
	}
	if c.Ratio.Samples > 0 && c.Ratio.Samples < fewSamples {
		c.Cautions = append(c.Cautions, tooFew(c.Ratio.Samples))
	}
}
