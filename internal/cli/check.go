package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/quantity"
)

func (s *session) checkCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "check DESIGN",
		Short: "read and check a design, without predicting",
		Long: "Reads a design, fills in what it leaves out, and checks that it can be built. Prints the main sizes, " +
			"or every mistake with its line and what would be right.\n\n" +
			"DESIGN is a file, - for standard input, or demo or demo:NAME for a built-in example.",
		Example: "  meltspan check design.yaml\n",
		Args:    arguments(1, 1, "one design", `"meltspan check design.yaml"`),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := s.read(args[0])
			if err != nil {
				return err
			}
			var p textpage.Page
			p.Line(label(args[0]) + ": in order")
			p.Explain(mainSizes(d, s.units))
			fmt.Fprint(s.out, p.String())
			return nil
		},
	}
}

// label is how a design is called in answers.
func label(name string) string {
	if name == stdinName {
		return stdinLabel
	}
	return name
}

// mainSizes are what a builder compares with the drawing.
func mainSizes(d *design.Design, u quantity.Display) [][]string {
	length := func(si float64) string { return u.FormatIn(si, quantity.Length, "mm", 3) }
	st, cup := &d.Stand, &d.Stand.Cup
	return [][]string{
		{"name", d.Name},
		{"revision", d.Revision()},
		{"store", storeSize(d, length)},
		{"cup", fmt.Sprintf("%s wide, %s deep", length(cup.Diameter.SI), length(cup.Depth.SI))},
		{"wall", shellSize(length, &st.Wall, (st.OuterDiameter.SI-cup.Diameter.SI)/2)},
		{"base", shellSize(length, &st.Base, st.Height.SI-cup.Depth.SI)},
		{"gap", gapSize(d, length)},
	}
}

func storeSize(d *design.Design, length func(float64) string) string {
	s := &d.Store
	charge := quantity.Format(s.Mass.SI, quantity.Mass, 4) + " of " + s.Substance
	high := length(d.StoreHeight()) + " high"
	switch s.Form {
	case design.FormBlock:
		return fmt.Sprintf("%s, a block %s wide and %s", charge, length(s.Diameter.SI), high)
	case design.FormLiquid:
		return fmt.Sprintf("%s, %s in the cup", charge, high)
	}
	return fmt.Sprintf("%s, %s of %s in a bed %s", charge, s.Form, length(s.Edge.SI), high)
}

func shellSize(length func(float64) string, s *design.Shell, thickness float64) string {
	whole := length(thickness) + " thick, "
	if s.Cavities == 0 {
		return whole + "no cavity, " + quantity.Format(s.Infill.SI, quantity.Fraction, 2) + " infill"
	}
	width := s.CavityWidth(thickness)
	if s.Cavities == 1 {
		return fmt.Sprintf("%s1 cavity of %s, filled with %s", whole, length(width), s.Filling)
	}
	return fmt.Sprintf("%s%d cavities of %s each, filled with %s", whole, s.Cavities, length(width), s.Filling)
}

func gapSize(d *design.Design, length func(float64) string) string {
	c := &d.Stand.Contact
	switch {
	case c.Mode == design.ContactPressed && d.Store.Support != design.SupportHeld &&
		d.Load.BottomPlate.Diameter.SI > d.Stand.Cup.Diameter.SI:
		return "the plate lies on the store down to the rim only, since it is wider than the cup; support: held keeps the store pressed to it"
	case c.Mode == design.ContactPressed:
		return "none: the store is pressed to the plate"
	case c.StartingGap.SI < 0:
		return "none at the start: the store stands " + length(-c.StartingGap.SI) + " above the rim"
	case c.Mode == design.ContactOnRim:
		return length(c.StartingGap.SI) + " from store to plate at the start; the plate rests on the rim"
	}
	return length(c.StartingGap.SI) + " from store to plate at the start"
}
