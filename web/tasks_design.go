package web

import (
	"context"
	"errors"
	"fmt"
	"math"

	"meltspan/network"
	"meltspan/notebook"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/result"
)

func (s *Server) predicting(_ context.Context, in order) (work, error) {
	d, err := s.parse(in.source)
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		a, err := predict.Predict(ctx, d, predict.Options{Samples: in.Samples, Progress: func(done, of int) { tell("sample", done, of) }})
		if a == nil {
			return nil, err
		}
		words := []string{"predict", in.called()}
		if in.Samples > 0 {
			words = append(words, "--samples", fmt.Sprint(in.Samples))
		}
		f := &finished{Command: command(words...), made: made{kind: notebook.Prediction, answer: a, revision: d.Revision(), designs: []source{in.source}}}
		f.shown = record.OfPrediction(a, d)
		return f, errors.Join(err, f.say(quantity.Display{}))
	}, nil
}

func (s *Server) comparing(_ context.Context, in order) (work, error) {
	a, err := s.parse(in.source)
	if err != nil {
		return nil, err
	}
	b, second, err := s.stored(in.Other)
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		c, err := predict.Compare(ctx, a, b, predict.Options{Samples: in.Samples, Progress: func(done, of int) { tell("sample", done, of) }})
		if c == nil {
			return nil, err
		}
		f := &finished{Command: command("compare", in.called(), second.called()),
			made: made{kind: notebook.DesignComparison, answer: c, revision: a.Revision(), inputs: map[string]any{"other_revision": b.Revision()}, designs: []source{in.source, second}}}
		f.shown = record.OfComparison(c)
		return f, errors.Join(err, f.say(quantity.Display{}))
	}, nil
}

// varying runs the design along one input, or over two.
func (s *Server) varying(_ context.Context, in order) (work, error) {
	d, err := s.parse(in.source)
	if err != nil {
		return nil, err
	}
	if n := len(in.Vary); n < 1 || n > 2 {
		return nil, bad("one or two", fmt.Sprintf("Run time is shown along one input or over two, not %d.", n))
	}
	words := []string{"vary", in.called()}
	var ranges [][3]string
	for _, v := range in.Vary {
		ranges, words = append(ranges, [3]string{v.Path, v.From, v.To}), append(words, v.Path, v.From, v.To)
	}
	knobs, values, err := predict.Along(d, ranges, in.Steps)
	if err != nil {
		return nil, err
	}
	if in.Steps != 0 {
		words = append(words, "--steps", fmt.Sprint(in.Steps))
	}
	if in.Samples > 0 {
		words = append(words, "--samples", fmt.Sprint(in.Samples))
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		v, err := predict.Vary(ctx, d, knobs, values, predict.Options{Samples: in.Samples, Progress: func(done, of int) { tell("sample", done, of) }})
		if v == nil {
			return nil, err
		}
		f := &finished{Command: command(append(words, "--pictures", "pictures")...), source: in.source,
			made: made{kind: notebook.Variation, answer: v, revision: d.Revision(), designs: []source{in.source}}}
		s.varies(f, v)
		return f, errors.Join(err, f.say(quantity.Display{}))
	}, nil
}

// mapOf is a variation as a table whose cells open.
func mapOf(u quantity.Display, v *predict.Variation) *valueMap {
	out := &valueMap{}
	for k := range v.Axes {
		a := &v.Axes[k]
		axis := mapAxis{Path: a.Path, About: a.About, Now: -1}
		for i, x := range a.Values {
			if axis.Labels = append(axis.Labels, labelIn(u, a, x)); x == a.Now {
				axis.Now = i
			}
		}
		out.Axes = append(out.Axes, axis)
	}
	for i := range v.Points {
		p := &v.Points[i]
		c := mapCell{Impossible: p.Impossible, Longest: i == v.Longest, Safest: i == v.Safest}
		if p.Impossible == "" && p.Band.Samples > 0 {
			c.Median, c.Low, c.High = aboutTime(p.Band.Median), aboutTime(p.Band.Low), aboutTime(p.Band.High)
			c.Early = fmt.Sprintf("%.0f %%", 100*p.Early)
		}
		out.Cells = append(out.Cells, c)
	}
	return out
}

// aboutTime is a time to five minutes: a band of some hundred samples knows no
// better.
func aboutTime(seconds float64) string { return quantity.FormatDuration(math.Round(seconds/300) * 300) }

// sectioning follows a trial on the fine section, and in three dimensions where
// that is asked for.
func (s *Server) sectioning(_ context.Context, in order) (work, error) {
	d, err := s.parse(in.source)
	if err != nil {
		return nil, err
	}
	spacing, frames, words := sectionSpacing, sectionFrames, []string{"section", in.called()}
	build := network.BuildSection
	if in.Around != "" {
		v, err := quantity.Parse(in.Around, quantity.Length)
		if err != nil || !(v.SI >= finestAround*(1-1e-9) && v.SI <= coarsestAround) {
			return nil, bad("1 mm to 10 mm; the command line goes finer", "The cells in three dimensions cannot be "+clip(in.Around)+".")
		}
		spacing, frames, words = v.SI, roundFrames, append(words, "--in-3d", in.Around)
		build = network.BuildRound
	}
	fine, err := build(d, spacing)
	switch {
	case errors.Is(err, network.ErrNothingRound):
		return nil, bad("the section alone; three dimensions are for ribs across cavities, pegs, and up to twelve separate pieces of ice",
			"Nothing in this design is repeated round its axis, so three dimensions show no more than the section.")
	case err != nil:
		return nil, bad("", err.Error())
	}
	words = append(words, "--frames", fmt.Sprint(frames), "--pictures", "pictures")
	return func(ctx context.Context, tell teller) (*finished, error) {
		coarse, err := nominal(ctx, d)
		if err != nil {
			return nil, err
		}
		minutes := int(coarse.Simulated/60) + 1
		run, err := fine.Run(ctx, network.Options{Course: true, Frames: frames, Progress: func(at float64) { tell("minute", min(int(at/60), minutes), minutes) }})
		if run == nil || run.Section == nil || len(run.Section.Frames) == 0 {
			return nil, errors.Join(err, ctx.Err())
		}
		all := &result.Depths{Network: coarse}
		if in.Around == "" {
			all.Section = run
		} else {
			all.Round = run
		}
		f := &finished{Command: command(words...), made: made{kind: notebook.SectionRun, answer: all, revision: d.Revision(), designs: []source{in.source}}}
		if failed := f.follows(all); failed != nil {
			return nil, errors.Join(err, failed)
		}
		return f, errors.Join(err, f.say(quantity.Display{}))
	}, nil
}

// Cells in three dimensions, m: finer ones take minutes and gigabytes.
const (
	finestAround   = 1e-3
	coarsestAround = 10e-3
)
