package predict

import (
	"context"
	"fmt"

	"meltspan/design"
	"meltspan/network"
	"meltspan/quantity"
)

// DefaultSamples is how many samples a band takes unless asked otherwise.
const DefaultSamples = 1000

// DefaultSeed fixes the samples unless asked otherwise.
const DefaultSeed = 1

// Options of a prediction. The zero value is right.
type Options struct {
	Samples  int     // 0: DefaultSamples
	Seed     uint64  // 0: DefaultSeed
	Horizon  float64 // s; 0: network.DefaultHorizon
	Known    *Draws  // what trials taught, in place of what the design says itself; nil: nothing
	Progress func(done, of int)
}

func (o *Options) complete() {
	if o.Samples <= 0 {
		o.Samples = DefaultSamples
	}
	if o.Seed == 0 {
		o.Seed = DefaultSeed
	}
	if o.Horizon <= 0 {
		o.Horizon = network.DefaultHorizon
	}
}

// Predict works out the whole answer for a design. When the context is
// cancelled it returns the answer from what was computed so far, together with
// the context's error.
func Predict(ctx context.Context, d *design.Design, o Options) (*Answer, error) {
	o.complete()
	vs, err := variables(d)
	if err != nil {
		return nil, err
	}
	know := knowledge{centre: d}
	if o.Known != nil {
		if know, err = o.Known.condition(d, vs, o.Samples); err != nil {
			return nil, err
		}
	}
	centre := know.centre
	m, err := network.Build(centre)
	if err != nil {
		return nil, err
	}
	run, err := m.Run(ctx, network.Options{Horizon: o.Horizon, Course: true})
	if err != nil {
		return nil, err
	}
	run.Revision = d.Revision()
	a := &Answer{
		Design: d.Name, Revision: run.Revision, Criterion: criterion(centre), Nominal: run,
		Power: powerOf(centre, m, run), Ceiling: ceilingOf(centre, m, run), Freezing: FreezingOf(centre),
	}

	z := deviates(o.Samples, len(vs), o.Seed)
	for i, column := range know.columns {
		z.SetCol(i, column)
	}
	columns := make([]int, len(vs))
	for i := range columns {
		columns[i] = i
	}
	outcomes := sweep(ctx, []subject{{d, vs, columns, d.ColdStore()}}, z, o.Horizon, o.Progress)[0]
	for i, factor := range know.pace {
		outcomes[i].scale(factor, o.Horizon)
	}
	a.Band, a.LastIce = runBands(outcomes, o.Seed)

	var rows []int
	var values []float64
	for i, outcome := range outcomes {
		if outcome.done {
			rows, values = append(rows, i), append(values, outcome.runTime)
		}
	}
	cold := d.ColdStore()
	a.StalledEarly = shareOf(outcomes, func(o *outcome) bool { return o.early(cold) })
	share, rest := make([]float64, len(vs)), 1.0
	switch {
	case o.Known != nil:
		a.Learned = o.Known.about()
		share, rest = sharesOfDependent(z, rows, values)
		if vs, err = variables(centre); err != nil {
			return nil, err
		}
	case len(vs) > 0:
		share, rest = shares(z, rows, values)
	}
	steps, change := changes(ctx, centre, vs, run.RunTime, o.Horizon)
	a.Inputs, a.Residual = influences(vs, steps, change, share), rest
	a.Cautions = cautions(centre, m, a)
	return a, ctx.Err()
}

// criterion says in words what ends the run.
func criterion(d *design.Design) string {
	difference := func(v quantity.Value) string { return quantity.Format(v.SI, quantity.TemperatureDifference, 3) }
	temperature := func(v quantity.Value) string { return quantity.Format(v.SI, quantity.Temperature, 3) }
	way := "above"
	if !d.ColdStore() {
		way = "below"
	}
	switch l := d.Load; {
	case l.Engine != nil:
		return fmt.Sprintf("plate difference falls below %s for good", difference(l.Engine.StallDifference))
	case l.Generator != nil:
		return fmt.Sprintf("plate difference falls below %s for good", difference(l.Generator.LeastDifference))
	case l.Sample != nil:
		return fmt.Sprintf("the sample goes %s %s for good", way, temperature(l.Sample.Limit))
	default:
		return fmt.Sprintf("the lower plate goes %s %s for good", way, temperature(l.Leak.Limit))
	}
}
