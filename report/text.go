package report

import (
	"errors"
	"fmt"
	"io"
	"slices"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/result"
)

// Text writes an answer for people at a terminal, in 80 columns of plain
// text. The design lends the words (a hot store gives heat, ice melts); d may
// be nil, and then the store is taken as cold and of no certain substance. u is
// the units of the reader, here and in all other texts and pictures.
func Text(w io.Writer, u quantity.Display, a *predict.Answer, d *design.Design) error {
	if a == nil || a.Nominal == nil {
		return errors.New("report: text: the answer holds no run")
	}
	p, words := &textpage.Page{CutLong: true}, wordsFor(d, u)
	p.Para(0, 2, nameOf(a.Design, a.Revision))
	headlineText(p, a, words)
	budgetText(p, a.Nominal, words)
	loadText(p, a, words)
	sweatText(p, u, a.Nominal)
	trayText(p, a.Nominal)
	freezingText(p, u, a.Freezing)
	ceilingText(p, a)
	influencesText(p, u, a)
	cautionsText(p, u, a)
	groundsText(p, a, d)
	return writeText(w, p)
}

func writeText(w io.Writer, p *textpage.Page) error {
	if t, ok := w.(*taker); ok {
		t.blocks = append(t.blocks, p.Blocks()...)
		return nil
	}
	if _, err := io.WriteString(w, p.String()); err != nil {
		return fmt.Errorf("report: writing text: %w", err)
	}
	return nil
}

// vocabulary is the words that depend on what the design is, and the units that
// the reader has.
type vocabulary struct {
	hot     bool
	store   string // "ice", or "store"
	heatWay string // title of the budget
	melted  string // how the store is used up
	intake  string // what passes through the load
	power   string // what the load gives, "" for nothing
	units   quantity.Display
}

func wordsFor(d *design.Design, u quantity.Display) vocabulary {
	v := vocabulary{store: "store", heatWay: "Heat into the store", melted: "melts", intake: "heat into the load", power: "power", units: u}
	if d == nil {
		return v
	}
	if d.Store.Substance == "ice" {
		v.store = "ice"
	}
	if d.Store.Temperature.Present() && d.Room.Temperature.Present() && !d.ColdStore() {
		v.hot, v.heatWay, v.melted, v.intake = true, "Heat that left the store", "freezes", "heat from the store through the load"
	}
	switch {
	case d.Load.Engine != nil:
		v.power = "mechanical power"
	case d.Load.Generator != nil:
		v.power = "electric power"
	case d.Load.Leak != nil || d.Load.Sample != nil:
		v.power = ""
	}
	return v
}

func headlineText(p *textpage.Page, a *predict.Answer, v vocabulary) {
	run := a.Nominal
	p.Blank()
	p.Para(2, 2, bandSentence(a.Band))
	p.Para(2, 2, nominalSentence(run, v.units, a.Learned != nil))
	if a.Criterion != "" {
		p.Paraf(2, 2, "The run ends by: %s.", v.units.Restate(a.Criterion))
	}
	switch {
	case finite(run.LastIce) && a.LastIce.Samples > 0:
		t := bandTimes(a.LastIce.Low, a.LastIce.High)
		p.Paraf(2, 2, "The last of the %s %s after %s (%s to %s in the samples where it does).",
			v.store, v.melted, quantity.FormatDuration(run.LastIce), t[0], t[1])
	case finite(run.LastIce):
		p.Paraf(2, 2, "The last of the %s %s after %s.", v.store, v.melted, quantity.FormatDuration(run.LastIce))
	case holdsNumber(run.Channel("solid")) && someAbove(run.Channel("solid").Values):
		p.Paraf(2, 2, "The %s is not used up within the time simulated.", v.store)
	default:
		p.Paraf(2, 2, "The %s does not melt or freeze: it holds heat by its temperature alone.", v.store)
	}
}

func someAbove(values []float64) bool {
	return slices.ContainsFunc(values, func(x float64) bool { return x > 0 })
}

// bandSentence says what the band of the run time is, and in how many samples
// the run never starts or never ends.
func bandSentence(b predict.Band) string {
	if b.Samples == 0 {
		return "No band was worked out: what follows is the nominal run only."
	}
	var text string
	t := bandTimes(b.Median, b.Low, b.High)
	switch {
	case b.NeverStarted >= 0.995:
		return "Never starts, in any of the samples of what is uncertain."
	case b.StillRunning >= 0.995:
		return fmt.Sprintf("Still running when the simulation ends at %s, in all samples: the run time is longer.", t[0])
	case b.NeverStarted > 0.5:
		text = fmt.Sprintf("Most likely it never starts. Where it does, it may run for up to %s.", t[2])
	case b.StillRunning > (1-b.Probability)/2: // the upper end is where the simulation ended
		text = fmt.Sprintf("Run time %s, between %s and more than %s with %s probability.", t[0], t[1], t[2], percent(b.Probability))
	default:
		text = fmt.Sprintf("Run time %s, between %s and %s with %s probability.", t[0], t[1], t[2], percent(b.Probability))
	}
	if b.NeverStarted > 0 {
		text += fmt.Sprintf(" It never starts in %s of the samples (counted as zero).", percent(b.NeverStarted))
	}
	if b.StillRunning > 0 {
		text += fmt.Sprintf(" It is still running in %s of the samples when the simulation ends (counted with that time).", percent(b.StillRunning))
	}
	return text
}

func nominalSentence(run *result.Run, u quantity.Display, learned bool) string {
	inputs := "With all inputs nominal"
	if learned {
		inputs = "With all inputs at their means, as learned"
	}
	switch run.End {
	case result.EndNeverStarted:
		return inputs + " it never starts: the plate difference reaches " +
			differenceText(u, run.PeakDifference) + " at most."
	case result.EndHorizon:
		return inputs + " it is still running after " + quantity.FormatDuration(run.Simulated) +
			", where the simulation ended."
	}
	text := inputs + ": " + quantity.FormatDuration(run.RunTime)
	if finite(run.Start) && run.Start > 0 {
		text += " (starts after " + quantity.FormatDuration(run.Start) + ")"
	}
	if run.End == result.EndLimit {
		return text + ", then the temperature limit is passed."
	}
	return text + "."
}
