package cli

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"meltspan/network"
	"meltspan/predict"
	"meltspan/report/document"
)

// reportFlags are those of the report command.
type reportFlags struct {
	answerFlags
	notebook, folder, name string
	date, author           string
	trials, calibration    string
	spacing                string
	short                  bool // no section
	notebookAsked          bool // a notebook that is named must be there
}

func (s *session) reportCommand() *cobra.Command {
	var f reportFlags
	c := &cobra.Command{
		Use:   "report DESIGN",
		Short: "one document to hand on: HTML and PDF",
		Long: "Makes one report of a design, as a web page that needs nothing beside itself and as a PDF: drawing, prediction with " +
			"its band, heat, section, condensate, freezing, printing and checks; the trials of the notebook with their logs, what they taught and how they " +
			"compare; what was measured, fitted and guessed; sources and cautions.\n\n" +
			"The same design, notebook and options give the same bytes: no date stands in it unless --date gives one.\n\n" +
			"DESIGN is a file, - for standard input, demo or demo:NAME for a built-in example, or the revision of a design in the notebook. " +
			"Without --trials, the report holds the trials of that revision.",
		Example: "  meltspan report design.yaml --folder report\n" +
			"  meltspan report 95510764ea30 --notebook trials.notebook --trials all \\\n    --folder report --date 2026-02-01\n",
		Args: arguments(1, 1, "one design", `"meltspan report design.yaml --folder report"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			if !cmd.Flags().Changed("folder") {
				return wrong("such as --folder report", "report needs a folder to write into")
			}
			f.notebookAsked = cmd.Flags().Changed("notebook")
			f.hours = network.DefaultHorizon / secondsPerHour
			if err := f.answerFlags.check(cmd.Flags()); err != nil {
				return err
			}
			return s.report(args[0], &f)
		},
	}
	flags := c.Flags()
	flags.StringVar(&f.folder, "folder", "", "write into the folder `DIR`, made if need be: report.html and report.pdf")
	notebookFlag(flags, &f.notebook)
	flags.StringVar(&f.trials, "trials", "", "tell of the trials `LIST`: numbers and names with commas between, all, or none")
	flags.StringVar(&f.calibration, "calibration", "", "take the calibration `NUMBER` of the notebook, or none; without it, the latest that used any of the trials")
	flags.StringVar(&f.date, "date", "", "put `TEXT` as date; left out without it")
	flags.StringVar(&f.author, "author", "", "put `TEXT` as author; left out without it")
	flags.StringVar(&f.name, "name", "report", "call the files `NAME`.html and NAME.pdf")
	flags.StringVar(&f.spacing, "spacing", defaultSpacing, "cells of the section no wider than `LENGTH`, 0.25 mm to 10 mm")
	flags.BoolVar(&f.short, "no-section", false, "leave the section with its temperatures out")
	f.addDraws(flags, predict.DefaultSamples)
	flags.BoolVar(&f.quiet, "quiet", false, "no progress and no notes")
	return c
}

func (s *session) report(name string, f *reportFlags) (err error) {
	s.quiet = f.quiet
	if f.name == "" || f.name != filepath.Base(f.name) {
		return wrong("a name without a folder, such as --name report; --folder names the folder", "--name cannot be %s", quoted(f.name))
	}
	source := document.Source{Date: f.date, Author: f.author, Samples: f.samples, Seed: f.seed, Units: s.units}
	if !f.short {
		if source.Spacing, err = checkSpacing("spacing", f.spacing); err != nil {
			return err
		}
	}
	if err := s.gather(name, f, &source); err != nil {
		return unfinished(err)
	}
	if err := makeFolder(f.folder); err != nil {
		return err
	}
	show, clear := s.stages()
	source.Progress = show
	made, err := document.Make(s.ctx, source)
	clear()
	if err != nil {
		return unfinished(err)
	}
	files, err := reportFiles(made, f.name)
	if err != nil {
		return err
	}
	if err := s.ctx.Err(); err != nil {
		return unfinished(err)
	}
	for _, x := range files {
		if err := writeFile(filepath.Join(f.folder, x.name), x.data); err != nil {
			return err
		}
	}
	fmt.Fprintf(s.out, "%s, revision %s: %s and %s in %s\n", source.Design.Name, source.Design.Revision(), files[0].name, files[1].name, f.folder)
	return nil
}

// reportFiles are both forms, made before either is written.
func reportFiles(d *document.Document, name string) ([]file, error) {
	page, err := d.HTML()
	if err != nil {
		return nil, err
	}
	paper, err := d.PDF()
	if err != nil {
		return nil, err
	}
	return []file{{name + ".html", page}, {name + ".pdf", paper}}, nil
}

// unfinished tells that an interrupt left the folder as it was.
func unfinished(err error) error {
	if errors.Is(err, context.Canceled) {
		return &fault{exitInterrupted, "interrupted: nothing was written; an older report stays as it is", ""}
	}
	return err
}
