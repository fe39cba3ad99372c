package report

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/search"
)

// SearchText writes what a search found for people at a terminal, in 80 columns
// of plain text. files are the names of the designs written, if any.
func SearchText(w io.Writer, u quantity.Display, r *search.Result, files []string) error {
	if r == nil || len(r.Aims) == 0 {
		return errors.New("report: text: no search was given")
	}
	p := &textpage.Page{CutLong: true}
	p.Para(0, 2, nameOf(r.Design, r.Base.Revision)+": search over "+counted(len(r.Inputs), "input"))
	p.Blank()
	for _, text := range searchHeadline(u, r) {
		p.Para(2, 2, text)
	}
	for _, b := range r.Base.Breaches {
		if b.Words != "" {
			p.Para(2, 2, "The design as it is does not hold: "+u.Restate(b.Words)+".")
		}
	}
	if len(r.Front) > 0 {
		foundTable(p, r)
		changesTable(p, u, r)
		searchCeilings(p, r)
	} else if r.Nearest != nil {
		nearestText(p, u, r)
	}
	if len(files) > 0 {
		p.Heading("Written")
		p.Para(2, 2, strings.Join(files, ", "))
	}
	searchGrounds(p, r)
	return writeText(w, p)
}

// atQuantile says which run time designs are ranked by.
func atQuantile(r *search.Result) string {
	if math.Abs(r.Quantile-(1-predict.Probability)/2) < 1e-9 {
		return "lower end of the 90 % band"
	}
	return strconv.FormatFloat(100*r.Quantile, 'g', 3, 64) + " % quantile"
}

func rankedTime(t float64) string { return quantity.FormatDuration(coarseTime(t)) }

func searchHeadline(u quantity.Display, r *search.Result) []string {
	if len(r.Front) == 0 {
		if r.Tried == 0 {
			return []string{"Interrupted before the first candidate: nothing was found."}
		}
		return []string{"None of the candidates keeps everything that must hold."}
	}
	best := &r.Front[0]
	now := "the design as it is was not ranked"
	if r.Base.Impossible != "" {
		now = "the design as it is cannot be within what must hold"
	}
	if base := r.Base.RunTime(); !math.IsNaN(base) && r.Base.Impossible == "" && (r.Base.Ranked != nil) == (best.Ranked != nil) {
		now = "now " + rankedTime(base)
	}
	out := []string{fmt.Sprintf("Longest run time found: %s at the %s (%s).", rankedTime(best.RunTime()), atQuantile(r), now)}
	if best.Ranked == nil {
		out[0] += " It was screened only, by one run that stands for that quantile: the search was interrupted."
	} else {
		b := bandTimes(best.Ranked.Band.Median, best.Ranked.Band.Low, best.Ranked.Band.High)
		out = append(out, fmt.Sprintf("Its median is %s, between %s and %s with 90 %% probability.", b[0], b[1], b[2]))
	}
	if c := r.Confirm; c != nil {
		text := fmt.Sprintf("Seen once more on %d draws that had no part in the choice: %s at that quantile", c.Samples, rankedTime(c.Best.Quantile))
		if finite(c.SectionBase) {
			text += fmt.Sprintf(" (now %s), longer than now in %s of them", rankedTime(c.Base.Quantile), percent(c.Best.Longer))
		}
		out = append(out, text+".")
		text = fmt.Sprintf("On the fine section (%s), with all inputs nominal: %s, by the network %s", u.Format(c.Spacing, quantity.Length, 2),
			quantity.FormatDuration(c.SectionBest), quantity.FormatDuration(best.Nominal))
		if finite(c.SectionBase) {
			text += fmt.Sprintf("; now %s, by the network %s", quantity.FormatDuration(c.SectionBase), quantity.FormatDuration(r.Base.Nominal))
		}
		out = append(out, text+".")
	}
	return out
}

// mostShown is how many found designs a page holds.
const mostShown = 12

// shownFound picks designs of the front evenly, the first and the last among
// them.
func shownFound(r *search.Result, most int) []int {
	n := len(r.Front)
	var out []int
	for k := range min(n, most) {
		i := k
		if n > most {
			i = int(math.Round(float64(k) * float64(n-1) / float64(most-1)))
		}
		out = append(out, i)
	}
	return out
}

func foundTable(p *textpage.Page, r *search.Result) {
	title := "Found"
	if len(r.Aims) > 1 {
		title = "The front: none of these is beaten in every respect by another"
	}
	p.Heading(title)
	rows := [][]string{{"", "ranked by", "nominal", "early", "prints", "plastic", "freezes", "sweat"}}
	row := func(name string, c *search.Candidate) {
		early := absent
		if c.Ranked != nil {
			early = percent(c.Ranked.Early)
		}
		rows = append(rows, []string{name, orAbsent(c.RunTime(), rankedTime), orAbsent(c.Nominal, rankedTime), early,
			orAbsent(c.PrintTime, rankedTime), gram(c.Material), orAbsent(c.FreezeTime, rankedTime), gram(c.Sweat)})
	}
	row("now", &r.Base)
	for _, i := range shownFound(r, mostShown) {
		row(strconv.Itoa(i+1), &r.Front[i])
	}
	p.Table("rrrrrrrr", rows)
	text := "Ranked by: run time at the " + atQuantile(r) + ". Early: share of the samples that never start, or stall long before the store is spent. Prints: an estimate. Sweat: all condensate over the nominal run."
	if hidden := len(r.Front) - mostShown; hidden > 0 {
		text = fmt.Sprintf("%d more lie between these. ", hidden) + text
	}
	p.Para(2, 2, text)
	if n := len(r.Beaten); n > 0 {
		p.Paraf(2, 2, "Promising at first, and beaten when ranked: %s more.", counted(n, "design"))
	}
}

func gram(kg float64) string {
	if !finite(kg) {
		return absent
	}
	return quantity.FormatIn(kg, quantity.Mass, "g", 2)
}

// changesTable says what the found designs are, input by input.
func changesTable(p *textpage.Page, u quantity.Display, r *search.Result) {
	shown := shownFound(r, 5)
	p.Heading("What they are")
	head := []string{"input", "now"}
	for _, i := range shown {
		head = append(head, strconv.Itoa(i+1))
	}
	rows := [][]string{head}
	for k := range r.Inputs {
		in := &r.Inputs[k]
		row := []string{in.Path, absent}
		if k < len(r.Base.At) {
			row[1] = InputLabel(u, in, r.Base.At[k])
		}
		for _, i := range shown {
			text := InputLabel(u, in, r.Front[i].At[k])
			if in.Step > 0 && !in.Count && len(in.Words) == 0 && nearEnd(in, r.Front[i].At[k]) {
				text += "!"
			}
			row = append(row, text)
		}
		rows = append(rows, row)
	}
	p.Table("lrrrrrr", rows)
	if slices.ContainsFunc(rows, func(row []string) bool {
		return slices.ContainsFunc(row[2:], func(s string) bool { return strings.HasSuffix(s, "!") })
	}) {
		p.Para(2, 2, "!: at an end of its range; a wider one might give more.")
	}
}

// InputLabel is a value of an input as people write it, in the reader's units.
func InputLabel(u quantity.Display, in *search.Input, v float64) string {
	if len(in.Words) > 0 || in.Count || math.IsNaN(v) || u.Symbol(in.Kind) == (quantity.Display{}).Symbol(in.Kind) {
		return in.Label(v)
	}
	return u.FormatShort(v, in.Kind, 4)
}

func nearEnd(in *search.Input, v float64) bool {
	return v <= in.Low+in.Step/2 || v >= in.High-in.Step/2
}

// searchCeilings says how far both designs are from what physics allows, and
// from each other.
func searchCeilings(p *textpage.Page, r *search.Result) {
	c := r.Confirm
	if c == nil {
		return
	}
	p.Heading("Ceilings, with all inputs nominal")
	best := r.Front[0].Nominal
	if finite(c.SectionBase) && best > 0 {
		p.Paraf(2, 2, "Now: %s of the best found (%s).", percent(r.Base.Nominal/best), rankedTime(best))
	}
	line := func(name string, of predict.Ceiling) {
		if len(of.SplitAir) == 0 {
			return
		}
		p.Paraf(2, 2, "%s: %s", name, SplitSentence(fmt.Sprintf("the still-air ceiling, %s", rankedTime(of.StillAir)), of.SplitAir))
	}
	if finite(c.SectionBase) {
		line("Now", c.CeilingBase)
	}
	line("Design 1", c.CeilingBest)
}

func nearestText(p *textpage.Page, u quantity.Display, r *search.Result) {
	p.Heading("Nearest to what must hold")
	for k := range r.Inputs {
		p.Line("  " + r.Inputs[k].Path + ": " + InputLabel(u, &r.Inputs[k], r.Nearest.At[k]))
	}
	if r.Nearest.Impossible != "" {
		p.Para(2, 2, "In its way: "+u.Restate(r.Nearest.Impossible)+".")
	}
	for _, b := range r.Nearest.Breaches {
		if b.Words != "" {
			p.Para(2, 2, "In its way: "+u.Restate(b.Words)+".")
		}
	}
}

func searchGrounds(p *textpage.Page, r *search.Result) {
	p.Heading("Grounds")
	text := fmt.Sprintf("Candidates: %d", r.Tried)
	switch {
	case r.Interrupted && r.Tried < r.Asked:
		text += fmt.Sprintf(" of %d asked for (interrupted)", r.Asked)
	case r.Exhausted:
		text += ", all that the space holds"
	}
	p.Paraf(2, 2, "%s, seed %d. Each was screened by the network: one nominal run for what must hold, one adverse run that stands for the quantile. "+
		"The promising ones were ranked on %d common draws of all that is uncertain.", text, r.Seed, r.Samples)
	if beyond := float64(r.Samples) * min(r.Quantile, 1-r.Quantile); beyond < 20 {
		p.Paraf(2, 2, "Beyond the quantile lie only some %s: it is rough, the order of the designs less so.", counted(int(math.Max(math.Round(beyond), 1)), "draw"))
	}
	p.Para(2, 2, "These are predictions, not measurements.")
}
