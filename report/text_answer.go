package report

import (
	"fmt"
	"slices"
	"strings"

	"meltspan/design"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/result"
)

func freezingText(p *page, f *predict.Freezing) {
	if f == nil {
		return
	}
	p.heading("Freezing beforehand")
	t := bandTimes(f.Time, f.Low, f.High)
	method := ""
	if f.Method != "" {
		method = ", by " + f.Method
	}
	p.paraf(2, 2, "Takes %s (%s to %s)%s.", t[0], t[1], t[2], method)
	where := "cup"
	if f.InMould {
		where = "mould"
	}
	length := func(m float64) string { return fmt.Sprintf("%.1f mm", 1000*m) }
	switch {
	case !finite(f.Headroom) || !finite(f.Poured) || !finite(f.Frozen):
	case f.Headroom < 0:
		p.paraf(2, 2, "Poured %s deep, it grows by %s to %s: %s too high for the %s. It will jam or spill.",
			length(f.Poured), percent(f.Expansion), length(f.Frozen), length(-f.Headroom), where)
	default:
		p.paraf(2, 2, "Poured %s deep, it grows by %s to %s and leaves %s of headroom in the %s.",
			length(f.Poured), percent(f.Expansion), length(f.Frozen), length(f.Headroom), where)
	}
}

func ceilingText(p *page, a *predict.Answer) {
	c := a.Ceiling
	var rows [][]string
	row := func(name string, time, reached float64) {
		if finite(time) && time > 0 {
			rows = append(rows, []string{name, roundCeiling(time), percent(reached)})
		}
	}
	row("envelope filled with ideal still air", c.StillAir, c.ReachedAir)
	row("no leak at all, least intake of the load", c.NoLeak, c.Reached)
	if len(rows) == 0 {
		return
	}
	p.heading("Ceiling for this charge and load")
	p.table("lrr", append([][]string{{"", "run time", "reached"}}, rows...))
}

func roundCeiling(t float64) string { return bandTimes(t, 0)[0] }

const fewInfluences = 5

func influencesText(p *page, a *predict.Answer) {
	if len(a.Inputs) == 0 {
		return
	}
	p.heading("What matters most")
	p.table("llrr", influenceRows(a.Inputs))
	if n := len(a.Inputs) - fewInfluences; n > 0 {
		p.paraf(2, 2, "%d more uncertain inputs matter less.", n)
	}
	p.para(2, 2, "At +10 %: change of the run time for 10 % more of the input (for a temperature, 10 % of the difference between room and store). Variance: share of the band's variance.")
	if finite(a.Residual) && a.Residual > 0 {
		p.para(2, 2, residualSentence(a.Residual))
	}
}

func residualSentence(share float64) string {
	return percent(share) + " of the variance comes from inputs acting together or not linearly."
}

// influenceRows lists the first few inputs with what +10 % of each does.
func influenceRows(inputs []predict.Influence) [][]string {
	rows := [][]string{{"input", "value", "at +10 %", "variance"}}
	for _, in := range inputs[:min(fewInfluences, len(inputs))] {
		rows = append(rows, []string{in.Path, inputText(in), signedPercent(in.Change), percent(in.VarianceShare)})
	}
	return rows
}

func cautionsText(p *page, a *predict.Answer) {
	list := slices.Clone(a.Cautions)
	for _, w := range a.Nominal.Warnings {
		if !slices.Contains(list, w) {
			list = append(list, w)
		}
	}
	if len(list) == 0 {
		return
	}
	p.heading("Cautions")
	for _, c := range list {
		p.para(2, 2, "- "+c)
	}
}

// origins is the order in which inputs are counted, from best to least known.
var origins = []quantity.Origin{quantity.Measured, quantity.Stated, quantity.Fitted, quantity.Derived, quantity.Handbook, quantity.Guessed}

// groundsText says what the answer rests on: origins of the inputs, ledgers,
// samples.
func groundsText(p *page, a *predict.Answer, d *design.Design) {
	p.heading("Grounds")
	if len(a.Inputs) > 0 {
		p.paraf(2, 2, "Uncertain inputs: %d, of these %s.", len(a.Inputs), originCounts(a.Inputs))
	}
	if d != nil {
		derived := 0
		for _, s := range d.Assumptions() {
			if s.Origin == quantity.Derived {
				derived++
			}
		}
		if derived > 0 {
			p.paraf(2, 2, "Values derived from others, which move with them: %d.", derived)
		}
	}
	run := a.Nominal
	p.paraf(2, 2, "Ledger residuals: energy %s, water %s of their scale.", residual(run.Energy), residual(run.Water))
	if b := a.Band; b.Samples > 0 {
		text := fmt.Sprintf("Samples: %d", b.Samples)
		if b.Asked > b.Samples {
			text += fmt.Sprintf(" of %d asked for (interrupted)", b.Asked)
		}
		p.paraf(2, 2, "%s, seed %d. Model: %s, %d steps.", text, b.Seed, run.Depth, run.Steps)
	}
	p.para(2, 2, "This is a prediction, not a measurement.")
}

func originCounts(inputs []predict.Influence) string {
	counts := map[quantity.Origin]int{}
	for _, in := range inputs {
		counts[in.Value.Origin]++
	}
	parts := make([]string, len(origins))
	for i, o := range origins {
		parts[i] = fmt.Sprintf("%d %s", counts[o], o)
	}
	return strings.Join(parts, ", ")
}

func residual(l result.Ledger) string {
	if !finite(l.Residual) {
		return "unknown"
	}
	return fmt.Sprintf("%.0e", l.Residual)
}
