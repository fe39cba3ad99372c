package web

import (
	"context"
	"slices"

	"meltspan/calibrate"
	"meltspan/notebook"
)

// madeOf is what the notebook keeps of something that trials taught.
func madeOf(kind string, cases []calibrate.Case, trials []int64, answer any) made {
	revisions := make([]string, len(cases))
	for i, c := range cases {
		revisions[i] = c.Design.Revision()
	}
	out := made{kind: kind, answer: answer, revision: revisions[0], trials: slices.Sorted(slices.Values(trials)), inputs: map[string]any{"revisions": revisions, "seed": 1}}
	if slices.ContainsFunc(revisions, func(r string) bool { return r != out.revision }) {
		out.revision = "" // of several designs
	}
	return out
}

// latest is the calibration made last that did not learn from a trial itself,
// whose readings would count twice.
func (s *Server) latest(ctx context.Context, without int64) (*calibrate.Posterior, int64, error) {
	n, err := s.existing(ctx)
	if err != nil {
		return nil, 0, err
	}
	list, err := n.Results(ctx, notebook.Calibration)
	if err != nil {
		return nil, 0, err
	}
	for _, r := range slices.Backward(list) {
		if slices.Contains(r.Trials, without) {
			continue
		}
		p, err := posterior(&r)
		if err != nil {
			return nil, 0, err
		}
		if !p.Sampling.Interrupted {
			return p, r.ID, nil
		}
	}
	return nil, 0, bad("calibrate on other trials first", "The notebook holds no calibration on trials other than this one.")
}
