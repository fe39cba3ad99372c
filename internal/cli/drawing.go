package cli

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/design"
	"meltspan/quantity"
	"meltspan/report/drawing"
	"meltspan/solid"
)

// drawingFlags are those of the drawing command.
type drawingFlags struct {
	folder, paper, date, owner, creator string
	quiet                               bool
}

// add says where drawings go, and what stands in their title blocks.
func (f *drawingFlags) add(flags *pflag.FlagSet) {
	flags.StringVar(&f.folder, "folder", "", "write into the folder `DIR`, made if need be")
	flags.StringVar(&f.date, "date", "", "put `TEXT` as date of issue on the drawings; today without it")
	flags.StringVar(&f.owner, "owner", "", "put `TEXT` as legal owner on the drawings; blank without it, to be filled in")
	flags.StringVar(&f.creator, "creator", "", "put `TEXT` as creator on the drawings; blank without it")
}

// ready sees to it that there is a folder and a date; example is a name for the
// folder.
func (f *drawingFlags) ready(cmd *cobra.Command, example string) error {
	if !cmd.Flags().Changed("date") {
		f.date = time.Now().Format(time.DateOnly)
	}
	if !cmd.Flags().Changed("folder") {
		return wrong("such as --folder "+example, "%s needs a folder to write into", cmd.Name())
	}
	return nil
}

func (s *session) drawingCommand() *cobra.Command {
	var f drawingFlags
	c := &cobra.Command{
		Use:   "drawing DESIGN",
		Short: "section drawings of the printed parts",
		Long: "Draws the printed parts of a design in section, to scale: one sheet with all of them in place, and one for " +
			"each with its dimensions, as SVG and as PDF, named after the part. Places that a check before printing does not find in order are " +
			"numbered, and told in the notes. What follows from other dimensions stands in brackets. Print at 100 % to " +
			"measure on paper.\n\n" +
			"DESIGN is a file, - for standard input, or demo or demo:NAME for a built-in example.",
		Example: "  meltspan drawing design.yaml --folder drawings\n" +
			"  meltspan drawing demo --folder drawings --paper A4 --owner \"School workshop\"\n",
		Args: arguments(1, 1, "one design", `"meltspan drawing design.yaml --folder drawings"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.ready(cmd, "drawings"); err != nil {
				return err
			}
			return s.drawing(args[0], &f)
		},
	}
	flags := c.Flags()
	f.add(flags)
	flags.StringVar(&f.paper, "paper", "", "draw on `SIZE`, A4 or A3; without it, on A4 unless A3 shows the part larger")
	flags.BoolVar(&f.quiet, "quiet", false, "do not say what was written")
	return c
}

func (s *session) drawing(name string, f *drawingFlags) error {
	s.quiet = f.quiet
	if paper := strings.ToUpper(f.paper); paper == "" || paper == drawing.A4.Name || paper == drawing.A3.Name {
		f.paper = paper
	} else {
		return wrong("A4 or A3", "--paper cannot be %s", quoted(f.paper))
	}
	d, err := s.read(name)
	if err != nil {
		return err
	}
	pieces, err := solid.Meshed(d)
	if err != nil {
		return unprintable(err)
	}
	sheets, err := s.drawings(d, pieces, solid.Check(d, pieces, nil), f)
	if err != nil {
		return err
	}
	if err := makeFolder(f.folder); err != nil {
		return err
	}
	return s.writeDrawings(f.folder, sheets)
}

// drawings draws the assembly and all parts, with marks where a check says to
// look.
func (s *session) drawings(d *design.Design, pieces []solid.Piece, findings []solid.Finding, f *drawingFlags) ([]*drawing.Drawing, error) {
	parts := solid.PartsOf(pieces)
	marks := checkMarks(findings, s.units)
	info := drawing.Info{
		Title: d.Name, Identification: d.Revision(), Owner: f.owner, Creator: f.creator, Date: f.date,
		Number: 1, Of: len(parts) + 1, Paper: f.paper, Units: s.units,
	}
	assembly, err := drawing.Assembly(parts, info)
	if err != nil {
		return nil, failed("", "cannot draw the assembly: %v", err)
	}
	out := []*drawing.Drawing{assembly}
	for i := range parts {
		info.Number, info.Marks = i+2, marks[parts[i].Name]
		sheet, err := drawing.Part(&parts[i], info)
		if err != nil {
			return nil, failed("", "cannot draw the part %s: %v", parts[i].Name, err)
		}
		out = append(out, sheet)
	}
	return out, nil
}

// checkMarks are the places, by part, that a check does not find in order.
func checkMarks(findings []solid.Finding, u quantity.Display) map[string][]drawing.Mark {
	marks := map[string][]drawing.Mark{}
	for _, f := range findings {
		if f.Place != nil && f.Verdict != solid.Fine {
			marks[f.Part] = append(marks[f.Part], drawing.Mark{At: *f.Place, Text: fmt.Sprintf("%s, %s: %s.", f.Check, f.Verdict, f.In(u))})
		}
	}
	return marks
}

// writeDrawings writes sheets as SVG and PDF and says what it wrote.
func (s *session) writeDrawings(folder string, sheets []*drawing.Drawing) error {
	var written []string
	for _, d := range sheets {
		name := "drawing-" + d.Part
		for _, form := range []struct {
			ending string
			encode func() ([]byte, error)
		}{{".svg", d.Sheet.SVG}, {".pdf", d.Sheet.PDF}} {
			data, err := form.encode()
			if err != nil {
				return err
			}
			if err := writeFile(filepath.Join(folder, name+form.ending), data); err != nil {
				return err
			}
			written = append(written, name+form.ending)
		}
	}
	s.note("wrote into %s: %s", folder, strings.Join(written, ", "))
	return nil
}
