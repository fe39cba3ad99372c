package document

import (
	"context"
	"sync"
	"testing"

	"meltspan/calibrate"
	"meltspan/calibrate/demo"
	"meltspan/design"
	"meltspan/network"
	"meltspan/report"
	"meltspan/trial"
)

// source is that of a report with everything in it, on the invented trials that
// come with the program: few samples, coarse cells and few draws, so that it is
// quick; nothing is held against its numbers.
var source = sync.OnceValues(func() (Source, error) {
	ctx := context.Background()
	s := Source{File: "stand-1.yaml", Notebook: "trials.notebook", Date: "2026-02-01", Author: "A. Builder", Samples: 20, Draws: 30, Spacing: 5e-3}
	var cases []calibrate.Case
	for i, name := range []string{"trial 1", "trial 2"} {
		c, err := demo.Case(name)
		if err != nil {
			return s, err
		}
		d, err := c.Trial.Arranged(c.Design)
		if err != nil {
			return s, err
		}
		m, err := network.Build(d)
		if err != nil {
			return s, err
		}
		run, err := m.Run(ctx, network.Options{Course: true})
		if err != nil {
			return s, err
		}
		view := &report.TrialView{Number: int64(i + 1), Trial: *c.Trial, Series: report.ViewSeries(c.Trial.Series), Prediction: run, Stall: trial.StallingOf(d).Difference}
		view.Trial.Revision = c.Design.Revision()
		s.Trials = append(s.Trials, Trial{View: view, Design: c.Design})
		cases = append(cases, c)
	}
	var err error
	if s.Text, err = demo.Files.ReadFile("stand-1.yaml"); err != nil {
		return s, err
	}
	s.Design = cases[0].Design
	p, err := calibrate.Calibrate(ctx, cases[:1], calibrate.Options{Most: 1, Chains: 2, Draws: 50})
	if err != nil {
		return s, err
	}
	s.Calibration = &Calibration{Number: 1, Code: "a test", Trials: []int64{1}, Posterior: p}
	return s, nil
})

// whole is that report, made once.
var whole = sync.OnceValues(func() (*Document, error) {
	s, err := source()
	if err != nil {
		return nil, err
	}
	return Make(context.Background(), s)
})

func wholeDocument(t *testing.T) *Document {
	t.Helper()
	d, err := whole()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// plain is a report of a design alone.
func plain(t *testing.T, d *design.Design) *Document {
	t.Helper()
	doc, err := Make(t.Context(), Source{Design: d, Samples: 20})
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func parsed(t *testing.T, text string) *design.Design {
	t.Helper()
	d, err := design.Parse("test.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}
