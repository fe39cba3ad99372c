package calibrate

import (
	"context"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// growth is the shares of a trial that a population grows through.
var growth = []float64{0.35, 0.85}

// wholly turns the draws into a population of true runs in all coordinates: from
// the chains' draws where true runs bear them out, from the prior where they do
// not.
func (s *sampler) wholly(ctx context.Context) error {
	for _, k := range s.in.subjects {
		k.keep = true
	}
	w := s.in.whole()
	b := &bridge{in: s.in, whole: w, to: w.of, source: s.source, after: sweepsKept, forget: forgetLast, sweeps: sweepsLast}
	rows := make([][]float64, s.o.Population)
	fromPrior := s.report.Efficiency < hopeless
	if !fromPrior {
		b.from = s.straight(w)
		all := s.pool()
		c, err := s.in.conditional()
		if err != nil {
			return err
		}
		for i := range rows {
			rows[i] = s.complete(all[i*len(all)/len(rows)], c)
		}
	}
	var all []particle
	var err error
	if !fromPrior {
		if all, err = b.populate(ctx, rows); err != nil {
			return err
		}
		s.report.Efficiency = effectiveShare(b.weights(all))
		s.report.Checked = len(all)
		if s.report.Efficiency >= goodEnough {
			return nil
		}
		fromPrior = s.report.Efficiency < hopelessWhole
	}
	if fromPrior {
		if all, err = s.grow(ctx, b); err != nil {
			return err
		}
	}
	s.report.Tempered, s.report.Weighted = fromPrior, !fromPrior
	if all, err = b.lead(ctx, all); err != nil {
		s.report.Tempered, s.report.Weighted = false, false
		return err
	}
	s.particles, s.last, s.checked, s.whole = nil, all, nil, w
	for i := range b.kept {
		p := w.complete(&b.kept[i], s.source)
		s.particles = append(s.particles, p)
		s.checked = append(s.checked, example{row: p.runs, value: s.in.gather(p.runs), like: b.kept[i].to})
	}
	s.report.Forgotten = b.forgotten
	s.report.Checked, s.report.Followed, s.report.Straight = len(s.checked), len(w.free), len(w.integrated)
	return nil
}

// grow leads a population from the prior through the logs as they were known at
// some shares of the trials, at absolute times: on that way the model bends
// little. b is made ready for the rest.
func (s *sampler) grow(ctx context.Context, b *bridge) ([]particle, error) {
	var before *wholeLikelihood
	var all []particle
	for _, share := range growth {
		in, err := s.in.cut(share, *s.o.Discrepancy)
		if err != nil {
			return nil, err
		}
		w := b.whole.at(in)
		step := &bridge{in: in, whole: w, to: w.of, from: before.again, source: s.source, boldness: b.boldness, boldnessRest: b.boldnessRest, onward: true}
		if all == nil {
			rows := make([][]float64, s.o.Population)
			for i := range rows {
				rows[i] = drawPrior(len(in.columns), s.source)
			}
			all, err = step.populate(ctx, rows)
		} else {
			all = step.reread(all)
		}
		if err == nil {
			all, err = step.lead(ctx, all)
		}
		s.in.runs += in.runs
		if err != nil {
			return nil, err
		}
		before, b.boldness, b.boldnessRest = w, step.boldness, step.boldnessRest
	}
	b.from = before.again
	return b.reread(all), nil
}

// straight is the likelihood that the chains' draws, completed by straight lines,
// were drawn by.
func (s *sampler) straight(w *wholeLikelihood) func(p *particle) float64 {
	var minor []int
	for _, c := range s.in.minor {
		if !slices.Contains(w.integrated, c) {
			minor = append(minor, c)
		}
	}
	slopes := s.in.part(minor)
	factor := w.spread(s.in.jacobian, s.s.error)
	return func(p *particle) float64 {
		features := s.featuresAt(s.s.local(p.row, s.in.active))
		for i, c := range minor {
			for f := range features {
				features[f] += slopes.At(f, i) * p.row[c]
			}
		}
		var white mat.Dense
		solveLower(factor, &white, mat.NewDense(len(features), 1, s.in.misfit(features)))
		return -squares(white.RawMatrix().Data) / 2
	}
}
