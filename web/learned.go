package web

import (
	"bytes"
	"context"
	"encoding/json"
	"runtime/debug"
	"slices"
	"time"

	"meltspan/calibrate"
	"meltspan/notebook"
	"meltspan/report"
)

// calibrationKind is under which the notebook keeps calibrations; the commands
// keep theirs alike.
const calibrationKind = "calibration"

// keep puts a calibration into the notebook, with what made it.
func (s *Server) keep(ctx context.Context, p *calibrate.Posterior, cases []calibrate.Case, trials []int64) (int64, error) {
	n, err := s.existing(ctx)
	if err != nil {
		return 0, err
	}
	var payload bytes.Buffer
	if err := report.JSON(&payload, p); err != nil {
		return 0, err
	}
	revisions := make([]string, len(cases))
	for i, c := range cases {
		revisions[i] = c.Design.Revision()
	}
	inputs, err := json.Marshal(map[string]any{"trials": trials, "revisions": revisions, "seed": 1, "by": "page"})
	if err != nil {
		return 0, err
	}
	revision := revisions[0]
	if slices.ContainsFunc(revisions, func(r string) bool { return r != revision }) {
		revision = "" // of several designs
	}
	sorted := slices.Sorted(slices.Values(trials))
	return n.Keep(ctx, notebook.Result{Kind: calibrationKind, Made: float64(time.Now().UnixMilli()) / 1000, Code: code(), Revision: revision, Trials: sorted, Inputs: inputs, Payload: payload.Bytes()})
}

// code is the version of the program, as exactly as it is known.
func code() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	out := "meltspan " + info.Main.Version
	for _, x := range info.Settings {
		if x.Key == "vcs.revision" || x.Key == "vcs.modified" && x.Value == "true" {
			out += " " + x.Key + "=" + x.Value
		}
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
	list, err := n.Results(ctx, calibrationKind)
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
