package cli

import (
	"github.com/spf13/cobra"

	"meltspan/predict"
	"meltspan/record"
)

func (s *session) compareCommand() *cobra.Command {
	var a answerFlags
	c := &cobra.Command{
		Use:   "compare A B",
		Short: "compare two designs on the same unknowns",
		Long: "Runs two designs on the same draws of what is unknown about both, and gives the ratio and the " +
			"difference of their run times with bands of their own. The ratio is better known than either " +
			"run time, because most of what is unknown is common to both.\n\n" +
			"A and B are files, - for standard input (once), or demo or demo:NAME for built-in examples.",
		Example: "  meltspan compare solid.yaml hollow.yaml\n" +
			"  meltspan compare design.yaml new.yaml --pictures pictures\n",
		Args: arguments(2, 2, "two designs", `"meltspan compare one.yaml other.yaml"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			if args[0] == stdinName && args[1] == stdinName {
				return wrong("one of the two from a file", "both designs cannot come by standard input")
			}
			if err := a.check(cmd.Flags()); err != nil {
				return err
			}
			return s.compare(args[0], args[1], &a)
		},
	}
	a.add(c.Flags(), "both bands, the ratio and both courses", predict.DefaultSamples)
	return c
}

func (s *session) compare(first, second string, a *answerFlags) error {
	o, clear := s.options(a)
	dA, err := s.read(first)
	if err != nil {
		return err
	}
	dB, err := s.read(second)
	if err != nil {
		return err
	}
	c, err := predict.Compare(s.ctx, dA, dB, o)
	clear()
	if c == nil {
		return err
	}
	if err := s.deliver(&a.runFlags, c, record.OfComparison(c)); err != nil {
		return err
	}
	return interrupted(err, c.Ratio)
}
