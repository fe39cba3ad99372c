package report

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/result"
)

// DepthsText writes what the same design gives at several depths of the model,
// the network first, side by side in 80 columns of plain text.
func DepthsText(w io.Writer, u quantity.Display, runs ...*result.Run) error {
	if len(runs) < 2 || slices.Contains(runs, nil) {
		return errors.New("report: text: at least two runs are needed, that of the network and one of a finer depth")
	}
	first := runs[0]
	p := &textpage.Page{CutLong: true}
	names := make([]string, len(runs))
	for i, r := range runs {
		names[i] = depthName(r, i)
	}
	last := runs[len(runs)-1]
	p.Para(0, 2, nameOf(last.Design, last.Revision)+": "+list(names)+" compared")
	for i, r := range runs {
		if r.Design != last.Design || r.Revision != last.Revision {
			p.Para(2, 2, "The "+names[i]+" is that of another design or revision: "+nameOf(r.Design, r.Revision)+".")
		}
	}
	p.Blank()
	head, align := []string{""}, "l"
	for _, name := range names {
		head, align = append(head, name), align+"r"
	}
	rows := [][]string{append(head, differenceHeads(names)...)}
	add := func(label string, texts []string, values []float64) {
		row := append([]string{label}, texts...)
		for _, v := range values[1:] {
			row = append(row, change(values[0], v))
		}
		rows = append(rows, row)
	}
	compare := func(label string, value func(*result.Run) float64, print func(float64) string) {
		var texts []string
		var values []float64
		known := false
		for _, r := range runs {
			v := value(r)
			known = known || finite(v)
			texts, values = append(texts, orAbsent(v, print)), append(values, v)
		}
		if known {
			add(label, texts, values)
		}
	}
	var texts []string
	var values []float64
	for _, r := range runs {
		texts, values = append(texts, runTimeText(r)), append(values, comparedTime(r))
	}
	add("run time", texts, values)
	power := func(watts float64) string { return quantity.Format(watts, quantity.Power, 3) }
	compare("last of the store used up", func(r *result.Run) float64 { return r.LastIce }, quantity.FormatDuration)
	compare("mean heat into the load", func(r *result.Run) float64 { return r.MeanIntake }, power)
	compare("mean heat into the store", func(r *result.Run) float64 { return r.MeanStoreHeat }, power)
	compare("mean plate difference", func(r *result.Run) float64 { return r.MeanDifference }, func(k float64) string { return differenceText(u, k) })
	p.Table(align+strings.Repeat("r", len(runs)-1), rows)
	budgetCompared(p, runs, names)
	p.Blank()
	p.Para(2, 2, "Difference: "+list(names[1:])+" against "+depthName(first, 0)+". Heat budget: over the run time of each. "+
		map[bool]string{true: "Both", false: "All"}[len(runs) == 2]+" are predictions, not measurements.")
	for _, r := range runs {
		if r.Round != nil {
			p.Para(2, 2, "3-D: "+r.Round.Around+" round the axis, "+fmt.Sprint(r.Round.Cells)+" cells.")
		}
	}
	return writeText(w, p)
}

// list joins words as in "a, b and c".
func list(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// depthName is what a run's depth is called in a column.
func depthName(r *result.Run, i int) string {
	if i == 0 || r.Depth == "" {
		return []string{"network", "section", "3-D"}[min(i, 2)]
	}
	return r.Depth
}

func differenceHeads(names []string) []string {
	if len(names) == 2 {
		return []string{"difference"}
	}
	var out []string
	for range names[1:] {
		out = append(out, "diff.")
	}
	return out
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
// budget, with what only finer depths have behind it. Of two depths the shares
// have columns too.
func budgetCompared(p *textpage.Page, runs []*result.Run, names []string) {
	type line struct {
		label string
		paths []*result.Path
	}
	var lines []line
	at := map[string]int{}
	for i, r := range runs {
		for j := range r.Budget {
			path := &r.Budget[j]
			k, known := at[path.ID]
			if !known {
				k = len(lines)
				at[path.ID] = k
				lines = append(lines, line{path.Label, make([]*result.Path, len(runs))})
			}
			lines[k].paths[i] = path
		}
	}
	if len(lines) == 0 {
		return
	}
	shares := len(runs) == 2
	p.Heading("Heat budget of the store")
	head, align := []string{""}, "l"
	for _, name := range names {
		head, align = append(head, name), align+"r"
		if shares {
			head, align = append(head, "share"), align+"r"
		}
	}
	rows := [][]string{append(head, differenceHeads(names)...)}
	all := make([]float64, len(runs))
	for _, l := range lines {
		row, energies := []string{l.label}, make([]float64, len(runs))
		for i, path := range l.paths {
			energy, share := nan, nan
			if path != nil {
				energy, share = path.Energy, path.Share
			}
			energies[i] = energy
			if finite(energy) {
				all[i] += energy
			}
			row = append(row, orAbsent(energy, wattHours))
			if shares {
				row = append(row, orAbsent(share, percent))
			}
		}
		for _, e := range energies[1:] {
			row = append(row, change(energies[0], e))
		}
		rows = append(rows, row)
	}
	row := []string{"all"}
	for _, e := range all {
		row = append(row, wattHours(e))
		if shares {
			row = append(row, "")
		}
	}
	for _, e := range all[1:] {
		row = append(row, change(all[0], e))
	}
	p.Table(align+strings.Repeat("r", len(runs)-1), append(rows, row))
}
