package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"meltspan/calibrate"
	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/notebook"
	"meltspan/record"
	"meltspan/trial"
)

// calibrateFlags are those of the calibrate command.
type calibrateFlags struct {
	learnFlags
	designs, blind, follow []string
	chains, draws, most    int
	runs                   int
}

// calibrationAnswer is what the command gives as JSON.
type calibrationAnswer struct {
	Number      int64                   `json:"number"` // in the notebook
	Calibration *calibrate.Posterior    `json:"calibration"`
	Predictions []*calibrate.Prediction `json:"predictions"`
	Blind       []*calibrate.Blind      `json:"blind"`
	Unlike      []string                `json:"stated_otherwise,omitempty"`
}

// Limits of what a calibration may be asked for. Below the least draws R-hat
// means nothing.
const (
	leastChainDraws, mostChainDraws = 100, 100000
	leastChains, mostChains         = 2, 32
	mostFollowed                    = 16
	othersName                      = "others"
)

func (s *session) calibrateCommand() *cobra.Command {
	var f calibrateFlags
	c := &cobra.Command{
		Use:   "calibrate TRIAL...",
		Short: "learn from trials what the designs leave uncertain",
		Long: "Learns from one or several trials together what their designs leave uncertain: contact, films, conductances, materials. " +
			"Each trial counts with what there is of it, a stopwatch time, logs of plates, speed and room, weighings of a blank melt, a plate heater, and with its own settings and room. " +
			"What comes out: each unknown before and after, pairs that these trials cannot tell apart, the run time before and after, and how each trial sits with the model. " +
			"The calibration is kept in the notebook, and predict, next, forecast and trial compare take it by --learned.\n\n" +
			"--for predicts other designs by it. --blind predicts other trials of the notebook from their design, settings and room alone, beside what was seen of them; \"others\" are all runs that the calibration has not seen.\n\n" +
			"TRIAL is a number or name. A bench log is read by \"meltspan bench\".",
		Example: "  meltspan calibrate 1\n  meltspan calibrate \"trial 1\" --blind others --pictures pictures\n" +
			"  meltspan calibrate 1 2 \"blank melt\" --for design.yaml\n",
		Args: arguments(1, 100, "one trial or several", `"meltspan calibrate 1", or "meltspan calibrate 1 2 3"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.check(cmd.Flags()); err != nil {
				return err
			}
			for _, err := range []error{
				within("chains", f.chains, leastChains, mostChains), within("draws", f.draws, leastChainDraws, mostChainDraws),
				within("most", f.most, 1, mostFollowed), within("runs", f.runs, leastSamples, mostSamples),
			} {
				if err != nil {
					return err
				}
			}
			return s.withCases(&f.learnFlags, args, func(n *notebook.Notebook, cases []keptCase) error { return s.calibrate(n, cases, &f) })
		},
	}
	flags := c.Flags()
	f.add(flags, "unknowns before and after, and run times")
	flags.StringArrayVar(&f.designs, "for", nil, "predict the run time of another `DESIGN` as well; as often as needed")
	flags.StringArrayVar(&f.blind, "blind", nil, "predict another `TRIAL` blind, beside what was seen of it, or others: all other runs; as often as needed")
	flags.StringArrayVar(&f.follow, "follow", nil, "follow the unknown `PATH` exactly, and only those named (those that move the data most unless given)")
	flags.IntVar(&f.most, "most", 8, fmt.Sprintf("follow `N` unknowns exactly at most, up to %d", mostFollowed))
	flags.IntVar(&f.chains, "chains", 4, "run `N` chains")
	flags.IntVar(&f.draws, "draws", 1500, "keep `N` draws of each chain")
	flags.IntVar(&f.runs, "runs", 400, "run each design `N` times before and after, for its run time")
	return c
}

func (s *session) calibrate(n *notebook.Notebook, cases []keptCase, f *calibrateFlags) error {
	if err := learnable(cases); err != nil {
		return err
	}
	blind, err := s.blindCases(n, cases, f.blind)
	if err != nil {
		return err
	}
	designs, err := s.designsFor(cases, f.designs)
	if err != nil {
		return err
	}
	o := calibrate.Options{Unknowns: f.follow, Most: f.most, Chains: f.chains, Draws: f.draws, Seed: f.seed}
	show, clear := s.stages()
	o.Progress = show
	answer := calibrationAnswer{}
	var failed error
	answer.Calibration, failed = calibrate.Calibrate(s.ctx, bare(cases), o)
	if answer.Calibration == nil {
		clear()
		return lacking(failed)
	}
	options := map[string]any{"follow": f.follow, "most": f.most, "chains": f.chains, "draws": f.draws, "seed": f.seed, "assumed_discrepancy": answer.Calibration.Discrepancy}
	if answer.Number, err = s.keepResult(n, notebook.Calibration, cases, options, answer.Calibration); err != nil {
		clear()
		return err
	}
	if failed == nil {
		failed = s.foretell(&answer, designs, blind, f, show)
	}
	clear()
	if err := s.deliver(&runFlags{json: f.json, pictures: f.pictures}, &answer,
		record.OfCalibration(answer.Calibration, answer.Predictions, answer.Blind), s.keptText(&answer, f.notebook)); err != nil {
		return err
	}
	if errors.Is(failed, context.Canceled) {
		return &fault{exitInterrupted, fmt.Sprintf("interrupted: what was done by then is shown, and kept as calibration %d", answer.Number), ""}
	}
	return failed
}

// learnable sends bench logs where they are read.
func learnable(cases []keptCase) error {
	for _, c := range cases {
		if c.Trial.Kind == trial.WarmPlate {
			return wrong(fmt.Sprintf(`meltspan bench %d --write FILE, which puts what it says into the design`, c.number),
				"trial %d, %s, is a %s: the load alone, without its stand", c.number, c.Trial.Name, c.Trial.Kind)
		}
	}
	return nil
}

// lacking words what a package says of trials that it cannot use.
func lacking(err error) error {
	if err == nil || errors.Is(err, context.Canceled) {
		return err
	}
	return wrong("", "%s", strings.TrimPrefix(err.Error(), "calibrate: "))
}

// blindCases are the trials to be foretold.
func (s *session) blindCases(n *notebook.Notebook, learned []keptCase, called []string) ([]keptCase, error) {
	var out []keptCase
	add := func(c keptCase) {
		same := func(o keptCase) bool { return o.number == c.number }
		if !slices.ContainsFunc(out, same) {
			out = append(out, c)
		}
	}
	seen := func(number int64) bool {
		return slices.ContainsFunc(learned, func(c keptCase) bool { return c.number == number })
	}
	for _, name := range called {
		if name != othersName {
			c, err := s.caseOf(n, name)
			switch {
			case err != nil:
				return nil, err
			case seen(c.number):
				return nil, wrong("trials that the calibration has not seen", "--blind %s: it is among the trials to learn from", quoted(name))
			case c.Trial.Kind != trial.Run:
				return nil, wrong("a run", "--blind %s: a %s has no run time to foretell", quoted(name), c.Trial.Kind)
			}
			add(c)
			continue
		}
		heads, err := n.Trials(s.ctx)
		if err != nil {
			return nil, err
		}
		for _, h := range heads {
			if h.Trial.Kind == trial.Run && h.Trial.Revision != "" && !seen(h.ID) {
				c, err := s.caseOf(n, fmt.Sprint(h.ID))
				if err != nil {
					return nil, err
				}
				add(c)
			}
		}
	}
	return out, nil
}

// designsFor are the designs whose run time is told: those of the trials, and
// those asked for.
func (s *session) designsFor(cases []keptCase, files []string) ([]*design.Design, error) {
	var out []*design.Design
	add := func(d *design.Design) {
		if !slices.ContainsFunc(out, func(o *design.Design) bool { return o.Revision() == d.Revision() }) {
			out = append(out, d)
		}
	}
	for _, c := range cases {
		add(c.Design)
	}
	for _, file := range files {
		d, err := s.read(file)
		if err != nil {
			return nil, err
		}
		add(d)
	}
	return out, nil
}

// foretell predicts designs and blind trials.
func (s *session) foretell(a *calibrationAnswer, designs []*design.Design, blind []keptCase, f *calibrateFlags, show func(string, int, int)) error {
	of := len(designs) + len(blind)
	for i, d := range designs {
		show("predicting designs", i, of)
		p, err := a.Calibration.Predict(s.ctx, d, calibrate.PredictOptions{Draws: f.runs, Seed: f.seed})
		if err != nil {
			return err
		}
		a.Predictions = append(a.Predictions, p)
		a.Unlike = append(a.Unlike, a.Calibration.Unlike(d)...)
	}
	for i, c := range blind {
		show("predicting trials", len(designs)+i, of)
		b, err := a.Calibration.Foretell(s.ctx, c.Case, calibrate.PredictOptions{Draws: f.runs, Seed: f.seed})
		if err != nil {
			return err
		}
		a.Blind = append(a.Blind, b)
		for _, word := range a.Calibration.Unlike(c.Design) {
			if !slices.Contains(a.Unlike, word) {
				a.Unlike = append(a.Unlike, word)
			}
		}
	}
	return nil
}

// keptText says where a calibration is kept, and which designs state otherwise.
func (s *session) keptText(a *calibrationAnswer, notebook string) string {
	var p textpage.Page
	p.Blank()
	if text := unlikeText(a.Unlike); text != "" {
		p.Para(0, 2, s.units.Restate(text))
	}
	p.Paraf(0, 2, "Kept as calibration %d in %s. Use it by --learned %d.", a.Number, notebook, a.Number)
	return p.String()
}
