package cli

import (
	"slices"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/quantity"
)

// withUnits are the commands that print or draw temperatures or lengths, and so
// let the reader choose their units. JSON and files for machines (CSV, 3MF, STL)
// take no notice.
var withUnits = []string{
	"check", "predict", "compare", "section", "vary", "search", "next", "estimate", "parts", "drawing",
	"trial record", "trial import", "trial show", "trial live", "trial spot", "trial compare",
	"notebook results", "bench", "calibrate", "forecast", "report", "assumptions", "materials",
}

// addUnits gives those commands the option, the same for all.
func (s *session) addUnits(parent *cobra.Command) {
	for _, c := range parent.Commands() {
		if slices.Contains(withUnits, called(c)) {
			c.Flags().Var((*unitsFlag)(&s.units), "units", "show temperatures and lengths in `UNITS`: degC or degF, mm or in, such as degF,in")
		}
		s.addUnits(c)
	}
}

// unitsFlag reads the units of the reader from the command line.
type unitsFlag quantity.Display

var _ pflag.Value = (*unitsFlag)(nil)

func (f *unitsFlag) String() string { return quantity.Display(*f).String() }

func (f *unitsFlag) Type() string { return "units" }

func (f *unitsFlag) Set(text string) error {
	u, err := quantity.ParseDisplay(text)
	if err == nil {
		*f = unitsFlag(u)
	}
	return err
}
