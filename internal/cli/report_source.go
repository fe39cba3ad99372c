package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"meltspan/calibrate"
	"meltspan/notebook"
	"meltspan/record"
	"meltspan/report"
	"meltspan/report/document"
)

// gather reads design, trials and calibration for a report.
func (s *session) gather(name string, f *reportFlags, to *document.Source) (err error) {
	n, err := s.notebookFor(name, f)
	if err != nil {
		return err
	}
	if n == nil {
		return s.gatherDesign(name, nil, to)
	}
	defer closing(n, &err)
	if err := s.gatherDesign(name, n, to); err != nil {
		return err
	}
	to.Notebook = filepath.Base(f.notebook)
	if to.Trials, err = s.gatherTrials(n, f.trials, to.Design.Revision()); err != nil {
		return err
	}
	to.Calibration, err = s.gatherCalibration(n, f.calibration, to.Trials)
	return err
}

// revisionName is how a design in a notebook can be named.
var revisionName = regexp.MustCompile(`^[0-9a-f]{12}$`)

// inNotebook reports whether a name is that of a revision rather than a file.
func inNotebook(name string) bool {
	_, err := os.Stat(name)
	return revisionName.MatchString(name) && errors.Is(err, fs.ErrNotExist)
}

// notebookFor opens the notebook, nil where there is none and none is needed.
func (s *session) notebookFor(name string, f *reportFlags) (*notebook.Notebook, error) {
	if _, err := os.Stat(f.notebook); errors.Is(err, fs.ErrNotExist) && !f.notebookAsked && !inNotebook(name) {
		if f.trials != "" && f.trials != "none" || f.calibration != "" && f.calibration != "none" {
			return nil, wrong("--notebook FILE", "there is no notebook %s to take trials or a calibration from", quoted(f.notebook))
		}
		return nil, nil
	}
	return s.openNotebook(f.notebook)
}

func (s *session) gatherDesign(name string, n *notebook.Notebook, to *document.Source) error {
	if n != nil && inNotebook(name) {
		kept, err := n.Design(s.ctx, name)
		if err != nil {
			return err
		}
		to.File, to.Text = kept.File, kept.Text
		to.Design, err = kept.Parse()
		return err
	}
	k, err := s.readToKeep(name)
	if err != nil {
		return err
	}
	to.File, to.Text, to.Design = filepath.Base(k.File), k.Text, k.Design
	return nil
}

// gatherTrials reads the trials of a list, or those of a revision when there is
// no list.
func (s *session) gatherTrials(n *notebook.Notebook, list, revision string) ([]document.Trial, error) {
	heads, err := n.Trials(s.ctx)
	if err != nil {
		return nil, err
	}
	var numbers []int64
	switch list {
	case "none":
	case "", "all":
		for _, h := range heads {
			if list == "all" || h.Trial.Revision == revision {
				numbers = append(numbers, h.ID)
			}
		}
	default:
		for word := range strings.SplitSeq(list, ",") {
			id, err := n.Find(s.ctx, strings.TrimSpace(word))
			if err != nil {
				return nil, err
			}
			if !slices.Contains(numbers, id) {
				numbers = append(numbers, id)
			}
		}
	}
	var out []document.Trial
	for _, id := range numbers {
		t := document.Trial{}
		if t.View, err = record.View(s.ctx, n, id, true); err != nil {
			return nil, err
		}
		if revision := t.View.Trial.Revision; revision != "" {
			kept, err := n.Design(s.ctx, revision)
			if err != nil {
				return nil, err
			}
			// A design that can no longer be read leaves its trial uncompared; the
			// view says why it is not predicted.
			if d, err := kept.Parse(); err == nil {
				t.Design = d
			}
		}
		out = append(out, t)
	}
	return out, nil
}

// gatherCalibration reads the calibration of a number or, without one, the
// latest that used any of the trials and was not interrupted; nil when there is
// none or none is wanted.
func (s *session) gatherCalibration(n *notebook.Notebook, which string, trials []document.Trial) (*document.Calibration, error) {
	if which == "none" {
		return nil, nil
	}
	kept, err := n.Results(s.ctx, notebook.Calibration)
	if err != nil {
		return nil, err
	}
	used := func(r notebook.Result) bool {
		return slices.ContainsFunc(trials, func(t document.Trial) bool { return slices.Contains(r.Trials, t.View.Number) })
	}
	var known []string
	for _, r := range slices.Backward(kept) {
		number := strconv.FormatInt(r.ID, 10)
		if which == number || which == "" && used(r) {
			c, err := calibrationOf(r)
			if which == "" && err == nil && c.Posterior.Sampling.Interrupted {
				continue
			}
			return c, err
		}
		known = append(known, number)
	}
	if which == "" {
		return nil, nil
	}
	right := "none: the notebook keeps no calibration"
	if len(known) > 0 {
		right = "one of " + strings.Join(known, ", ") + ", or none"
	}
	return nil, wrong(right, "there is no calibration %s in the notebook", quoted(which))
}

func calibrationOf(r notebook.Result) (*document.Calibration, error) {
	c := &document.Calibration{Number: r.ID, Code: r.Code, Trials: r.Trials, Posterior: &calibrate.Posterior{}}
	if err := report.ReadJSON(r.Payload, c.Posterior); err != nil {
		return nil, fmt.Errorf("calibration %d of the notebook: %w", r.ID, err)
	}
	if err := c.Posterior.Valid(); err != nil {
		return nil, failed("--calibration none", "calibration %d of the notebook cannot be used: %v", r.ID, err)
	}
	return c, nil
}
