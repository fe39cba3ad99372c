package web

import (
	"context"
	"fmt"

	"meltspan/calibrate"
	"meltspan/design"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/trial"
)

func (s *Server) calibrating(ctx context.Context, in order) (work, error) {
	if len(in.Trials) == 0 {
		return nil, bad("one trial at least", "Choose the trials to learn from.")
	}
	cases, numbers, err := s.runs(ctx, in.Trials)
	if err != nil {
		return nil, err
	}
	words := append([]string{"calibrate"}, numbers...)
	var d *design.Design
	if in.Text != "" {
		if d, err = s.parse(in.source); err != nil {
			return nil, err
		}
		words = append(words, "--for", in.called())
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		p, err := calibrate.Calibrate(ctx, cases, calibrate.Options{Progress: tell})
		if err != nil {
			return nil, err
		}
		l := &record.Learnt{Posterior: *p}
		if d != nil {
			prediction, err := p.Predict(ctx, d, calibrate.PredictOptions{})
			if err != nil {
				return nil, err
			}
			l.Predictions = append(l.Predictions, prediction)
		}
		f := &finished{Command: s.bookCommand(words...), made: madeOf(notebook.Calibration, cases, in.Trials, l)}
		f.shown = record.OfCalibration(p, l.Predictions, nil)
		return f, f.say(quantity.Display{})
	}, nil
}

// runs are trials with their designs, and their numbers as words.
func (s *Server) runs(ctx context.Context, ids []int64) (cases []calibrate.Case, numbers []string, err error) {
	for _, id := range ids {
		c, err := s.caseOf(ctx, id)
		if err != nil {
			return nil, nil, err
		}
		if c.Trial.Kind != trial.Run {
			return nil, nil, bad("runs only", fmt.Sprintf("Trial %d is no run: a %s characterises the load by itself.", id, c.Trial.Kind))
		}
		cases, numbers = append(cases, c), append(numbers, fmt.Sprint(id))
	}
	return cases, numbers, nil
}

// weighing compares two trials at common room conditions, by what both taught.
func (s *Server) weighing(ctx context.Context, in order) (work, error) {
	if len(in.Trials) != 2 {
		return nil, bad("two trials", "Choose the two trials to compare.")
	}
	cases, numbers, err := s.runs(ctx, in.Trials)
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		p, err := calibrate.Calibrate(ctx, cases, calibrate.Options{Progress: tell})
		if err != nil {
			return nil, err
		}
		c, err := p.Compare(ctx, cases, calibrate.CompareOptions{})
		if err != nil {
			return nil, err
		}
		f := &finished{Command: s.bookCommand(append([]string{"trial", "compare"}, numbers...)...), made: madeOf(notebook.TrialComparison, cases, in.Trials, c)}
		f.shown = record.OfTrials(c)
		return f, f.say(quantity.Display{})
	}, nil
}
