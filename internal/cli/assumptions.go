package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/report"
)

func (s *session) assumptionsCommand() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "assumptions DESIGN",
		Short: "list the defaults and handbook values a design uses",
		Long: "Lists every value that the design leaves out and the program fills in: defaults, values worked out " +
			"from others, and handbook values, each with one standard uncertainty, how it is known, and its source. " +
			"To replace one, state its key in the design.",
		Example: "  meltspan assumptions design.yaml\n",
		Args:    arguments(1, 1, "one design", `"meltspan assumptions design.yaml"`),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := s.read(args[0])
			if err != nil {
				return err
			}
			if asJSON {
				return report.JSON(s.out, assumptionsJSON(d))
			}
			fmt.Fprint(s.out, assumptionsText(d, s.units))
			return nil
		},
	}
	jsonFlag(c.Flags(), &asJSON)
	return c
}

// assumptionList is the JSON form.
type assumptionList struct {
	Design      string           `json:"design"`
	Revision    string           `json:"revision"`
	Assumptions []assumptionItem `json:"assumptions"`
}

type assumptionItem struct {
	Key    string `json:"key"`
	Value  string `json:"value"`
	Spread string `json:"spread,omitempty"` // one standard uncertainty
	Origin string `json:"origin"`
	Source string `json:"source"`
}

func assumptionsJSON(d *design.Design) assumptionList {
	list := assumptionList{Design: d.Name, Revision: d.Revision(), Assumptions: []assumptionItem{}}
	for _, a := range d.Assumptions() {
		list.Assumptions = append(list.Assumptions, assumptionItem{a.Key, a.Value, a.Spread, string(a.Origin), a.Source})
	}
	return list
}

// assumptionsText is a table with the sources numbered below it: few sources
// serve many values.
func assumptionsText(d *design.Design, u quantity.Display) string {
	assumptions := d.Assumptions()
	var p textpage.Page
	p.Para(0, 2, fmt.Sprintf("%s, revision %s", d.Name, d.Revision()))
	if len(assumptions) == 0 {
		p.Para(2, 2, "The design states every value: nothing was filled in.")
		return p.String()
	}
	var sources []string
	number := map[string]int{}
	rows := [][]string{{"key", "taken as", "origin", "source"}}
	for _, a := range assumptions {
		if number[a.Source] == 0 {
			sources = append(sources, a.Source)
			number[a.Source] = len(sources)
		}
		rows = append(rows, []string{a.Key, withSpread(u.Restate(a.Value), u.Restate(a.Spread)), string(a.Origin), fmt.Sprintf("[%d]", number[a.Source])})
	}
	p.Para(2, 2, fmt.Sprintf("%d values that the design leaves out. After +-: one standard uncertainty; values without one are taken as exact, or move with what they are derived from.", len(assumptions)))
	p.Blank()
	narrowTable(&p, rows)
	p.Blank()
	p.Line("Sources")
	for i, source := range sources {
		p.Para(2, 5, fmt.Sprintf("[%d] %s", i+1, source))
	}
	return p.String()
}

// withSpread joins value and spread, the unit once where both have the same.
func withSpread(value, spread string) string {
	if spread == "" {
		return value
	}
	number, unit, _ := strings.Cut(value, " ")
	if other, ok := strings.CutSuffix(spread, " "+unit); ok && unit != "" {
		return number + " +- " + other + " " + unit
	}
	return value + " +- " + spread
}

// narrowTable writes rows like Table, but breaks after the first cell
// where a row is wider than the page.
func narrowTable(p *textpage.Page, rows [][]string) {
	const keyWidth = 34 // leaves room for the widest value in most rows
	for _, row := range rows {
		key, rest := row[0], fmt.Sprintf("%-24s  %-8s  %s", textpage.Plain(row[1]), row[2], row[3])
		if textpage.Columns(key) > keyWidth || 4+keyWidth+textpage.Columns(rest) > textpage.Width {
			p.Line("  " + key)
			key = ""
		}
		p.Line(fmt.Sprintf("  %-*s  %s", keyWidth, key, rest))
	}
}
