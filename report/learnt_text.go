package report

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"meltspan/calibrate"
	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/quantity"
)

// mostLearnt is how many unknowns a text or picture of a calibration shows.
const mostLearnt = 12

// CalibrationText writes what trials taught, for people at a terminal. The
// predictions, if any, are of designs by that posterior.
func CalibrationText(w io.Writer, u quantity.Display, c *calibrate.Posterior, predictions ...*calibrate.Prediction) error {
	if c == nil || len(c.Trials) == 0 {
		return errors.New("report: text: no calibration was given")
	}
	p := &textpage.Page{CutLong: true}
	p.Paraf(0, 2, "What %s taught.", trialsNamed(c))
	p.Heading("Unknowns, before and after (middle 90 %)")
	rows := [][]string{{"unknown", "before", "after", "kept"}}
	for _, x := range shownUnknowns(c) {
		before, after := intervalText(u, x.Prior, x.Column), intervalText(u, x.Posterior, x.Column)
		rows = append(rows, []string{unknownName(x.Column), before, withoutUnit(after, before), percent(x.Spread)})
	}
	p.Table("lllr", rows)
	p.Para(2, 2, "Kept: share of its spread that an unknown keeps.")
	if n := len(c.Unknowns) - len(rows) + 1; n > 0 {
		p.Paraf(2, 2, "%d more unknowns changed less.", n)
	}
	p.Heading("What these trials cannot tell apart")
	for _, t := range c.Ties {
		p.Para(2, 2, "- "+u.Restate(t.Words))
	}
	if len(c.Ties) == 0 {
		p.Para(2, 2, "No two of the unknowns followed hang together so closely that they are known together and not each.")
	}
	predictionText(p, predictions)
	p.Heading("How the trials sit with the model")
	rows = [][]string{{"trial", "run time seen", "by the model", "chance"}}
	for _, f := range c.Trials {
		seen, model := absent, absent
		if finite(f.Observed) {
			seen = quantity.FormatDuration(f.Observed)
		}
		if finite(f.Observed) && finite(f.Model.Median) && f.Model.Median > 0 {
			t := bandTimes(f.Model.Low, f.Model.High)
			model = t[0] + " to " + t[1]
		}
		rows = append(rows, []string{f.Name, seen, model, orAbsent(f.Chance, percent)})
	}
	p.Table("lrrr", rows)
	p.Para(2, 2, "Chance: that data made by the model lie as far from it as the trial's do. Below 1 % the trial does not fit; near 100 % it fits better than was assumed.")
	listCautions(p, u, c.Cautions)
	calibrationGrounds(p, u, c)
	return writeText(w, p)
}

// trialsNamed lists the trials of a calibration, or counts them.
func trialsNamed(c *calibrate.Posterior) string {
	if len(c.Trials) > 4 {
		return counted(len(c.Trials), "trial")
	}
	var names []string
	for _, t := range c.Trials {
		names = append(names, t.Name)
	}
	if last := len(names) - 1; last > 0 {
		return strings.Join(names[:last], ", ") + " and " + names[last]
	}
	return names[0]
}

func predictionText(p *textpage.Page, predictions []*calibrate.Prediction) {
	if len(predictions) == 0 {
		return
	}
	p.Heading("Run time of a trial to come (middle 90 %)")
	rows := [][]string{{"design", "before", "after", "median after"}}
	for _, x := range predictions {
		before, after := bandTimes(x.Prior.Low, x.Prior.High), bandTimes(x.Posterior.Low, x.Posterior.Median, x.Posterior.High)
		rows = append(rows, []string{x.Design, before[0] + " to " + before[1], after[0] + " to " + after[2], after[1]})
	}
	p.Table("lrrr", rows)
}

// RunTimeInterval words the middle 90 % of a run time.
func RunTimeInterval(i calibrate.Interval) string {
	t := bandTimes(i.Median, i.Low, i.High)
	return fmt.Sprintf("%s, between %s and %s with %s probability", t[0], t[1], t[2], percent(predict.Probability))
}

// calibrationGrounds says what the posterior rests on and what is assumed.
func calibrationGrounds(p *textpage.Page, u quantity.Display, c *calibrate.Posterior) {
	s, a := &c.Sampling, &c.Discrepancy
	p.Heading("Grounds")
	p.Para(2, 2, "Measured: the trials. Fitted: the unknowns. Guessed or from handbooks: what was known before, by the designs (meltspan assumptions lists it).")
	p.Paraf(2, 2, "Assumed, not measured: beyond the unknowns, run times differ from the model's by %s from design to design and %s from trial to trial, temperatures by %s, slowly varying, the difference at which the load of one trial stalls by %s, and sensors that do not say otherwise by %s (one standard deviation each).",
		percent(a.Design), percent(a.Repeat), differenceText(u, a.Temperature), differenceText(u, a.Stall), u.Format(a.Sensor, quantity.TemperatureDifference, 2))
	rest := "by straight lines"
	if s.Weighted || s.Tempered {
		rest = "integrated out"
	}
	p.Paraf(2, 2, "%d unknowns followed exactly, %d %s, on %d numbers from the trials.", s.Followed, s.Straight, rest, s.Features)
	how := fmt.Sprintf("%d chains, %d draws", s.Chains, s.Draws)
	switch {
	case s.Tempered:
		how = fmt.Sprintf("A tempered population of %d runs", s.Checked)
	case s.Weighted:
		how += fmt.Sprintf(", weighed by %d runs of the network", s.Checked)
	default:
		how += fmt.Sprintf(", checked by %d runs of the network (efficiency %s)", s.Checked, percent(s.Efficiency))
	}
	p.Paraf(2, 2, "%s; R-hat %.3f, effective size %.0f; %d network runs in all, seed %d.", how, s.Rhat, s.Size, s.Runs, s.Seed)
}

// shownUnknowns are the first few that trials changed, those of the assumed
// discrepancy left out: they are the model's, not the user's.
func shownUnknowns(c *calibrate.Posterior) []calibrate.Learned {
	var out []calibrate.Learned
	for _, u := range c.Unknowns {
		if !calibrate.Assumed(u.Path) && len(out) < mostLearnt && (u.Followed || u.Spread < 0.95) {
			out = append(out, u)
		}
	}
	return out
}

func unknownName(c calibrate.Column) string {
	if c.Of == "" {
		return c.Path
	}
	return c.Path + " (" + c.Of + ")"
}

// intervalText prints the ends of an interval, the unit once where both have the
// same.
func intervalText(u quantity.Display, i calibrate.Interval, c calibrate.Column) string {
	if c.Kind == quantity.Fraction && plainNumber(c.Path) {
		return fmt.Sprintf("%.2f to %.2f", i.Low, i.High)
	}
	low, high := u.Format(i.Low, c.Kind, 3), u.Format(i.High, c.Kind, 3)
	number, unit, _ := strings.Cut(low, " ")
	if _, other, _ := strings.Cut(high, " "); unit == other {
		low = number
	}
	return low + " to " + high
}

// withoutUnit leaves out the unit of an interval that stands beside another of the
// same.
func withoutUnit(text, beside string) string {
	words, others := strings.SplitN(text, " ", 4), strings.SplitN(beside, " ", 4)
	if len(words) == 4 && len(others) == 4 && words[3] == others[3] {
		return strings.Join(words[:3], " ")
	}
	return text
}
