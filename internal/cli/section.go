package cli

import (
	"context"
	"errors"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/network"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/report"
	"meltspan/result"
)

// sectionFlags are those of the section command.
type sectionFlags struct {
	runFlags
	spacing, around string
	frames          int
}

// Limits of the flags: a section of more frames is a film nobody watches.
const (
	defaultSpacing = "1 mm"
	mostSpacing    = 0.01 // m
	mostFrames     = 200
)

func (s *session) sectionCommand() *cobra.Command {
	var f sectionFlags
	c := &cobra.Command{
		Use:   "section DESIGN",
		Short: "follow a trial on a fine section of the stand",
		Long: "Runs the design, with all inputs nominal, on a fine section through the printed body, and sets the " +
			"answer beside that of the network. The pictures show where the cold goes: the section in colours with " +
			"lines of equal temperature, the outside as a thermal camera would see it, and a film of the trial.\n\n" +
			"With --in-3d the trial is followed in three dimensions as well, with ribs, pegs and separate pieces of ice " +
			"where they stand; its pictures are level cuts and the section through what stands round the axis.\n\n" +
			"DESIGN is a file, - for standard input, or demo or demo:NAME for a built-in example.",
		Example: "  meltspan section design.yaml --pictures pictures\n" +
			"  meltspan section demo --spacing \"0.5 mm\"\n" +
			"  meltspan section demo --in-3d \"2 mm\" --pictures pictures\n",
		Args: arguments(1, 1, "one design", `"meltspan section design.yaml", or "meltspan section demo"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			spacing, around, err := f.check(cmd.Flags())
			if err != nil {
				return err
			}
			return s.section(args[0], &f, spacing, around)
		},
	}
	flags := c.Flags()
	f.add(flags, ": the section at each frame, its outside, and the film", func() {
		flags.StringVar(&f.spacing, "spacing", defaultSpacing, "cells of the section no wider than `LENGTH`, 0.25 mm to 10 mm")
		flags.StringVar(&f.around, "in-3d", "", "follow it in three dimensions too, in cells no wider than `LENGTH`")
		flags.IntVar(&f.frames, "frames", 6, "keep the section at `N` moments, and at the events between")
	})
	return c
}

// check looks at the values, makes the folder for pictures, and returns the
// spacing of section and three dimensions in m, the latter 0 when not asked for.
func (f *sectionFlags) check(flags *pflag.FlagSet) (spacing, around float64, err error) {
	if spacing, err = checkSpacing("spacing", f.spacing); err != nil {
		return 0, 0, err
	}
	if flags.Changed("in-3d") {
		if around, err = checkSpacing("in-3d", f.around); err != nil {
			return 0, 0, err
		}
	}
	if f.frames < 2 || f.frames > mostFrames {
		return 0, 0, wrong("2 to 200, such as --frames 6", "--frames cannot be %d", f.frames)
	}
	return spacing, around, f.runFlags.check(flags)
}

func checkSpacing(flag, text string) (float64, error) {
	v, err := quantity.Parse(text, quantity.Length)
	switch {
	case err != nil:
		return 0, wrong(`such as --`+flag+` "1 mm"`, "--%s: %v", flag, err)
	case !(v.SI >= network.FinestSpacing*(1-1e-9) && v.SI <= mostSpacing):
		return 0, wrong(`0.25 mm to 10 mm, such as --`+flag+` "1 mm"`, "--%s cannot be %s", flag, text)
	}
	return v.SI, nil
}

func (s *session) section(name string, f *sectionFlags, spacing, around float64) error {
	s.quiet = f.quiet
	d, err := s.read(name)
	if err != nil {
		return err
	}
	coarse, err := network.Build(d)
	if err != nil {
		return err
	}
	fine, err := network.BuildSection(d, spacing)
	if err != nil {
		return err
	}
	var round *network.Model
	if around > 0 {
		round, err = network.BuildRound(d, around)
		if errors.Is(err, network.ErrNothingRound) {
			return wrong("leave --in-3d out; it is for ribs across cavities, pegs, and up to twelve separate pieces of ice",
				"nothing in this design is repeated round its axis, so three dimensions show no more than the section")
		} else if err != nil {
			return err
		}
	}
	options := network.Options{Horizon: f.hours * secondsPerHour, Course: true}
	all := result.Depths{}
	if all.Network, err = coarse.Run(s.ctx, options); err != nil {
		return err
	}
	options.Frames = f.frames
	all.Section, err = s.follow("section", fine, options, all.Network.Simulated, f.quiet)
	if err == nil && round != nil {
		all.Round, err = s.follow("3-D", round, options, all.Network.Simulated, f.quiet)
	}
	if err := s.deliver(&f.runFlags, all, record.OfDepths(&all)); err != nil {
		return err
	}
	if f.pictures != "" {
		if err := s.writeFilm(f.pictures, all.Section); err != nil {
			return err
		}
	}
	if errors.Is(err, context.Canceled) {
		runs := all.Runs()
		last := runs[len(runs)-1]
		return &fault{exitInterrupted, "interrupted: the " + last.Depth + " was followed for " + quantity.FormatDuration(last.Simulated) + " only", ""}
	}
	return err
}

// follow runs a model through the trial, with progress towards the time that the
// network took.
func (s *session) follow(what string, m *network.Model, options network.Options, expected float64, quiet bool) (*result.Run, error) {
	clear := func() {}
	if !quiet && s.terminal {
		p := newProgress(s.err, time.Now)
		p.what = what + ": minute"
		options.Progress = func(simulated float64) { p.report(int(simulated/60), int(expected/60)+1) }
		clear = p.clear
	}
	defer clear()
	return m.Run(s.ctx, options)
}

func (s *session) writeFilm(folder string, run *result.Run) error {
	film, err := report.SectionFilm(s.units, run)
	if err != nil {
		return err
	}
	if err := writeFile(filepath.Join(folder, "film.png"), film); err != nil {
		return err
	}
	s.note("wrote into %s: film.png (animated)", folder)
	return nil
}
