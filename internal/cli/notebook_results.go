package cli

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"meltspan/internal/textpage"
	"meltspan/live"
	"meltspan/notebook"
	"meltspan/report"
)

func (s *session) notebookResultsCommand() *cobra.Command {
	var name, write string
	var asJSON bool
	var found int
	c := &cobra.Command{
		Use:   "results [NUMBER]",
		Short: "list what was worked out, or show one of it",
		Long: "Lists the results that the notebook keeps, with the trials they rest on: calibrations, comparisons, tests at the bench, stalls found in pictures, forecasts, " +
			"and all that the page worked out. Of the updates of a forecast the last is listed; each has its number. " +
			"With a number, shows that one: its answer as it was, and for all kinds what made it, the exact version of the program, the revision of the design and the inputs.\n\n" +
			"With --found, shows a design that a kept search came by, or writes it to the file of --write.",
		Example: "  meltspan notebook results\n  meltspan notebook results 3\n  meltspan notebook results 12 --found 2 --write found-02.yaml\n",
		Args:    arguments(0, 1, "the number of a result", `"meltspan notebook results 3"`),
		RunE: func(_ *cobra.Command, args []string) (err error) {
			n, err := s.openNotebook(name)
			if err != nil {
				return err
			}
			defer closing(n, &err)
			if len(args) == 0 {
				if found != 0 || write != "" {
					return wrong(`such as "meltspan notebook results 12 --found 2"`, "--found and --write need the number of a search")
				}
				heads, err := n.ResultHeads(s.ctx, "")
				if err != nil {
					return err
				}
				return s.listResults(heads, asJSON)
			}
			id, err := strconv.ParseInt(args[0], 10, 64)
			if err != nil || id <= 0 {
				return wrong(`"meltspan notebook results" lists them`, "there is no result %s in %s", quoted(args[0]), name)
			}
			r, err := n.Result(s.ctx, id)
			switch {
			case err != nil:
				return err
			case found != 0 || write != "":
				return s.foundOf(&r, found, write)
			}
			return s.showResult(n, &r, asJSON)
		},
	}
	c.Flags().IntVar(&found, "found", 0, "of a search, the design `N` that it found")
	c.Flags().StringVar(&write, "write", "", "write that design to the file `FILE`, which must not be there yet")
	notebookFlag(c.Flags(), &name)
	jsonFlag(c.Flags(), &asJSON)
	return c
}

func (s *session) listResults(list []notebook.Result, asJSON bool) error {
	if asJSON {
		if list == nil {
			list = []notebook.Result{}
		}
		return report.JSON(s.out, list) // without payloads: shown one by one
	}
	p := textpage.Page{CutLong: true}
	if len(list) == 0 {
		p.Line("There are no results in the notebook yet.")
	} else {
		rows := [][]string{{"", "kind", "made", "design", "trials"}}
		for _, g := range live.Gathered(list) {
			kind := g.Kind
			if g.Updates > 1 {
				kind = fmt.Sprintf("%s, update %d", kind, g.Updates)
			}
			rows = append(rows, []string{fmt.Sprint(g.ID), kind, madeText(&g.Result), g.Revision, trialList(&g.Result)})
		}
		p.Table("rllll", rows)
	}
	_, err := fmt.Fprint(s.out, p.String())
	return err
}

func trialList(r *notebook.Result) string { return strings.Trim(fmt.Sprint(r.Trials), "[]") }

func madeText(r *notebook.Result) string {
	return time.Unix(int64(r.Made), 0).Format("2006-01-02 15:04")
}

// keptAnswer is what the page keeps of a result beside the answer in SI.
type keptAnswer struct {
	Shown *struct {
		Text    string   `json:"text"`
		Designs []string `json:"designs"`
	} `json:"shown"`
}

func (s *session) showResult(n *notebook.Notebook, r *notebook.Result, asJSON bool) error {
	if asJSON {
		return report.JSON(s.out, r)
	}
	if err := s.wordResult(n, r); err != nil {
		return fmt.Errorf("the result %d, a %s, cannot be shown: %w", r.ID, r.Kind, err)
	}
	var p textpage.Page
	p.Heading("What made it")
	from := ""
	if len(r.Trials) > 0 {
		from = " from trials " + trialList(r)
	}
	p.Paraf(2, 2, "Result %d, a %s, made %s%s.", r.ID, r.Kind, madeText(r), from)
	if r.Revision != "" {
		p.Paraf(2, 2, "Design revision: %s.", r.Revision)
	}
	p.Paraf(2, 2, "Program: %s.", strings.Join(strings.Split(strings.TrimSpace(r.Code), "\n"), ", "))
	p.Blank()
	p.Line("Inputs, as JSON:")
	fmt.Fprint(s.out, p.String())
	return report.JSON(s.out, r.Inputs)
}

// foundOf prints a design that a search found, or writes it as a new file.
func (s *session) foundOf(r *notebook.Result, number int, file string) error {
	var kept keptAnswer
	if err := json.Unmarshal(r.Payload, &kept); err != nil || kept.Shown == nil || len(kept.Shown.Designs) == 0 {
		return wrong("the number of a search that the page kept", "result %d, a %s, holds no designs that were found", r.ID, r.Kind)
	}
	designs := kept.Shown.Designs
	if number < 1 || number > len(designs) {
		return wrong(fmt.Sprintf("--found 1 to %d", len(designs)), "the search %d found no design %d", r.ID, number)
	}
	return s.writeNew(file, []byte(designs[number-1]))
}
