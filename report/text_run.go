package report

import (
	"fmt"
	"math"
	"strings"

	"meltspan/quantity"
	"meltspan/result"
)

const barColumns = 24

// budgetText writes where the heat came from, with a bar for each share.
func budgetText(p *page, run *result.Run, v vocabulary) {
	if len(run.Budget) == 0 {
		return
	}
	sum := 0.0
	for _, path := range run.Budget {
		sum += path.Energy
	}
	p.heading(fmt.Sprintf("%s, %s: %s, mean %s", v.heatWay, flowPeriod(run), wattHours(math.Abs(sum)),
		quantity.Format(math.Abs(run.MeanStoreHeat), quantity.Power, 2)))
	var rows [][]string
	for _, path := range run.Budget {
		energy := path.Energy
		if v.hot && sum < 0 {
			energy = -energy
		}
		rows = append(rows, []string{path.Label, wattHours(energy), percent(path.Share), shareBar(path.Share)})
	}
	p.table("lrrl", rows)
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

func loadText(p *page, run *result.Run, v vocabulary) {
	p.heading("Load while it ran")
	if run.End == result.EndNeverStarted {
		p.para(2, 2, "It never ran. Largest plate difference: "+kelvins(run.PeakDifference)+".")
		return
	}
	rows := [][]string{
		{"", "mean", "peak"},
		{v.intake, quantity.Format(run.MeanIntake, quantity.Power, 2), quantity.Format(run.PeakIntake, quantity.Power, 2)},
		{"plate difference", kelvins(run.MeanDifference), kelvins(run.PeakDifference)},
	}
	if v.power != "" {
		rows = append(rows, []string{v.power + ", estimated", quantity.Format(run.MeanPower, quantity.Power, 2), quantity.Format(run.PeakPower, quantity.Power, 2)})
	}
	if finite(run.LargestGap) && run.LargestGap > 0 {
		rows = append(rows, []string{"gap between plate and store", "", quantity.Format(run.LargestGap, quantity.Length, 2)})
	}
	p.table("lrr", rows)
}

// sweatText writes which faces sweat, from when, and how much.
func sweatText(p *page, run *result.Run) {
	if len(run.Faces) == 0 {
		return
	}
	p.heading("Condensate")
	rows := [][]string{{"face", "coldest", "sweats from", "in all"}}
	sum := 0.0
	for _, f := range run.Faces {
		from, mass := "stays dry", ""
		if finite(f.FirstSweat) {
			from, mass = quantity.FormatDuration(f.FirstSweat), grams(f.Condensate)
			sum += f.Condensate
		}
		rows = append(rows, []string{f.Name, quantity.Format(f.Coldest, quantity.Temperature, 3), from, mass})
	}
	p.table("lrrr", rows)
	if sum > 0 {
		p.para(2, 2, "All faces together: "+grams(sum)+".")
	} else {
		p.para(2, 2, "No face falls below the dew point.")
	}
}

// kelvins prints a temperature difference to a tenth of a kelvin.
func kelvins(difference float64) string { return fmt.Sprintf("%.1f K", difference) }

// grams prints a mass to a tenth of a gram, or as less than that.
func grams(kg float64) string {
	if kg > 0 && kg < 0.05e-3 {
		return "<0.1 g"
	}
	return fmt.Sprintf("%.1f g", 1000*kg)
}

func trayText(p *page, run *result.Run) {
	if !finite(run.TrayFill) || !finite(run.TrayLeft) {
		return
	}
	p.heading("Tray")
	fill := quantity.Format(run.TrayFill, quantity.Volume, 2)
	for _, e := range run.Events {
		if e.Kind == result.Overflow && finite(e.Time) {
			p.paraf(2, 2, "Overflows after %s; it takes up %s.", quantity.FormatDuration(e.Time), fill)
			return
		}
	}
	if run.TrayLeft < 0 {
		p.paraf(2, 2, "Overflows: %s come down to it, %s more than it holds.", fill, quantity.Format(-run.TrayLeft, quantity.Volume, 2))
		return
	}
	p.paraf(2, 2, "Takes up %s and has room for %s more.", fill, quantity.Format(run.TrayLeft, quantity.Volume, 2))
}
