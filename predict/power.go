package predict

import (
	"math"

	"meltspan/design"
	"meltspan/network"
	"meltspan/result"
)

// powerOf lists the estimates of what the load gives, at the mean and at the
// largest plate difference of the run.
func powerOf(d *design.Design, m *network.Model, run *result.Run) []PowerFigure {
	if !(run.MeanDifference > 0) {
		return nil
	}
	if d.Load.Generator != nil {
		return []PowerFigure{{
			Name: "electric, into its load", Mean: run.MeanPower, Peak: run.PeakPower,
			Note: "From the module's Seebeck coefficient and resistances as stated, Peltier and Joule heat included.",
		}}
	}
	hot, cold := workingPlates(d, run)
	mean, ok := m.EnginePower(hot, cold)
	if !ok {
		return nil
	}
	middle := (hot + cold) / 2
	peak, _ := m.EnginePower(middle+run.PeakDifference/2, middle-run.PeakDifference/2)
	figures := []PowerFigure{
		{"West number 0.25", mean.West, peak.West, "Shaft power of an average engine by its power piston (West 1986): the estimate used in the ledger."},
		{"Schmidt cycle", mean.Schmidt, peak.Schmidt, "Ideal isothermal cycle from the swept and dead volumes (Schmidt 1871; Urieli and Berchowitz 1984): an upper bound."},
		{"Carnot", mean.Carnot, peak.Carnot, "Carnot efficiency of the plate temperatures times the heat taken in: an upper bound."},
	}
	beale := PowerFigure{Name: "Beale number", Mean: math.NaN(), Peak: math.NaN(),
		Note: "Not applicable: Beale numbers are for hot ends at twice the cold end's temperature or more."}
	if mean.BealeApplies {
		beale.Mean, beale.Peak, beale.Note = mean.Beale, peak.Beale, "Typical Beale number of high-temperature engines."
	}
	return append(figures, beale)
}

// workingPlates returns the temperatures of the warmer and colder plate, K, at
// the moment of the run whose difference is nearest to the mean.
func workingPlates(d *design.Design, run *result.Run) (hot, cold float64) {
	top, bottom := run.Channel("top_plate"), run.Channel("bottom_plate")
	hot, cold = d.Room.Temperature.SI, d.Room.Temperature.SI-run.MeanDifference
	if top == nil || bottom == nil {
		return hot, cold
	}
	nearest := math.Inf(1)
	for i, t := range run.Times {
		if t < run.Start || t > run.RunTime {
			continue
		}
		a, b := math.Max(top.Values[i], bottom.Values[i]), math.Min(top.Values[i], bottom.Values[i])
		if off := math.Abs(a - b - run.MeanDifference); off < nearest {
			nearest, hot, cold = off, a, b
		}
	}
	return hot, cold
}
