package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/trial"
)

func (s *session) trialEventCommand() *cobra.Command {
	var name, zone, note string
	var drop bool
	c := &cobra.Command{
		Use:   "event TRIAL KIND [TIME]",
		Short: "add an event to a trial, or take one out again",
		Long: "Adds an event to a trial. TIME is counted from setting on the load, with an uncertainty if there is one, or is a moment where the trial's start is known. " +
			"Kinds: " + strings.Join(texts(trial.EventKinds()), ", ") + ".\n\n" +
			"--drop takes out the events of a kind that were typed in by hand.",
		Example: "  meltspan trial event 3 stalled \"6 h 40 min +- 1 min\"\n" +
			"  meltspan trial event 3 \"drip seen\" \"2026-01-31 16:20\" --note \"from the tray\"\n" +
			"  meltspan trial event 3 stalled --drop\n",
		Args: arguments(2, 3, "a trial, a kind of event and its time", `meltspan trial event 3 stalled "6 h 40 min"`),
		RunE: func(_ *cobra.Command, args []string) error {
			if (len(args) == 3) == drop {
				return wrong(`a time, such as "6 h 40 min"; or --drop without one`, "trial event needs a time, unless the event is to be dropped")
			}
			place, err := zoneNamed(zone)
			if err != nil {
				return err
			}
			return s.withTrial(name, args[0], func(n *notebook.Notebook, id int64) error {
				if drop {
					return s.dropEvent(n, id, args[1])
				}
				kind, err := eventKind(args[1])
				if err != nil {
					return err
				}
				e, err := record.AddEvent(s.ctx, n, id, kind, args[2], note, place)
				if err != nil {
					return settingFault(err)
				}
				head, err := n.Head(s.ctx, id)
				if err != nil {
					return err
				}
				fmt.Fprintf(s.out, "Trial %d, %s: %s after %s +- %s.\n", id, head.Trial.Name, e.Kind, quantity.FormatDuration(e.Time), quantity.FormatDuration(e.Uncertainty))
				return nil
			})
		},
	}
	notebookFlag(c.Flags(), &name)
	c.Flags().StringVar(&zone, "zone", "", "time zone `ZONE` of a moment that states none (the machine's unless given)")
	c.Flags().StringVar(&note, "note", "", "free `TEXT`")
	c.Flags().BoolVar(&drop, "drop", false, "take out the events of this kind that were typed in by hand")
	return c
}

func (s *session) dropEvent(n *notebook.Notebook, id int64, kind string) error {
	dropped, err := n.DropEvents(s.ctx, id, trial.EventKind(kind), record.ByHand)
	if err != nil {
		return err
	}
	if dropped == 0 {
		return wrong(fmt.Sprintf(`"meltspan trial show %d" lists its events`, id), "trial %d has no event %s that was typed in by hand", id, quoted(kind))
	}
	fmt.Fprintf(s.out, "Trial %d: %d dropped.\n", id, dropped)
	return nil
}

func (s *session) trialAttachCommand() *cobra.Command {
	var name, note, at string
	c := &cobra.Command{
		Use:   "attach TRIAL FILE...",
		Short: "keep photos and other files with a trial",
		Long:  "Keeps files with a trial: photos, notes, whatever belongs to it. They become part of the notebook; \"meltspan trial show TRIAL --files DIR\" writes them out again.",
		Example: "  meltspan trial attach 3 rim.jpg --at \"2 h 10 min\" --note \"frost on the rim\"\n" +
			"  meltspan trial attach \"thick wall\" notes.txt sketch.png\n",
		Args: arguments(2, 1000, "a trial and a file", "meltspan trial attach 3 photo.jpg"),
		RunE: func(_ *cobra.Command, args []string) error {
			return s.withTrial(name, args[0], func(n *notebook.Notebook, id int64) error {
				moment := nan
				if at != "" {
					v, err := quantity.Parse(at, quantity.Time)
					if err != nil {
						return wrong(`such as --at "2 h 10 min", from setting on the load`, "--at cannot be %s", quoted(at))
					}
					moment = v.SI
				}
				var files []notebook.File
				for _, file := range args[1:] {
					data, err := readPlain(file, notebook.MostAttached)
					if err != nil {
						return err
					}
					files = append(files, notebook.File{Attachment: notebook.Attachment{Name: filepath.Base(file), Time: moment, Note: note}, Data: data})
				}
				if err := n.AddSeries(s.ctx, id, nil, files...); err != nil {
					return err
				}
				for _, f := range files {
					fmt.Fprintf(s.out, "Trial %d: %s attached.\n", id, f.Name)
				}
				return nil
			})
		},
	}
	notebookFlag(c.Flags(), &name)
	c.Flags().StringVar(&at, "at", "", "they belong to the moment `TIME`, from setting on the load")
	c.Flags().StringVar(&note, "note", "", "free `TEXT`")
	return c
}

// readPlain reads a file that is no design.
func readPlain(name string, most int64) ([]byte, error) {
	info, err := os.Stat(name)
	switch {
	case err != nil:
		return nil, wrong("the name of a file", "cannot read %s: %v", quoted(name), cause(err))
	case info.IsDir():
		return nil, wrong("the name of a file", "%s is a folder", quoted(name))
	case info.Size() > most:
		return nil, wrong("a smaller file", "%s has %d MB; at most %d MB can be read", quoted(name), info.Size()>>20, most>>20)
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, failed("a file that you may read", "cannot read %s: %v", quoted(name), cause(err))
	}
	return data, nil
}
