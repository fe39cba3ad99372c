package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"meltspan/internal/textpage"
	"meltspan/notebook"
	"meltspan/record"
)

// demoNotebook is the name that the example notebook gets.
const demoNotebook = "demo.notebook"

func (s *session) notebookDemoCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "demo [FILE]",
		Short: "write a notebook of invented trials to try things on",
		Long: "Writes a new notebook (" + demoNotebook + " unless FILE names another) of trials that nobody made: five stands of one engine, each run once, " +
			"a bench log of the engine on a warm plate, a run with a heater on the upper plate, and a weighed melt of the first stand. " +
			"The logs are made by the section model, with true values drawn from what the designs leave uncertain, and with noise, drift and scatter put on.",
		Example: "  meltspan notebook demo\n  meltspan calibrate 1 --blind others --notebook " + demoNotebook + "\n",
		Args:    arguments(0, 1, "one file", `"meltspan notebook demo", or "meltspan notebook demo other.notebook"`),
		RunE: func(_ *cobra.Command, args []string) error {
			name := demoNotebook
			if len(args) > 0 {
				name = args[0]
			}
			if err := s.writeDemo(name); err != nil {
				return err
			}
			fmt.Fprint(s.out, demoText(name))
			return nil
		},
	}
}

// writeDemo makes the notebook beside its place, so that it is there as a whole
// or not at all, and never in the place of another.
func (s *session) writeDemo(name string) (err error) {
	if name == "" {
		return wrong("the name of a new file, such as "+demoNotebook, "the name of the notebook is empty")
	}
	if _, err := os.Lstat(name); err == nil {
		return wrong("another name, such as: meltspan notebook demo other.notebook", "%s is there already", quoted(name))
	}
	part, err := os.MkdirTemp(filepath.Dir(name), "."+filepath.Base(name)+".part-*")
	if err != nil {
		return cannotWrite(name, err)
	}
	defer os.RemoveAll(part)
	target := filepath.Join(part, "notebook")
	if err := s.fillDemo(target); err != nil {
		return err
	}
	if err := os.Link(target, name); err != nil { // unlike a renaming, it never replaces what came there meanwhile
		if errors.Is(err, fs.ErrExist) {
			return wrong("another name", "%s is there by now", quoted(name))
		}
		if err := os.Rename(target, name); err != nil {
			return cannotWrite(name, err)
		}
	}
	return nil
}

func (s *session) fillDemo(target string) (err error) {
	n, err := notebook.Open(s.ctx, target)
	if err != nil {
		return err
	}
	defer closing(n, &err)
	return record.Examples(s.ctx, n)
}

func demoText(name string) string {
	var p textpage.Page
	p.Paraf(0, 2, "%s: eight invented trials, made by the section model with noise. Nobody has built any of it.", name)
	p.Blank()
	p.Line("To try, each with --notebook " + shellWord(name) + ":")
	p.Explain([][]string{
		{"meltspan trial list", "what is in it"},
		{`meltspan bench "bench log"`, "the engine, from its bench log"},
		{`meltspan bench "plate heater"`, "its conductance in watts that a meter gives"},
		{`meltspan bench "blank melt"`, "the stand's own leak"},
		{"meltspan calibrate 1 --blind others", "learn from trial 1, and foretell trials 2 to 5"},
		{"meltspan trial compare 1 2", "which runs longer, under common conditions"},
		{"meltspan forecast 3 --learned latest --against 2", "the end of trial 3, while it ran"},
	})
	return p.String()
}
