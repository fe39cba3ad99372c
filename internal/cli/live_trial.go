package cli

import (
	"strconv"

	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/trial"
)

// trialLabel is how a trial is called in answers.
func trialLabel(id int64, t *trial.Trial) string {
	number := strconv.FormatInt(id, 10)
	if name := "trial " + number; t.Name == name || t.Name == "" {
		return name
	}
	return "trial " + number + " (" + t.Name + ")"
}

// stalling is what a trial's design, as it was in the trial, says of its load's
// stall; stated is what the user says instead, "" for nothing.
func (s *session) stalling(n *notebook.Notebook, t *trial.Trial, stated string) (trial.Stalling, error) {
	var out trial.Stalling
	d, err := record.DesignOf(s.ctx, n, t)
	if err == nil && d != nil {
		d, err = t.Arranged(d)
	}
	switch {
	case err != nil:
		return out, err
	case d != nil:
		out = trial.StallingOf(d)
	}
	if stated == "" {
		return out, nil
	}
	v, err := parseFlag("stall-difference", stated, quantity.TemperatureDifference)
	if err == nil && !(v.SI > 0) {
		err = wrong(`more than 0, such as --stall-difference "6 K +- 0.5 K"`, "--stall-difference cannot be %s", quoted(stated))
	}
	out.Difference, out.Uncertainty, out.Starting = v.SI, v.Spread, 0
	return out, err
}
