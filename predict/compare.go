package predict

import (
	"context"
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"

	"meltspan/design"
	"meltspan/network"
	"meltspan/quantity"
)

// plan says which column of the common draws each input of two designs takes.
// An input that both have takes the same column, so that what is unknown about
// one is unknown in the same way about the other: the material, the engine,
// the correlations. What belongs to one trial (weighing, setting up, its room)
// gets a column for each design.
type plan struct {
	a, b         []int
	names        []Influence // by column
	shared       int
	onlyA, onlyB int
}

func planOf(a, b []variable) plan {
	var p plan
	column := map[string]int{}
	add := func(v variable) int {
		p.names = append(p.names, Influence{Path: v.Path, About: v.About, Kind: v.Kind, Value: v.Value})
		return len(p.names) - 1
	}
	for _, v := range a {
		c := add(v)
		p.a = append(p.a, c)
		if !v.Own {
			column[v.Path] = c
		}
	}
	p.onlyA = len(a)
	for _, v := range b {
		if c, both := column[v.Path]; both {
			p.b = append(p.b, c)
			p.shared++
			p.onlyA--
			continue
		}
		c := add(v)
		if v.Own {
			p.names[c].About += " (second design)"
		}
		p.b = append(p.b, c)
		p.onlyB++
	}
	return p
}

// Compare runs two designs on the same draws of what is unknown about both,
// and gives the ratio and the difference of their run times with bands of
// their own. When the context is cancelled it returns what was computed so
// far, together with the context's error.
func Compare(ctx context.Context, a, b *design.Design, o Options) (*Comparison, error) {
	o.complete()
	c := &Comparison{A: a.Name, B: b.Name}
	nominal := func(d *design.Design) (float64, error) {
		m, err := network.Build(d)
		if err != nil {
			return 0, err
		}
		run, err := m.Run(ctx, network.Options{Horizon: o.Horizon, Course: true})
		if err != nil {
			return 0, err
		}
		if d == a {
			c.RunA = run
		} else {
			c.RunB = run
		}
		return run.RunTime, nil
	}
	var err error
	if c.NominalA, err = nominal(a); err != nil {
		return nil, err
	}
	if c.NominalB, err = nominal(b); err != nil {
		return nil, err
	}
	va, err := variables(a)
	if err != nil {
		return nil, err
	}
	vb, err := variables(b)
	if err != nil {
		return nil, err
	}
	p := planOf(va, vb)
	c.Shared, c.OnlyA, c.OnlyB = p.shared, p.onlyA, p.onlyB
	z := deviates(o.Samples, len(p.names), o.Seed)
	half := func(offset int) func(done, of int) {
		if o.Progress == nil {
			return nil
		}
		return func(done, of int) { o.Progress(offset+done, 2*of) }
	}
	outA := sweep(ctx, a, va, p.a, z, o.Horizon, half(0))
	outB := sweep(ctx, b, vb, p.b, z, o.Horizon, half(o.Samples))
	c.BandA, _ = runBands(outA, o.Seed)
	c.BandB, _ = runBands(outB, o.Seed)
	c.join(p, z, outA, outB, o)
	return c, ctx.Err()
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
	share, _ := shares(z, rows, logs)
	for j := range p.names {
		p.names[j].VarianceShare = share[j]
	}
	c.RatioInputs = p.names
	sort.SliceStable(c.RatioInputs, func(i, j int) bool {
		return c.RatioInputs[i].VarianceShare > c.RatioInputs[j].VarianceShare
	})
}
