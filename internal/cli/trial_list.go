package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"meltspan/internal/textpage"
	"meltspan/notebook"
	"meltspan/record"
	"meltspan/report"
	"meltspan/trial"
)

func (s *session) trialListCommand() *cobra.Command {
	var name string
	var json bool
	c := &cobra.Command{
		Use:     "list",
		Short:   "list the trials of a notebook",
		Long:    "Lists the trials of a notebook by number, with their design, start, run time and how much was logged.",
		Example: "  meltspan trial list\n  meltspan trial list --json\n",
		Args:    arguments(0, 0, "", `"meltspan trial list"`),
		RunE: func(*cobra.Command, []string) (err error) {
			n, err := s.openNotebook(name)
			if err != nil {
				return err
			}
			defer closing(n, &err)
			heads, err := n.Trials(s.ctx)
			if err != nil {
				return err
			}
			if json {
				if heads == nil {
					heads = []notebook.Head{}
				}
				return report.JSON(s.out, heads)
			}
			fmt.Fprint(s.out, listText(heads))
			return nil
		},
	}
	notebookFlag(c.Flags(), &name)
	jsonFlag(c.Flags(), &json)
	return c
}

func listText(heads []notebook.Head) string {
	p := textpage.Page{CutLong: true}
	if len(heads) == 0 {
		p.Line("There are no trials in the notebook yet.")
		return p.String()
	}
	rows := [][]string{{"", "name", "kind", "design", "start", "run time", "readings"}}
	for i := range heads {
		h := &heads[i]
		r := record.RowOf(h)
		kind := string(h.Trial.Kind)
		if h.Trial.Kind == trial.Run {
			kind = ""
		}
		rows = append(rows, []string{fmt.Sprint(h.ID), h.Trial.Name, kind, h.Trial.Design, r.Start, r.Run, fmt.Sprint(r.Readings)})
	}
	p.Table("rllllrr", rows)
	return p.String()
}
