package cli

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"meltspan/calibrate"
	"meltspan/internal/textpage"
	"meltspan/notebook"
	"meltspan/report"
)

func (s *session) notebookResultsCommand() *cobra.Command {
	var name string
	var asJSON bool
	c := &cobra.Command{
		Use:   "results [NUMBER]",
		Short: "list what was worked out from trials, or show one of it",
		Long: "Lists the results that the notebook keeps, with the trials they rest on: calibrations, comparisons, tests at the bench, stalls found in pictures. " +
			"With a number, shows that one: the calibration as it was, and for all kinds what made it, the exact version of the program, the revision of the design and the inputs.",
		Example: "  meltspan notebook results\n  meltspan notebook results 3\n",
		Args:    arguments(0, 1, "the number of a result", `"meltspan notebook results 3"`),
		RunE: func(_ *cobra.Command, args []string) (err error) {
			n, err := s.openNotebook(name)
			if err != nil {
				return err
			}
			defer closing(n, &err)
			list, err := n.Results(s.ctx, "")
			if err != nil {
				return err
			}
			if len(args) == 0 {
				return s.listResults(list, asJSON)
			}
			for i := range list {
				if fmt.Sprint(list[i].ID) == args[0] {
					return s.showResult(&list[i], asJSON)
				}
			}
			return wrong(`"meltspan notebook results" lists them`, "there is no result %s in %s", quoted(args[0]), name)
		},
	}
	notebookFlag(c.Flags(), &name)
	jsonFlag(c.Flags(), &asJSON)
	return c
}

func (s *session) listResults(list []notebook.Result, asJSON bool) error {
	if asJSON {
		for i := range list {
			list[i].Payload = json.RawMessage("null") // megabytes of draws: shown one by one
		}
		if list == nil {
			list = []notebook.Result{}
		}
		return report.JSON(s.out, list)
	}
	p := textpage.Page{CutLong: true}
	if len(list) == 0 {
		p.Line("There are no results in the notebook yet.")
	} else {
		rows := [][]string{{"", "kind", "made", "trials"}}
		for i := range list {
			r := &list[i]
			rows = append(rows, []string{fmt.Sprint(r.ID), r.Kind, madeText(r), strings.Trim(fmt.Sprint(r.Trials), "[]")})
		}
		p.Table("rlll", rows)
	}
	_, err := fmt.Fprint(s.out, p.String())
	return err
}

func madeText(r *notebook.Result) string {
	return time.Unix(int64(r.Made), 0).Format("2006-01-02 15:04")
}

func (s *session) showResult(r *notebook.Result, asJSON bool) error {
	if asJSON {
		return report.JSON(s.out, r)
	}
	if r.Kind == notebook.Calibration {
		var c calibrate.Posterior
		if err := report.ReadJSON(r.Payload, &c); err != nil {
			return fmt.Errorf("calibration %d: %w", r.ID, err)
		}
		report.CalibrationText(s.out, &c) // a failure stays in s.out
	}
	var p textpage.Page
	p.Heading("What made it")
	p.Paraf(2, 2, "Result %d, a %s, made %s from trials %s.", r.ID, r.Kind, madeText(r), strings.Trim(fmt.Sprint(r.Trials), "[]"))
	if r.Revision != "" {
		p.Paraf(2, 2, "Design revision: %s.", r.Revision)
	}
	p.Paraf(2, 2, "Program: %s.", strings.Join(strings.Split(strings.TrimSpace(r.Code), "\n"), ", "))
	p.Blank()
	p.Line("Inputs, as JSON:")
	fmt.Fprint(s.out, p.String())
	return report.JSON(s.out, r.Inputs)
}
