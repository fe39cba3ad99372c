package report

import (
	"errors"
	"io"
	"math"

	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/result"
)

// SectionCompareText writes what the same design gives at two depths of the
// model, the network and the section, side by side in 80 columns of plain text.
func SectionCompareText(w io.Writer, network, section *result.Run) error {
	if network == nil || section == nil {
		return errors.New("report: text: both runs, of the network and of the section, are needed")
	}
	p := &textpage.Page{CutLong: true}
	p.Para(0, 2, nameOf(section.Design, section.Revision)+": network and section compared")
	if network.Design != section.Design || network.Revision != section.Revision {
		p.Para(2, 2, "The network is that of another design or revision: "+nameOf(network.Design, network.Revision)+".")
	}
	p.Blank()
	rows := [][]string{
		{"", "network", "section", "difference"},
		{"run time", runTimeText(network), runTimeText(section), change(comparedTime(network), comparedTime(section))},
	}
	add := func(label string, a, b float64, print func(float64) string) {
		if finite(a) || finite(b) {
			rows = append(rows, []string{label, orAbsent(a, print), orAbsent(b, print), change(a, b)})
		}
	}
	power := func(watts float64) string { return quantity.Format(watts, quantity.Power, 3) }
	add("last of the store used up", network.LastIce, section.LastIce, quantity.FormatDuration)
	add("mean heat into the load", network.MeanIntake, section.MeanIntake, power)
	add("mean heat into the store", network.MeanStoreHeat, section.MeanStoreHeat, power)
	add("mean plate difference", network.MeanDifference, section.MeanDifference, kelvins)
	p.Table("lrrr", rows)
	budgetCompared(p, network, section)
	p.Blank()
	p.Para(2, 2, "Difference: section against network. Heat budget: over the run time of each. Both are predictions, not measurements.")
	return writeText(w, p)
}

func runTimeText(run *result.Run) string {
	switch run.End {
	case result.EndNeverStarted:
		return "never starts"
	case result.EndHorizon:
		return "over " + quantity.FormatDuration(run.Simulated)
	}
	return orAbsent(run.RunTime, quantity.FormatDuration)
}

// comparedTime is the run time, or no number where the run has none.
func comparedTime(run *result.Run) float64 {
	if run.End == result.EndNeverStarted || run.End == result.EndHorizon {
		return nan
	}
	return run.RunTime
}

// change is how much b differs from a, relative to a.
func change(a, b float64) string {
	if !finite(a) || !finite(b) || a == 0 {
		return absent
	}
	if a*b > 0 { // of two losses, the greater is more
		return signedPercent(b/a - 1)
	}
	return signedPercent((b - a) / math.Abs(a))
}

// budgetCompared writes the heat by path, in the order of the network's
// budget, with what only the section has behind it.
func budgetCompared(p *textpage.Page, network, section *result.Run) {
	type pair struct {
		label string
		a, b  *result.Path
	}
	var pairs []pair
	at := map[string]int{}
	for i := range network.Budget {
		path := &network.Budget[i]
		at[path.ID] = len(pairs)
		pairs = append(pairs, pair{label: path.Label, a: path})
	}
	for i := range section.Budget {
		path := &section.Budget[i]
		k, known := at[path.ID]
		if !known {
			k = len(pairs)
			at[path.ID] = k
			pairs = append(pairs, pair{label: path.Label})
		}
		pairs[k].b = path
	}
	if len(pairs) == 0 {
		return
	}
	p.Heading("Heat budget of the store")
	rows := [][]string{{"", "network", "share", "section", "share", "difference"}}
	columns := func(path *result.Path) (energy float64, texts []string) {
		if path == nil {
			return nan, []string{absent, absent}
		}
		return path.Energy, []string{orAbsent(path.Energy, wattHours), orAbsent(path.Share, percent)}
	}
	var all [2]float64
	for _, q := range pairs {
		a, first := columns(q.a)
		b, second := columns(q.b)
		rows = append(rows, append(append(append([]string{q.label}, first...), second...), change(a, b)))
		for i, e := range []float64{a, b} {
			if finite(e) {
				all[i] += e
			}
		}
	}
	rows = append(rows, []string{"all", wattHours(all[0]), "", wattHours(all[1]), "", change(all[0], all[1])})
	p.Table("lrrrrr", rows)
}
