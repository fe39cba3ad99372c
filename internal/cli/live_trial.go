package cli

import (
	"context"
	"errors"
	"io/fs"
	"strconv"
	"strings"

	"meltspan/design"
	"meltspan/notebook"
	"meltspan/trial"
)

// withTrial opens a notebook, finds a trial in it by number or name, and does
// the work of f.
func (s *session) withTrial(file, called string, f func(n *notebook.Notebook, id int64) error) error {
	n, err := notebook.OpenExisting(s.ctx, file)
	if err != nil {
		return notebookFault(file, err)
	}
	defer n.Close()
	id, err := n.Find(s.ctx, called)
	if err != nil {
		return notebookFault(file, err)
	}
	return f(n, id)
}

// notebookFault words what a notebook says for those at the shell.
func notebookFault(file string, err error) error {
	var known *notebook.Problem
	var mistake design.Problem
	switch {
	case errors.As(err, &known):
		return wrong(known.Right, "%s", known.What)
	case errors.As(err, &mistake):
		return wrong(mistake.Right, "%s", mistake.What)
	case errors.Is(err, fs.ErrNotExist):
		return wrong("the file of a notebook, by --notebook", "there is no notebook %s", quoted(file))
	}
	return err
}

// trialLabel is how a trial is called in answers.
func trialLabel(id int64, t *trial.Trial) string {
	number := strconv.FormatInt(id, 10)
	if name := "trial " + number; t.Name == name || t.Name == "" {
		return name
	}
	return "trial " + number + " (" + t.Name + ")"
}

// stalling is what a trial's design says of its load's stall; stated is what
// the user says instead, "" for nothing.
func stallingOf(ctx context.Context, n *notebook.Notebook, t *trial.Trial, stated string) (trial.Stalling, error) {
	var out trial.Stalling
	if t.Revision != "" {
		kept, err := n.Design(ctx, t.Revision)
		if err != nil {
			return out, err
		}
		d, err := kept.Parse()
		if err != nil {
			return out, err
		}
		out.Hot = !d.ColdStore()
		if e := d.Load.Engine; e != nil {
			out.Difference, out.Uncertainty, out.Starting = e.StallDifference.SI, e.StallDifference.Spread, e.StartDifference.SI
		}
	}
	if strings.TrimSpace(stated) != "" {
		v, err := parseFlag("stall-difference", stated, "temperature difference")
		if err != nil {
			return out, err
		}
		if !(v.SI > 0) {
			return out, wrong(`more than 0, such as --stall-difference "6 K +- 0.5 K"`, "--stall-difference cannot be %s", quoted(stated))
		}
		out.Difference, out.Uncertainty, out.Starting = v.SI, v.Spread, 0
	}
	return out, nil
}
