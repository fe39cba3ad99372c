package cli

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"meltspan/calibrate"
	"meltspan/internal/textpage"
	"meltspan/notebook"
	"meltspan/record"
	"meltspan/trial"
)

// trialComparison is what the command gives as JSON.
type trialComparison struct {
	Number     int64                 `json:"number"`
	Learned    string                `json:"learned_from"`
	Comparison *calibrate.Comparison `json:"comparison"`
}

// Draws of the calibration that a comparison makes for itself: its corrections
// are ratios, which need less than run times do.
const ownDraws = 800

func (s *session) trialCompareCommand() *cobra.Command {
	var f learnFlags
	var learned string
	var common []string
	var runs int
	c := &cobra.Command{
		Use:   "compare A B [TRIAL]...",
		Short: "compare trials fairly, each corrected to common conditions",
		Long: "Brings trials to common conditions with the calibrated model, each from its own logged room and settings, and says by how much one runs longer than the other and how surely, " +
			"the uncertainty of the correction in it. Trials of one design tell how much repeats scatter; without any, that is assumed and said.\n\n" +
			"The model is calibrated on the trials themselves, unless --learned names a calibration that is there. Common conditions are the mean room of the trials unless --common names others.\n\n" +
			"A and B are numbers or names of runs whose stall was seen. Designs are compared by \"meltspan compare\".",
		Example: "  meltspan trial compare 1 2\n  meltspan trial compare \"thin wall\" \"thick wall\" --learned latest\n" +
			"  meltspan trial compare 1 2 --common \"room.temperature=22 degC\"\n",
		Args: arguments(2, 20, "two trials or more", `"meltspan trial compare 1 2"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.check(cmd.Flags()); err != nil {
				return err
			}
			if err := within("runs", runs, leastSamples, mostSamples); err != nil {
				return err
			}
			conditions, err := settings(nil, common)
			if err != nil {
				return err
			}
			return s.withCases(&f, args, func(n *notebook.Notebook, cases []keptCase) error {
				return s.trialCompare(n, cases, learned, conditions, runs, &f)
			})
		},
	}
	f.add(c.Flags(), "run times as seen and as corrected")
	c.Flags().StringVar(&learned, "learned", "", learnedUsage)
	c.Flags().StringArrayVar(&common, "common", nil, "a common condition `PATH=VALUE`, such as \"room.temperature=22 degC\"; as often as needed")
	c.Flags().IntVar(&runs, "runs", 200, "run each trial `N` times as it was and under the common conditions")
	return c
}

func (s *session) trialCompare(n *notebook.Notebook, cases []keptCase, learned string, common []trial.Setting, runs int, f *learnFlags) error {
	for _, c := range cases {
		if c.Trial.Kind != trial.Run || c.Trial.Event(trial.Stalled) == nil {
			return wrong(fmt.Sprintf(`a run whose stall was seen; if it was: meltspan trial event %d stalled "6 h 40 min"`, c.number), "trial %d, %s, has no time of the stall", c.number, c.Trial.Name)
		}
	}
	show, clear := s.stages()
	a := trialComparison{}
	p, from, err := s.modelFor(cases, learned, f, show)
	if err != nil {
		clear()
		return err
	}
	a.Learned = from
	a.Comparison, err = p.Compare(s.ctx, bare(cases), calibrate.CompareOptions{Common: common, Draws: runs, Seed: f.seed,
		Progress: func(done, of int) { show("correcting", done, of) }})
	clear()
	if err != nil {
		return lacking(err)
	}
	options := map[string]any{"learned_from": from, "common": common, "runs": runs, "seed": f.seed}
	if a.Number, err = s.keepResult(n, notebook.TrialComparison, cases, options, a.Comparison); err != nil {
		return err
	}
	var page textpage.Page
	page.Paraf(2, 2, "The model: %s. Kept as result %d in %s.", from, a.Number, f.notebook)
	return s.deliver(&runFlags{json: f.json, pictures: f.pictures}, &a, record.OfTrials(a.Comparison), page.String())
}

// modelFor is the calibration named, or one on the trials themselves.
func (s *session) modelFor(cases []keptCase, learned string, f *learnFlags, show func(string, int, int)) (*calibrate.Posterior, string, error) {
	if learned != "" {
		p, err := s.learned(learned, f.notebook)
		if err != nil {
			return nil, "", err
		}
		return p.Posterior, p.from, nil
	}
	p, err := calibrate.Calibrate(s.ctx, bare(cases), calibrate.Options{Seed: f.seed, Draws: ownDraws, Progress: show})
	switch {
	case errors.Is(err, context.Canceled):
		return nil, "", err
	case err != nil:
		return nil, "", lacking(err)
	}
	return p, "calibrated on these trials", nil
}
