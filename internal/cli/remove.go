package cli

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"meltspan/internal/textpage"
	"meltspan/live"
	"meltspan/notebook"
	"meltspan/report"
)

// removeAnswer is what the commands that take out give as JSON.
type removeAnswer struct {
	notebook.Removal
	Removed bool `json:"removed"` // false: it says what would go
}

// removeFlags are those of both commands.
type removeFlags struct {
	notebook  string
	yes, json bool
}

func (f *removeFlags) add(c *cobra.Command) {
	notebookFlag(c.Flags(), &f.notebook)
	jsonFlag(c.Flags(), &f.json)
	c.Flags().BoolVar(&f.yes, "yes", false, "take it out; without this, only say what would go")
}

const forGood = "What is taken out is gone: \"meltspan notebook export\" keeps a copy of everything first. Its number is not given again. Nothing goes without --yes."

func (s *session) trialRemoveCommand() *cobra.Command {
	var f removeFlags
	var withResults bool
	c := &cobra.Command{
		Use:   "remove TRIAL",
		Short: "take a trial out of the notebook for good",
		Long: "Takes a trial out of the notebook, with its logs, events and files, such as one that was imported twice or with the wrong log. " +
			"A trial on which results rest goes only together with them, by --with-results: without it nobody could tell what made them.\n\n" +
			"To leave single readings out, see \"meltspan help trial exclude\". " + forGood,
		Example: "  meltspan trial remove 3\n  meltspan trial remove \"wrong log\" --with-results --yes\n",
		Args:    arguments(1, 1, "one trial", `"meltspan trial remove 3"`),
		RunE: func(_ *cobra.Command, args []string) error {
			return s.withTrial(f.notebook, args[0], func(n *notebook.Notebook, id int64) (err error) {
				a := removeAnswer{Removed: f.yes}
				agreed := notebook.Removal.Alone
				if withResults {
					agreed = nil
				}
				if f.yes {
					a.Removal, err = n.RemoveTrial(s.ctx, id, agreed)
				} else {
					a.Removal, err = n.WithTrial(s.ctx, id)
				}
				if err != nil {
					return err
				}
				return s.toldRemoval(&a, f.json, len(a.Results) > 0 && !withResults)
			})
		},
	}
	f.add(c)
	c.Flags().BoolVar(&withResults, "with-results", false, "also take out the results that rest on it")
	return c
}

func (s *session) notebookRemoveCommand() *cobra.Command {
	var f removeFlags
	c := &cobra.Command{
		Use:   "remove RESULT...",
		Short: "take results out of the notebook for good",
		Long: "Takes results out of the notebook, by the numbers that \"meltspan notebook results\" lists: all of them or none. Of a forecast all updates go. " +
			"Trials and designs stay. " + forGood,
		Example: "  meltspan notebook remove 12\n  meltspan notebook remove 12 15 --yes\n",
		Args:    arguments(1, 1000, "the number of a result", `"meltspan notebook remove 12"`),
		RunE: func(_ *cobra.Command, args []string) (err error) {
			n, err := s.openNotebook(f.notebook)
			if err != nil {
				return err
			}
			defer closing(n, &err)
			list, err := n.ResultHeads(s.ctx, "")
			if err != nil {
				return err
			}
			a := removeAnswer{Removed: f.yes}
			for _, text := range args {
				id, err := strconv.ParseInt(text, 10, 64)
				going := live.Together(list, id)
				if err != nil || len(going) == 0 {
					return wrong(`"meltspan notebook results" lists them`, "there is no result %s in %s", quoted(text), f.notebook)
				}
				for _, r := range going {
					if !slices.ContainsFunc(a.Results, func(other notebook.Result) bool { return other.ID == r.ID }) {
						a.Results = append(a.Results, r)
					}
				}
			}
			if f.yes {
				if err := n.RemoveResults(s.ctx, a.Results); err != nil {
					return err
				}
			}
			return s.toldRemoval(&a, f.json, false)
		},
	}
	f.add(c)
	return c
}

// toldRemoval says what went, or would go. held: results hold the trial back.
func (s *session) toldRemoval(a *removeAnswer, asJSON, held bool) error {
	if asJSON {
		return report.JSON(s.out, a)
	}
	report.RemovalText(s.out, &a.Removal) // a failure stays in s.out
	var p textpage.Page
	switch {
	case a.Removed:
		p.Line("Taken out.")
	case held:
		p.Para(0, 2, "Nothing is taken out. With --with-results --yes all of this goes.")
	default:
		p.Para(0, 2, "Nothing is taken out. With --yes this goes.")
	}
	_, err := fmt.Fprint(s.out, p.String())
	return err
}
