package cli

import (
	"bytes"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"meltspan/design"
	"meltspan/network"
	"meltspan/report"
	"meltspan/result"
	"meltspan/solid"
)

// partsFlags are those of the parts command.
type partsFlags struct {
	drawingFlags
	json bool
}

// partsAnswer is its JSON.
type partsAnswer struct {
	Design   string          `json:"design"`
	Revision string          `json:"revision"`
	Worst    solid.Verdict   `json:"worst_verdict"`
	Checks   []solid.Finding `json:"checks"`
	Bill     []solid.Item    `json:"bill"`
	Files    []string        `json:"files"`
}

func (s *session) partsCommand() *cobra.Command {
	var f partsFlags
	c := &cobra.Command{
		Use:   "parts DESIGN",
		Short: "the folder to print: parts, drawings, checks, bill",
		Long: "Makes the printed parts of a design, checks them before anything is printed, and writes into a folder: all " +
			"parts in their printing position (parts.3mf) and each by itself (NAME.stl), a drawing of each (drawing-NAME.svg and .pdf), " +
			"a picture of all cut open (body.svg and .png), the checks (checks.txt), what printing and freezing take (estimate.txt) and the bill of parts (bill.txt, .csv and .json). " +
			"Files of these names are replaced, each as a whole or not at all. Prints the checks that ask for a look.\n\n" +
			"The parts follow the section that the predictions use. Printer, clearance and the error of facets stand in the " +
			"section print of the design.\n\n" +
			"DESIGN is a file, - for standard input, or demo or demo:NAME for a built-in example.",
		Example: "  meltspan parts design.yaml --folder print\n" +
			"  meltspan parts demo --folder print --json\n",
		Args: arguments(1, 1, "one design", `"meltspan parts design.yaml --folder print"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.ready(cmd, "print"); err != nil {
				return err
			}
			return s.parts(args[0], &f)
		},
	}
	flags := c.Flags()
	jsonFlag(flags, &f.json)
	f.add(flags)
	flags.BoolVar(&f.quiet, "quiet", false, "no notes, only the answer and errors")
	return c
}

// file is one to be written.
type file struct {
	name string
	data []byte
}

func (s *session) parts(name string, f *partsFlags) error {
	s.quiet = f.quiet
	d, err := s.read(name)
	if err != nil {
		return err
	}
	pieces, err := solid.Meshed(d)
	if err != nil {
		return unprintable(err)
	}
	if err := makeFolder(f.folder); err != nil {
		return err
	}
	run, err := nominalRun(s, d)
	if err != nil {
		return err
	}
	a := partsAnswer{Design: d.Name, Revision: d.Revision(), Checks: solid.Check(d, pieces, run)}
	a.Worst = solid.Worst(a.Checks)
	parts := solid.PartsOf(pieces)
	a.Bill = solid.Bill(d, parts)
	files, err := s.partsFiles(d, parts, pieces, &a, &f.drawingFlags)
	if err != nil {
		return err
	}
	// Everything is made before anything is written.
	for _, x := range files {
		if err := s.ctx.Err(); err != nil {
			return &fault{exitInterrupted, "interrupted: some files in " + quoted(f.folder) + " are not written anew", ""}
		}
		if err := writeFile(filepath.Join(f.folder, x.name), x.data); err != nil {
			return err
		}
		a.Files = append(a.Files, x.name)
	}
	if f.json {
		return report.JSON(s.out, a)
	}
	s.printParts(&a, f.folder)
	return nil
}

// nominalRun predicts the nominal trial, which says what condenses.
func nominalRun(s *session, d *design.Design) (*result.Run, error) {
	m, err := network.Build(d)
	if err != nil {
		return nil, err
	}
	return m.Run(s.ctx, network.Options{})
}

// partsFiles makes all files of the folder.
func (s *session) partsFiles(d *design.Design, parts []solid.Part, pieces []solid.Piece, a *partsAnswer, f *drawingFlags) ([]file, error) {
	var out []file
	var failed error
	add := func(name string, make func() ([]byte, error)) {
		if failed != nil {
			return
		}
		data, err := make()
		failed = err
		out = append(out, file{name, data})
	}
	text := func(write func(io.Writer) error) func() ([]byte, error) {
		return func() ([]byte, error) {
			var b bytes.Buffer
			err := write(&b)
			return b.Bytes(), err
		}
	}
	onBed := make([]solid.Piece, len(pieces))
	for i, p := range pieces {
		onBed[i] = solid.Piece{Part: p.Part, Mesh: p.Part.Printed(p.Mesh)}
	}
	origin := solid.Origin{Design: d.Name, Revision: a.Revision, Program: "Meltspan"}
	add("parts.3mf", func() ([]byte, error) { return solid.ThreeMF(origin, onBed) })
	for _, p := range onBed {
		add(p.Part.Name+".stl", func() ([]byte, error) { return p.Mesh.STL(p.Part.Label + ", revision " + a.Revision), nil })
	}
	sheets, err := s.drawings(d, pieces, a.Checks, f)
	if err != nil {
		return nil, err
	}
	for _, sheet := range sheets {
		add("drawing-"+sheet.Part+".svg", sheet.Sheet.SVG)
		add("drawing-"+sheet.Part+".pdf", sheet.Sheet.PDF)
	}
	body, err := report.BodyPicture(s.units, d.Name, a.Revision, parts)
	if err != nil {
		return nil, err
	}
	add("body.svg", body.SVG)
	add("body.png", body.PNG)
	add("checks.txt", text(func(w io.Writer) error { return report.ChecksText(w, s.units, d.Name, a.Revision, a.Checks) }))
	add("bill.txt", text(func(w io.Writer) error { return report.BillText(w, s.units, d.Name, a.Revision, a.Bill) }))
	takes, err := report.EstimateOf(d)
	if err != nil {
		return nil, unprintable(err)
	}
	add("estimate.txt", text(func(w io.Writer) error { return report.EstimateText(w, s.units, takes, d) }))
	add("bill.csv", func() ([]byte, error) { return solid.BillCSV(a.Bill) })
	add("bill.json", text(func(w io.Writer) error { return report.JSON(w, a.Bill) }))
	return out, failed
}

// printParts prints what people want to know at once; the rest is in the folder.
func (s *session) printParts(a *partsAnswer, folder string) {
	report.PartsText(s.out, s.units, a.Design, a.Revision, a.Bill, a.Checks) // a failure stays in s.out
	s.note("wrote into %s: %s", folder, strings.Join(a.Files, ", "))
	if old := leftOver(folder, a.Files); len(old) > 0 {
		s.note("%s: not of this revision, and left as they are", strings.Join(old, ", "))
	}
}

// leftOver are the parts and drawings in a folder that this run did not write.
func leftOver(folder string, written []string) []string {
	var old []string
	for _, pattern := range []string{"*.stl", "drawing-*.svg", "drawing-*.pdf"} {
		found, err := filepath.Glob(filepath.Join(folder, pattern))
		if err != nil {
			continue // only a bad pattern fails
		}
		for _, name := range found {
			if base := filepath.Base(name); !slices.Contains(written, base) {
				old = append(old, base)
			}
		}
	}
	return old
}
