package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/result"
)

// freezingText adds what the freezer takes to a page; nothing for nil.
func freezingText(p *textpage.Page, u quantity.Display, f *predict.Freezing) {
	if f == nil {
		return
	}
	p.Heading("Freezing beforehand")
	t := bandTimes(f.Time, f.Low, f.High)
	method := ""
	if f.Method != "" {
		method = ", by " + f.Method
	}
	p.Paraf(2, 2, "Takes %s (%s to %s)%s.", t[0], t[1], t[2], method)
	if f.FilmFrom != "" {
		p.Paraf(2, 2, "The range holds with %s probability; film about the mould %s, %s.", percent(predict.Probability),
			quantity.Format(f.Film, quantity.HeatTransferCoefficient, 2), u.Restate(f.FilmFrom))
	}
	where := "cup"
	if f.InMould {
		where = "mould"
	}
	change := "grows"
	if f.Expansion < 0 {
		change = "shrinks"
	}
	length := func(m float64) string { return lengthText(u, m) }
	switch {
	case !finite(f.Headroom) || !finite(f.Poured) || !finite(f.Frozen):
	case f.Headroom < 0:
		p.Paraf(2, 2, "Poured %s deep, it %s by %s to %s: %s too high for the %s. It will jam or spill.",
			length(f.Poured), change, percent(math.Abs(f.Expansion)), length(f.Frozen), length(-f.Headroom), where)
	default:
		p.Paraf(2, 2, "Poured %s deep, it %s by %s to %s and leaves %s of headroom in the %s.",
			length(f.Poured), change, percent(math.Abs(f.Expansion)), length(f.Frozen), length(f.Headroom), where)
	}
}

// lengthText prints a length to a tenth of a millimetre, or as finely in another
// unit.
func lengthText(u quantity.Display, m float64) string {
	if u.Symbol(quantity.Length) == "mm" {
		return fmt.Sprintf("%.1f mm", 1000*m)
	}
	return fmt.Sprintf("%.3f %s", u.Of(m, quantity.Length), u.Symbol(quantity.Length))
}

func ceilingText(p *textpage.Page, a *predict.Answer) {
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
	p.Heading("Ceiling for this charge and load")
	p.Table("lrr", append([][]string{{"", "run time", "reached"}}, rows...))
	splitText(p, c)
}

// splitText says what takes the rest, of the nearer ceiling where there is one.
func splitText(p *textpage.Page, c predict.Ceiling) {
	of, parts := "the still-air ceiling", c.SplitAir
	if len(parts) == 0 {
		of, parts = "the ceiling without leaks", c.Split
	}
	if len(parts) == 0 {
		return
	}
	p.Para(2, 2, SplitSentence(of, parts))
}

// leastLoss is the share below which parts of a split are told together.
const leastLoss = 0.01

// SplitSentence says how much of a ceiling a design has and what takes the
// rest, most first.
func SplitSentence(of string, parts []predict.Loss) string {
	var rest []predict.Loss
	reached, small := 0.0, 0.0
	for _, l := range parts {
		switch {
		case l.ID == predict.LossReached:
			reached = l.Share
		case math.Abs(l.Share) < leastLoss:
			small += l.Share
		default:
			rest = append(rest, l)
		}
	}
	slices.SortStableFunc(rest, func(a, b predict.Loss) int { return cmp.Compare(b.Share, a.Share) })
	var words []string
	for _, l := range rest {
		words = append(words, l.Label+" "+percent(l.Share))
	}
	if math.Abs(small) >= leastLoss/2 {
		words = append(words, "other "+percent(small))
	}
	if len(words) == 0 {
		return fmt.Sprintf("You have %s of %s.", percent(reached), of)
	}
	return fmt.Sprintf("You have %s of %s; of the store's capacity the rest goes to: %s.", percent(reached), of, strings.Join(words, ", "))
}

func roundCeiling(t float64) string { return bandTimes(t, 0)[0] }

const fewInfluences = 5

func influencesText(p *textpage.Page, u quantity.Display, a *predict.Answer) {
	if len(a.Inputs) == 0 {
		return
	}
	p.Heading("What matters most")
	p.Table("llrr", influenceRows(u, a.Inputs))
	if n := len(a.Inputs) - fewInfluences; n > 0 {
		p.Paraf(2, 2, "%d more uncertain inputs matter less.", n)
	}
	p.Para(2, 2, "At +10 %: change of the run time for 10 % more of the input (for a temperature, 10 % of the difference between room and store). Variance: share of the band's variance.")
	if l := a.Learned; l != nil && l.Paced && finite(a.Residual) && !sharesUnknown(a.Inputs) {
		p.Paraf(2, 2, "%s of the variance comes from what the model gets wrong as a whole, from the scatter between trials, and from inputs acting together or not linearly.", percent(a.Residual))
		return
	}
	varianceText(p, a.Inputs, a.Residual)
}

// varianceText says what the shares of the variance leave open.
func varianceText(p *textpage.Page, inputs []predict.Influence, residual float64) {
	switch {
	case sharesUnknown(inputs):
		p.Para(2, 2, tooFewToShare)
	case finite(residual) && residual > 0:
		p.Para(2, 2, residualSentence(residual))
	}
}

func residualSentence(share float64) string {
	return percent(share) + " of the variance comes from inputs acting together or not linearly."
}

// influenceRows lists the first few inputs with what +10 % of each does.
func influenceRows(u quantity.Display, inputs []predict.Influence) [][]string {
	rows := [][]string{{"input", "value", "at +10 %", "variance"}}
	for _, in := range inputs[:min(fewInfluences, len(inputs))] {
		rows = append(rows, []string{inputName(in), inputText(u, in), orAbsent(in.Change, signedPercent), orAbsent(in.VarianceShare, percent)})
	}
	return rows
}

func cautionsText(p *textpage.Page, u quantity.Display, a *predict.Answer) {
	list := slices.Clone(a.Cautions)
	for _, w := range a.Nominal.Warnings {
		if !slices.Contains(list, w) {
			list = append(list, w)
		}
	}
	listCautions(p, u, list)
}

func listCautions(p *textpage.Page, u quantity.Display, list []string) {
	if len(list) == 0 {
		return
	}
	p.Heading("Cautions")
	for _, c := range list {
		p.Para(2, 2, "- "+u.Restate(c))
	}
}

// learnedText says what an answer took from trials.
func learnedText(p *textpage.Page, l *predict.Learned) {
	if l == nil {
		return
	}
	p.Paraf(2, 2, "Learned from trials: %s. %d inputs are as its %d draws have them; the nominal run takes their means, as fitted; all others are as the design has them.", l.From, l.Inputs, l.Draws)
	if l.Paced {
		p.Para(2, 2, "The bands hold what the model gets wrong of all times of a design, and the scatter from trial to trial, as the calibration assumed them. The shares of the variance overlap where trials tied inputs together.")
	}
}

// origins is the order in which inputs are counted, from best to least known.
var origins = []quantity.Origin{quantity.Measured, quantity.Stated, quantity.Fitted, quantity.Derived, quantity.Handbook, quantity.Guessed}

// groundsText says what the answer rests on: origins of the inputs, ledgers,
// samples.
func groundsText(p *textpage.Page, a *predict.Answer, d *design.Design) {
	p.Heading("Grounds")
	if len(a.Inputs) > 0 {
		p.Paraf(2, 2, "Uncertain inputs: %d, of these %s.", len(a.Inputs), originCounts(a.Inputs))
	}
	if d != nil {
		derived := 0
		for _, s := range d.Assumptions() {
			if s.Origin == quantity.Derived {
				derived++
			}
		}
		if derived > 0 {
			p.Paraf(2, 2, "Values derived from others, which move with them: %d.", derived)
		}
	}
	learnedText(p, a.Learned)
	run := a.Nominal
	p.Paraf(2, 2, "Ledger residuals: energy %s, water %s of their scale.", residual(run.Energy), residual(run.Water))
	if b := a.Band; b.Samples > 0 {
		p.Paraf(2, 2, "%s Model: %s, %d steps.", samplesText(b), run.Depth, run.Steps)
	}
	p.Para(2, 2, "This is a prediction, not a measurement.")
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
