package cli

import (
	"errors"

	"github.com/spf13/cobra"

	"meltspan/report"
	"meltspan/solid"
)

func (s *session) estimateCommand() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "estimate DESIGN",
		Short: "what printing and freezing take",
		Long: "Estimates plastic, filament and printing time of every printed part, from its section and the section " +
			"print of the design, and how long the freezer takes for the charge. After +-: one standard uncertainty.\n\n" +
			"DESIGN is a file, - for standard input, or demo or demo:NAME for a built-in example.",
		Example: "  meltspan estimate design.yaml\n",
		Args:    arguments(1, 1, "one design", `"meltspan estimate design.yaml"`),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := s.read(args[0])
			if err != nil {
				return err
			}
			e, err := report.EstimateOf(d)
			if err != nil {
				return unprintable(err)
			}
			if asJSON {
				return report.JSON(s.out, e)
			}
			return report.EstimateText(s.out, s.units, e, d)
		},
	}
	jsonFlag(c.Flags(), &asJSON)
	return c
}

// unprintable words why a design has no printed parts.
func unprintable(err error) error {
	var f *solid.Fault
	if errors.As(err, &f) {
		return wrong(f.Right, "%s: %s", f.Key, f.What)
	}
	return wrong("a design whose parts can be printed", "%v", err)
}
