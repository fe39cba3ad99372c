package cli

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"meltspan/predict"
	"meltspan/record"
)

func (s *session) predictCommand() *cobra.Command {
	var a answerFlags
	var known knownFlags
	c := &cobra.Command{
		Use:   "predict DESIGN",
		Short: "predict run time, heat, condensate and cautions",
		Long: "Predicts how long the device keeps running, with the band that the uncertain inputs leave, " +
			"and says where the heat goes, what will sweat or spill, how far the design is from its ceiling, " +
			"and which inputs matter most.\n\n" +
			"--learned predicts with what trials taught, kept by \"meltspan calibrate\": the design may be another than those tried.\n\n" +
			"DESIGN is a file, - for standard input, or demo or demo:NAME for a built-in example " +
			"(./demo for a file of that name).",
		Example: "  meltspan predict design.yaml\n" +
			"  meltspan predict demo --pictures pictures\n" +
			"  meltspan predict design.yaml --json > answer.json\n" +
			"  meltspan predict design.yaml --learned latest\n",
		Args: arguments(1, 1, "one design", `"meltspan predict design.yaml", or "meltspan predict demo"; two designs are for compare`),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := a.check(cmd.Flags()); err != nil {
				return err
			}
			return s.predict(args[0], &a, &known)
		},
	}
	a.add(c.Flags(), "chart, heat flow, band and influences", predict.DefaultSamples)
	known.add(c.Flags())
	return c
}

func (s *session) predict(name string, a *answerFlags, known *knownFlags) error {
	o, clear := s.options(a)
	d, err := s.read(name)
	if err != nil {
		return err
	}
	if o.Known, err = s.known(known, d, a.seed); err != nil {
		return err
	}
	answer, err := predict.Predict(s.ctx, d, o)
	clear()
	if answer == nil {
		return err
	}
	if err := s.deliver(&a.runFlags, answer, record.OfPrediction(answer, d)); err != nil {
		return err
	}
	return interrupted(err, answer.Band)
}

// interrupted says how much of the answer there is when the user ended it.
func interrupted(err error, b predict.Band) error {
	if !errors.Is(err, context.Canceled) {
		return err
	}
	switch {
	case b.Samples == 0:
		return &fault{exitInterrupted, "interrupted before the first sample was done: there is no band", ""}
	case b.Samples < leastSamples:
		return &fault{exitInterrupted, fmt.Sprintf("interrupted: the band rests on %d of %d samples only, too few for its ends to mean much", b.Samples, b.Asked), ""}
	}
	return &fault{exitInterrupted, fmt.Sprintf("interrupted: the band rests on %d of %d samples", b.Samples, b.Asked), ""}
}
