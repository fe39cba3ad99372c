package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/network"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/result"
)

// sectionFlags are those of the section command.
type sectionFlags struct {
	runFlags
	spacing string
	frames  int
}

// Limits of the flags: a section of more frames is a film nobody watches.
const (
	defaultSpacing = "1 mm"
	mostSpacing    = 0.01 // m
	mostFrames     = 200
)

// bothDepths is the section's JSON.
type bothDepths struct {
	Network *result.Run `json:"network"`
	Section *result.Run `json:"section"`
}

func (s *session) sectionCommand() *cobra.Command {
	var f sectionFlags
	c := &cobra.Command{
		Use:   "section DESIGN",
		Short: "follow a trial on a fine section of the stand",
		Long: "Runs the design, with all inputs nominal, on a fine section through the printed body, and sets the " +
			"answer beside that of the network. The pictures show where the cold goes: the section in colours with " +
			"lines of equal temperature, the outside as a thermal camera would see it, and a film of the trial.\n\n" +
			"DESIGN is a file, - for standard input, or demo or demo:NAME for a built-in example.",
		Example: "  meltspan section design.yaml --pictures pictures\n" +
			"  meltspan section demo --spacing \"0.5 mm\"\n",
		Args: arguments(1, 1, "one design", `"meltspan section design.yaml", or "meltspan section demo"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			spacing, err := f.check(cmd.Flags())
			if err != nil {
				return err
			}
			return s.section(args[0], &f, spacing)
		},
	}
	flags := c.Flags()
	f.add(flags, ": the section at each frame, its outside, and the film", func() {
		flags.StringVar(&f.spacing, "spacing", defaultSpacing, "cells of the section no wider than `LENGTH`, 0.25 mm to 10 mm")
		flags.IntVar(&f.frames, "frames", 6, "keep the section at `N` moments, and at the events between")
	})
	return c
}

// check looks at the values, makes the folder for pictures, and returns the
// spacing in m.
func (f *sectionFlags) check(flags *pflag.FlagSet) (float64, error) {
	v, err := quantity.Parse(f.spacing, quantity.Length)
	switch {
	case err != nil:
		return 0, wrong(`such as --spacing "0.5 mm"`, "--spacing: %v", err)
	case !(v.SI >= network.FinestSpacing*(1-1e-9) && v.SI <= mostSpacing):
		return 0, wrong(`0.25 mm to 10 mm, such as --spacing "0.5 mm"`, "--spacing cannot be %s", f.spacing)
	case f.frames < 2 || f.frames > mostFrames:
		return 0, wrong("2 to 200, such as --frames 6", "--frames cannot be %d", f.frames)
	}
	return v.SI, f.runFlags.check(flags)
}

func (s *session) section(name string, f *sectionFlags, spacing float64) error {
	s.quiet = f.quiet
	d, err := s.read(name)
	if err != nil {
		return err
	}
	coarse, err := network.Build(d)
	if err != nil {
		return err
	}
	options := network.Options{Horizon: f.hours * secondsPerHour, Course: true}
	both := bothDepths{}
	if both.Network, err = coarse.Run(s.ctx, options); err != nil {
		return err
	}
	fine, err := network.BuildSection(d, spacing)
	if err != nil {
		return err
	}
	options.Frames = f.frames
	clear := func() {}
	if !f.quiet && s.terminal {
		p := newProgress(s.err, time.Now)
		p.what = "minute"
		options.Progress = func(simulated float64) { p.report(int(simulated/60), int(both.Network.Simulated/60)+1) }
		clear = p.clear
	}
	both.Section, err = fine.Run(s.ctx, options)
	clear()
	if err := s.deliver(&f.runFlags, both,
		func(w io.Writer) { report.SectionCompareText(w, both.Network, both.Section) },
		func() []picture { return sectionPictures(both.Section) }); err != nil {
		return err
	}
	if f.pictures != "" {
		if err := s.writeFilm(f.pictures, both.Section); err != nil {
			return err
		}
	}
	if errors.Is(err, context.Canceled) {
		return &fault{exitInterrupted, "interrupted: the section was followed for " + quantity.FormatDuration(both.Section.Simulated) + " only", ""}
	}
	return err
}

// sectionPictures are the section and its outside at every frame.
func sectionPictures(run *result.Run) []picture {
	var pictures []picture
	for i := range run.Section.Frames {
		number := fmt.Sprintf("%02d", i+1)
		pictures = append(pictures,
			picture{"section-" + number, func() (*report.Picture, error) { return report.SectionPicture(run, i) }},
			picture{"outside-" + number, func() (*report.Picture, error) { return report.OutsidePicture(run, i) }})
	}
	return pictures
}

func (s *session) writeFilm(folder string, run *result.Run) error {
	film, err := report.SectionFilm(run)
	if err != nil {
		return err
	}
	if err := writeFile(filepath.Join(folder, "film.png"), film); err != nil {
		return err
	}
	s.note("wrote into %s: film.png (animated)", folder)
	return nil
}
