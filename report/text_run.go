package report

import (
	"fmt"
	"math"
	"strings"

	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/result"
)

const barColumns = 24

// budgetText writes where the heat came from, with a bar for each share.
func budgetText(p *textpage.Page, run *result.Run, v vocabulary) {
	if len(run.Budget) == 0 {
		return
	}
	sum := 0.0
	for _, path := range run.Budget {
		sum += path.Energy
	}
	p.Heading(fmt.Sprintf("%s, %s: %s, mean %s", v.heatWay, flowPeriod(run), wattHours(math.Abs(sum)),
		quantity.Format(math.Abs(run.MeanStoreHeat), quantity.Power, 2)))
	var rows [][]string
	for _, path := range run.Budget {
		energy := path.Energy
		if v.hot && sum < 0 {
			energy = -energy
		}
		rows = append(rows, []string{path.Label, wattHours(energy), percent(path.Share), shareBar(path.Share)})
	}
	p.Table("lrrl", rows)
}

// shareBar is a bar of # for a share between 0 and 1; a path that runs the
// other way has a bar of -.
func shareBar(share float64) string {
	if !finite(share) {
		return ""
	}
	n := int(math.Round(min(math.Abs(share), 1) * barColumns))
	if share < 0 {
		return strings.Repeat("-", n)
	}
	return strings.Repeat("#", n)
}

func loadText(p *textpage.Page, a *predict.Answer, v vocabulary) {
	run := a.Nominal
	p.Heading("Load while it ran")
	if run.End == result.EndNeverStarted {
		p.Para(2, 2, "It never ran. Largest plate difference: "+differenceText(v.units, run.PeakDifference)+".")
		return
	}
	rows := [][]string{
		{"", "mean", "peak"},
		{v.intake, quantity.Format(run.MeanIntake, quantity.Power, 2), quantity.Format(run.PeakIntake, quantity.Power, 2)},
		{"plate difference", differenceText(v.units, run.MeanDifference), differenceText(v.units, run.PeakDifference)},
	}
	if v.power != "" && len(a.Power) == 0 {
		rows = append(rows, []string{v.power + ", estimated", quantity.Format(run.MeanPower, quantity.Power, 2), quantity.Format(run.PeakPower, quantity.Power, 2)})
	}
	if finite(run.LargestGap) && run.LargestGap > 0 {
		rows = append(rows, []string{"gap between plate and store", "", v.units.Format(run.LargestGap, quantity.Length, 2)})
	}
	p.Table("lrr", rows)
	powerText(p, a.Power, v)
}

// powerText writes the estimates of what the load gives, each with its note
// below the table.
func powerText(p *textpage.Page, figures []predict.PowerFigure, v vocabulary) {
	if len(figures) == 0 {
		return
	}
	title := v.power
	if title == "" {
		title = "power"
	}
	rows := [][]string{{title + ", estimated", "mean", "peak"}}
	var notes []string
	for i, f := range figures {
		name := f.Name
		if f.Note != "" {
			notes = append(notes, fmt.Sprintf("[%d] %s", i+1, v.units.Restate(f.Note)))
			name += fmt.Sprintf(" [%d]", i+1)
		}
		rows = append(rows, []string{name, milliwatts(f.Mean), milliwatts(f.Peak)})
	}
	p.Blank()
	p.Table("lrr", rows)
	for _, note := range notes {
		p.Para(2, 4, note)
	}
}

// milliwatts prints a power to two digits, or a dash where there is none.
func milliwatts(watts float64) string {
	if !finite(watts) {
		return absent
	}
	return quantity.FormatIn(watts, quantity.Power, "mW", 2)
}

// sweatText writes which faces sweat, from when, and how much.
func sweatText(p *textpage.Page, u quantity.Display, run *result.Run) {
	if len(run.Faces) == 0 {
		return
	}
	p.Heading("Condensate")
	rows := [][]string{{"face", "coldest", "sweats from", "in all"}}
	sum := 0.0
	for _, f := range run.Faces {
		from, mass := "stays dry", ""
		if finite(f.FirstSweat) {
			from, mass = quantity.FormatDuration(f.FirstSweat), grams(f.Condensate)
			sum += f.Condensate
		}
		rows = append(rows, []string{f.Name, u.Format(f.Coldest, quantity.Temperature, 3), from, mass})
	}
	p.Table("lrrr", rows)
	if sum > 0 {
		p.Para(2, 2, "All faces together: "+grams(sum)+".")
	} else {
		p.Para(2, 2, "No face falls below the dew point.")
	}
}

// differenceText prints a temperature difference to a tenth.
func differenceText(u quantity.Display, kelvins float64) string {
	return fmt.Sprintf("%.1f %s", u.Of(kelvins, quantity.TemperatureDifference), u.Symbol(quantity.TemperatureDifference))
}

// grams prints a mass to a tenth of a gram, or as less than that.
func grams(kg float64) string {
	if kg > 0 && kg < 0.05e-3 {
		return "<0.1 g"
	}
	return fmt.Sprintf("%.1f g", 1000*kg)
}

func trayText(p *textpage.Page, run *result.Run) {
	if !finite(run.TrayFill) || !finite(run.TrayLeft) {
		return
	}
	p.Heading("Tray")
	fill := quantity.Format(run.TrayFill, quantity.Volume, 2)
	for _, e := range run.Events {
		if e.Kind == result.Overflow && finite(e.Time) {
			p.Paraf(2, 2, "Overflows after %s; it takes up %s.", quantity.FormatDuration(e.Time), fill)
			return
		}
	}
	if run.TrayFill+run.TrayLeft <= 0 && run.TrayFill < 1e-7 {
		p.Paraf(2, 2, "None is stated, and nothing comes down to it.")
		return
	}
	if run.TrayLeft < 0 {
		p.Paraf(2, 2, "Overflows: %s come down to it, %s more than it holds.", fill, quantity.Format(-run.TrayLeft, quantity.Volume, 2))
		return
	}
	p.Paraf(2, 2, "Takes up %s and has room for %s more.", fill, quantity.Format(run.TrayLeft, quantity.Volume, 2))
}
