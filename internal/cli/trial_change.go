package cli

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

var nan = math.NaN()

func (s *session) trialChangeCommand() *cobra.Command {
	var book, name, note, start, zone string
	var set []string
	c := &cobra.Command{
		Use:   "change TRIAL",
		Short: "correct what was typed in about a trial",
		Long: "Corrects name, note, start and settings of a trial. --set \"PATH=\" without a value takes a setting out. " +
			"A new start is another name for the same moment: times from setting on the load stay as they are.",
		Example: "  meltspan trial change 3 --set \"store.mass=118.9 g +- 0.2 g\"\n  meltspan trial change 3 --name \"thin wall\" --set \"room.humidity=\"\n",
		Args:    arguments(1, 1, "one trial", `meltspan trial change 3 --set "store.mass=118.9 g"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			place, err := zoneNamed(zone)
			if err != nil {
				return err
			}
			return s.withTrial(book, args[0], func(n *notebook.Notebook, id int64) error {
				head, err := n.Head(s.ctx, id)
				if err != nil {
					return err
				}
				d, err := record.DesignOf(s.ctx, n, &head.Trial)
				if err != nil {
					return err
				}
				changed := cmd.Flags().Changed
				err = n.ChangeTrial(s.ctx, id, func(t *trial.Trial) error {
					if changed("name") {
						t.Name = name
					}
					if changed("note") {
						t.Note = note
					}
					if changed("start") {
						at, ok := logfile.ParseMoment(start, place)
						if !ok {
							return wrong(`year first, such as --start "2026-01-31 14:05"`, "--start cannot be %s", quoted(start))
						}
						t.Start, t.Zone = at, record.ZoneText(zone, at)
					}
					var err error
					if t.Settings, err = settings(t.Settings, set); err != nil {
						return err
					}
					return checkedAgainst(t, d)
				})
				if err != nil {
					return err
				}
				fmt.Fprintf(s.out, "Trial %d is changed.\n", id)
				return nil
			})
		},
	}
	flags := c.Flags()
	notebookFlag(flags, &book)
	flags.StringVar(&name, "name", "", "call the trial `NAME`")
	flags.StringArrayVar(&set, "set", nil, "an input as it was in this trial, `PATH=VALUE`; as often as needed")
	flags.StringVar(&start, "start", "", "the load was set on at `MOMENT`")
	flags.StringVar(&zone, "zone", "", "time zone `ZONE` of a moment that states none (the machine's unless given)")
	flags.StringVar(&note, "note", "", "free `TEXT`")
	return c
}

func (s *session) trialExcludeCommand() *cobra.Command {
	var book string
	var undo bool
	c := &cobra.Command{
		Use:   "exclude TRIAL SERIES FROM TO",
		Short: "leave readings of a series out, by hand",
		Long: "Marks the good readings of a series from one time to another as excluded: a hand on the plate, a sensor that fell off. They stay in the notebook; " +
			"--undo takes the mark back. SERIES is what it measures, with the place where there is one, as \"meltspan trial show\" lists it.",
		Example: "  meltspan trial exclude 3 \"top plate\" \"2 h\" \"2 h 10 min\"\n  meltspan trial exclude 3 \"wall, north side\" \"0 s\" \"1 h\" --undo\n",
		Args:    arguments(4, 4, "a trial, a series and two times", `meltspan trial exclude 3 "top plate" "2 h" "2 h 10 min"`),
		RunE: func(_ *cobra.Command, args []string) error {
			var ends [2]float64
			for i, text := range args[2:] {
				v, err := quantity.Parse(strings.Replace(text, minusSign, "-", 1), quantity.Time)
				if err != nil {
					return wrong(`such as "2 h 10 min", from setting on the load`, "the time cannot be %s", quoted(text))
				}
				ends[i] = v.SI
			}
			return s.withTrial(book, args[0], func(n *notebook.Notebook, id int64) error {
				series, err := s.seriesCalled(n, id, args[1])
				if err != nil {
					return err
				}
				from, to := trial.Good, trial.Excluded
				if undo {
					from, to = to, from
				}
				count, err := n.Remark(s.ctx, series, func(x trial.Sample) trial.Mark {
					if x.Time >= ends[0] && x.Time <= ends[1] && x.Mark == from {
						return to
					}
					return x.Mark
				})
				if err != nil {
					return err
				}
				if count == 0 {
					return wrong("times within the log, the earlier first", "there is no such reading of %s from %s to %s", args[1], args[2], args[3])
				}
				fmt.Fprintf(s.out, "Trial %d: %d of %s marked.\n", id, count, args[1])
				return nil
			})
		},
	}
	notebookFlag(c.Flags(), &book)
	c.Flags().BoolVar(&undo, "undo", false, "take the mark back")
	return c
}

// seriesCalled finds a series by what it measures and where.
func (s *session) seriesCalled(n *notebook.Notebook, id int64, called string) (int64, error) {
	head, err := n.Head(s.ctx, id)
	if err != nil {
		return 0, err
	}
	var names []string
	found := int64(0)
	for i, x := range head.Trial.Series {
		name := string(x.Quantity)
		if x.Place != "" {
			name += ", " + x.Place
		}
		if strings.EqualFold(name, strings.TrimSpace(called)) {
			if found != 0 {
				return 0, wrong("series that differ in their place", "trial %d has several series %s", id, quoted(name))
			}
			found = head.Series[i].ID
		}
		names = append(names, name)
	}
	if found == 0 {
		if names == nil {
			return 0, wrong(`"meltspan trial import LOG --trial `+fmt.Sprint(id)+`" adds a log`, "trial %d has no series", id)
		}
		return 0, wrong(choice(called, names), "trial %d has no series %s", id, quoted(called))
	}
	return found, nil
}
