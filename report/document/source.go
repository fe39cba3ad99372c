package document

import (
	"context"
	"errors"
	"fmt"

	"meltspan/calibrate"
	"meltspan/design"
	"meltspan/network"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/result"
	"meltspan/solid"
	"meltspan/trial"
)

// Source is what a report is made from. Design must be set; all else may be
// left out.
type Source struct {
	Design   *design.Design
	File     string // the name of its file
	Text     []byte // as it was written
	Notebook string // where the trials were kept, in words
	Date     string // as it shall stand; there is no clock here
	Author   string
	Units    quantity.Display // of all numbers but those in the design as written

	Trials      []Trial
	Calibration *Calibration

	Samples  int     // of the band; 0: predict.DefaultSamples
	Seed     uint64  // of the band and of all that follows; 0: predict.DefaultSeed
	Draws    int     // of what the trials taught; 0: as many as package calibrate has by itself
	Spacing  float64 // of the section, m; 0 leaves the section out
	Progress func(what string, done, of int)
}

// Trial is one of the trials to be told of.
type Trial struct {
	View   *report.TrialView
	Design *design.Design // that it was of; nil when not known
}

// isRun reports whether the trial is a run of the whole device, as one of no
// stated kind is.
func (t *Trial) isRun() bool { return t.View.Trial.Kind == trial.Run || t.View.Trial.Kind == "" }

// Calibration is what trials taught, as it was kept.
type Calibration struct {
	Number    int64   // of the result in the notebook
	Code      string  // version of the program that made it
	Trials    []int64 // used, by number
	Posterior *calibrate.Posterior
}

// contents is what the report tells, worked out.
type contents struct {
	*Source
	answer     *predict.Answer
	section    *result.Run
	parts      []solid.Part // empty when there are none to print
	findings   []solid.Finding
	bill       []solid.Item
	estimates  *report.Estimates
	unprinted  string // why there are no parts
	learnt     *calibrate.Prediction
	comparison *calibrate.Comparison
	uncompared string // why there is no comparison
}

// sectionFrames is how many moments of the section are kept: the beginning, the
// end and what lies between.
const sectionFrames = 5

// Make works out all that the report tells and words it. When the context is
// cancelled it returns the context's error and no document: half a report would
// pass for a whole one.
func Make(ctx context.Context, s Source) (*Document, error) {
	if s.Design == nil {
		return nil, errors.New("document: no design was given")
	}
	if s.Seed == 0 {
		s.Seed = predict.DefaultSeed
	}
	c := &contents{Source: &s}
	for _, step := range []func(context.Context) error{c.predict, c.follow, c.build, c.learn, c.compare} {
		if err := step(ctx); err != nil {
			return nil, err
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	return c.document()
}

func (c *contents) progress(what string) func(done, of int) {
	if c.Progress == nil {
		return nil
	}
	return func(done, of int) { c.Progress(what, done, of) }
}

func (c *contents) predict(ctx context.Context) (err error) {
	c.answer, err = predict.Predict(ctx, c.Design, predict.Options{Samples: c.Samples, Seed: c.Seed, Progress: c.progress("prediction: run")})
	return err
}

// follow runs the nominal trial on the fine section.
func (c *contents) follow(ctx context.Context) error {
	if c.Spacing <= 0 {
		return nil
	}
	m, err := network.BuildSection(c.Design, c.Spacing)
	if err != nil {
		return fmt.Errorf("document: %w", err)
	}
	o := network.Options{Course: true, Frames: sectionFrames}
	if report := c.progress("section: minute"); report != nil {
		all := int(c.answer.Nominal.Simulated/60) + 1
		o.Progress = func(simulated float64) { report(int(simulated/60), all) }
	}
	c.section, err = m.Run(ctx, o)
	return err
}

// build makes the printed parts and checks them. A design whose parts cannot be
// printed still has a report.
func (c *contents) build(context.Context) error {
	var fault *solid.Fault
	parts, err := solid.Sections(c.Design)
	var pieces []solid.Piece
	for i := 0; err == nil && i < len(parts); i++ {
		var mesh *solid.Mesh
		mesh, err = solid.NewMesh(&parts[i], c.Design.Print.ChordError.SI)
		pieces = append(pieces, solid.Piece{Part: &parts[i], Mesh: mesh})
	}
	if err == nil {
		c.estimates, err = report.EstimateOf(c.Design)
	}
	switch {
	case errors.As(err, &fault):
		c.unprinted = fault.Key + ": " + fault.What + "; right: " + fault.Right
		return nil
	case err != nil:
		c.unprinted = err.Error()
		return nil
	}
	c.parts, c.findings, c.bill = parts, solid.Check(c.Design, pieces, c.answer.Nominal), solid.Bill(c.Design, parts)
	return nil
}

// learn says what a kept calibration makes of this design.
func (c *contents) learn(ctx context.Context) (err error) {
	if c.Calibration == nil {
		return nil
	}
	c.learnt, err = c.Calibration.Posterior.Predict(ctx, c.Design, calibrate.PredictOptions{Draws: c.Draws, Seed: c.Seed, Progress: c.progress("calibrated prediction: run")})
	return err
}

// compare brings the trials whose end was seen to common conditions.
func (c *contents) compare(ctx context.Context) error {
	var cases []calibrate.Case
	for _, t := range c.Trials {
		if _, _, open := t.View.RunTime(); t.Design != nil && t.isRun() && !open && t.View.Trial.Event(trial.Stalled) != nil {
			cases = append(cases, calibrate.Case{Design: t.Design, Trial: &t.View.Trial})
		}
	}
	switch {
	case len(cases) < 2:
		c.uncompared = "it takes two runs of known design whose stall was seen"
		return nil
	case c.Calibration == nil:
		c.uncompared = "no calibration is kept with which run times could be corrected to common conditions"
		return nil
	}
	var err error
	c.comparison, err = c.Calibration.Posterior.Compare(ctx, cases, calibrate.CompareOptions{Draws: c.Draws, Seed: c.Seed, Progress: c.progress("comparison: run")})
	if err != nil && ctx.Err() == nil {
		c.uncompared, c.comparison = err.Error(), nil
		return nil
	}
	return err
}
