package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"meltspan/internal/textpage"
	"meltspan/live"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/report"
)

func (s *session) notebookResultsCommand() *cobra.Command {
	var name, write, pictures string
	var asJSON bool
	var found int
	c := &cobra.Command{
		Use:   "results [NUMBER]",
		Short: "list what was worked out, or show one of it",
		Long: "Lists the results that the notebook keeps, with the trials they rest on: calibrations, comparisons, tests at the bench, stalls found in pictures, forecasts, " +
			"and all that the page worked out. Of the updates of a forecast the last is listed; each has its number. " +
			"With a number, shows that one: its answer as it was, and for all kinds what made it, the exact version of the program, the revision of the design and the inputs.\n\n" +
			"--pictures draws an answer again, in the units of --units. With --found, shows a design that a kept search came by, or writes it to the file of --write.",
		Example: "  meltspan notebook results\n  meltspan notebook results 3 --pictures pictures\n  meltspan notebook results 12 --found 2 --write found-02.yaml\n",
		Args:    arguments(0, 1, "the number of a result", `"meltspan notebook results 3"`),
		RunE: func(cmd *cobra.Command, args []string) (err error) {
			if len(args) > 0 && cmd.Flags().Changed("pictures") {
				if err := makeFolder(pictures); err != nil {
					return err
				}
			}
			n, err := s.openNotebook(name)
			if err != nil {
				return err
			}
			defer closing(n, &err)
			if len(args) == 0 {
				if found != 0 || write != "" || pictures != "" {
					return wrong(`such as "meltspan notebook results 12 --found 2"`, "--found, --write and --pictures need the number of a result")
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
			return s.showResult(n, &r, asJSON, pictures)
		},
	}
	c.Flags().IntVar(&found, "found", 0, "of a search, the design `N` that it found")
	c.Flags().StringVar(&write, "write", "", "write that design to the file `FILE`, which must not be there yet")
	c.Flags().StringVar(&pictures, "pictures", "", "draw the answer again into the folder `DIR`, as SVG and PNG")
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

func (s *session) showResult(n *notebook.Notebook, r *notebook.Result, asJSON bool, pictures string) error {
	if asJSON && pictures == "" {
		return report.JSON(s.out, r)
	}
	shown, err := s.shownAgain(n, r, pictures != "")
	if err == nil && shown != nil && !asJSON {
		err = shown.Text(s.out, s.units)
	}
	if err != nil {
		return fmt.Errorf("the result %d, a %s, cannot be shown: %w", r.ID, r.Kind, err)
	}
	if asJSON {
		report.JSON(s.out, r) // a failure stays in s.out
	} else {
		s.originOf(r)
	}
	if pictures == "" {
		return nil
	}
	if shown == nil || len(shown.Pictures) == 0 {
		s.note("there is no picture of result %d, a %s", r.ID, r.Kind)
		return nil
	}
	return s.writePictures(pictures, shown.Pictures)
}

// shownAgain is a kept result in the words that the page kept, unless other units
// are asked for; all else of it is made from the answer in SI, which is large and
// not read for those words alone.
func (s *session) shownAgain(n *notebook.Notebook, r *notebook.Result, drawn bool) (*record.Shown, error) {
	var kept keptAnswer
	if s.units != (quantity.Display{}) || json.Unmarshal(r.Payload, &kept) != nil || kept.Shown == nil || kept.Shown.Text == "" {
		return record.Again(s.ctx, n, r)
	}
	as := &record.Shown{Text: func(w io.Writer, _ quantity.Display) error {
		_, err := fmt.Fprintln(w, strings.TrimRight(kept.Shown.Text, "\n"))
		return err
	}}
	if !drawn {
		return as, nil
	}
	again, err := record.Again(s.ctx, n, r)
	if again != nil {
		as.Pictures = again.Pictures
	}
	return as, err
}

// originOf prints what made a kept result.
func (s *session) originOf(r *notebook.Result) {
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
	report.JSON(s.out, r.Inputs) // a failure stays in s.out
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
