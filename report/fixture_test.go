package report

import (
	"math"

	"meltspan/design"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/result"
)

// All numbers in this file are invented: they look like an answer but come
// from no model. Tests check what is shown of them, never their physics.

const wh = 3600.0 // J

func fixtureRun() *result.Run {
	const (
		hours   = 6.0
		meltEnd = 5.2
	)
	n := 361
	times := make([]float64, n)
	top, bottom, store, outside, room, dew := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	difference, solid := make([]float64, n), make([]float64, n)
	for i := range n {
		h := hours * 1.05 * float64(i) / float64(n-1)
		times[i] = h * 3600
		tail := max(0, h-meltEnd)
		room[i] = 297.15
		dew[i] = 287.0
		store[i] = 273.15 - 8*math.Exp(-h/0.15) + 5*tail
		bottom[i] = 273.15 + 3.2 + 0.5*h + 6*tail - 3*math.Exp(-h/0.1)
		top[i] = 289.5 - 0.3*h + 1.0*tail + 7*math.Exp(-h/0.12)
		outside[i] = 293.2 + 3.9*math.Exp(-h/0.4)
		difference[i] = top[i] - bottom[i]
		solid[i] = max(0, 0.118*(1-h/meltEnd))
	}
	return &result.Run{
		Design: "Hollow stand, two cavities", Revision: "3f9a1c", Depth: "network", End: result.EndStalled,
		RunTime: 5.9 * 3600, Start: 240, LastIce: meltEnd * 3600, Simulated: hours * 1.05 * 3600,
		Times: times,
		Channels: []result.Channel{
			{ID: "top_plate", Label: "top plate", Kind: quantity.Temperature, Values: top},
			{ID: "bottom_plate", Label: "bottom plate", Kind: quantity.Temperature, Values: bottom},
			{ID: "store", Label: "ice or pool", Kind: quantity.Temperature, Values: store},
			{ID: "outside", Label: "outer skin, coldest", Kind: quantity.Temperature, Values: outside},
			{ID: "room", Label: "room air", Kind: quantity.Temperature, Values: room},
			{ID: "dew_point", Label: "dew point", Kind: quantity.Temperature, Values: dew},
			{ID: "difference", Label: "plate difference", Kind: quantity.TemperatureDifference, Values: difference},
			{ID: "solid", Label: "ice", Kind: quantity.Mass, Values: solid},
		},
		Events: []result.Event{
			{Kind: result.LoadSet, Time: 0},
			{Kind: result.Started, Time: 240},
			{Kind: result.FirstSweat, Time: 600, Detail: "top plate"},
			{Kind: result.MeltStart, Time: 1500},
			{Kind: result.ContactLost, Time: 2700},
			{Kind: result.MeltEnd, Time: meltEnd * 3600},
			{Kind: result.Stalled, Time: 5.9 * 3600},
		},
		Flows:  fixtureFlows(),
		Budget: fixtureBudget(),
		Faces: []result.Face{
			{Name: "top plate", Area: 0.0071, Coldest: 287.9, FirstSweat: 600, Condensate: 0.0051},
			{Name: "outer skin", Area: 0.031, Coldest: 292.6, FirstSweat: math.NaN()},
			{Name: "plate edge", Area: 0.0006, Coldest: 276.4, FirstSweat: 120, Condensate: 0.0006},
		},
		Energy:     result.Ledger{Gained: 31000, Kept: 30996, Left: 4.1, Scale: 31000, Residual: -3.2e-6},
		Water:      result.Ledger{Gained: 0.0057, Kept: 0.0057, Scale: 0.1237, Residual: 1e-15},
		MeanIntake: 0.62, PeakIntake: 1.1, MeanPower: 0.00021, PeakPower: 0.00064, MeanDifference: 11.2, PeakDifference: 18.5, MeanStoreHeat: 1.56,
		TrayFill: 5.4e-6, TrayLeft: 34.6e-6, LargestGap: 0.0023,
		Steps: 4100,
	}
}

// fixtureFlows balances at every node: what enters the parts leaves them. One
// flow is negative and one closes a cycle between wall and rim.
func fixtureFlows() []result.Flow {
	f := func(from, to, mechanism string, e float64) result.Flow {
		return result.Flow{From: from, To: to, Mechanism: mechanism, Energy: e * wh}
	}
	return []result.Flow{
		f("room", "top plate", "convection", 1.10),
		f("room", "top plate", "radiation", 1.25),
		f("room", "top plate", "condensation", 0.35),
		f("room", "wall", "convection", 1.50),
		f("room", "wall", "radiation", 1.90),
		f("room", "wall", "condensation", 0.40),
		f("room", "rim", "convection", 0.05),
		f("room", "base", "convection", 0.50),
		f("room", "base", "radiation", 0.40),
		f("room", "base", "conduction", 0.60),
		f("top plate", "top plate", "stored heat", 0.10),
		f("wall", "wall", "stored heat", 0.55),
		f("bottom plate", "bottom plate", "stored heat", 0.08),
		f("top plate", "engine", "conduction", 2.80),
		f("engine", "bottom plate", "conduction", 1.90),
		f("engine", "bottom plate", "cycle", 0.899),
		f("engine", "work", "cycle", 0.001),
		f("wall", "store", "conduction", 3.00),
		f("wall", "rim", "conduction", 1.00),
		f("base", "wall", "conduction", -0.60),
		f("rim", "wall", "conduction", 0.25),
		f("rim", "bottom plate", "conduction", 0.50),
		f("rim", "store", "conduction", 0.30),
		f("base", "store", "conduction", 2.10),
		f("bottom plate", "store", "contact or gap", 3.379),
		f("store", "store", "melting", 7.90),
		f("store", "store", "warming", 0.879),
	}
}

func fixtureBudget() []result.Path {
	p := func(id, label string, e float64) result.Path {
		return result.Path{ID: id, Label: label, Energy: e * wh, Share: e / 8.779}
	}
	return []result.Path{
		p("engine", "through the engine", 2.879),
		p("rim", "rim and plate edge", 0.80),
		p("wall", "through the wall", 3.00),
		p("base", "through the base", 2.10),
	}
}

func fixtureBand(low, median, high float64) predict.Band {
	return predict.Band{Probability: 0.9, Low: low, Median: median, High: high, Mean: median * 1.01,
		Kind: quantity.Time, Samples: 512, Asked: 512, Seed: 1}
}

func fixtureAnswer() *predict.Answer {
	h := 3600.0
	return &predict.Answer{
		Design: "Hollow stand, two cavities", Revision: "3f9a1c",
		Criterion: "plate difference below the stall difference for good",
		Nominal:   fixtureRun(),
		Band:      fixtureBand(4.31*h, 5.52*h, 7.27*h),
		LastIce:   fixtureBand(4.1*h, 5.1*h, 6.3*h),
		Residual:  0.04,
		Power: []predict.PowerFigure{
			{Name: "West number 0.25", Mean: 0.00021, Peak: 0.00064, Note: "Shaft power of an average engine: the estimate used in the ledger."},
			{Name: "Carnot", Mean: 0.024, Peak: 0.071, Note: "Carnot efficiency times the heat taken in: an upper bound."},
			{Name: "Beale number", Mean: math.NaN(), Peak: math.NaN(), Note: "Not applicable at so small a difference."},
		},
		Inputs: []predict.Influence{
			{Path: "load.engine.still_conductance", About: "plate to plate when it stands still, ring wall and screws included; worked out from the parts below when absent", Kind: quantity.ThermalConductance,
				Value: quantity.Value{SI: 0.10, Spread: 0.02, Origin: quantity.Guessed}, Step: 0.01, Change: -0.031, VarianceShare: 0.34},
			{Path: "load.engine.stall_difference", About: "plate difference below which it stops", Kind: quantity.TemperatureDifference,
				Value: quantity.Value{SI: 5, Spread: 1.5, Origin: quantity.Guessed}, Step: 0.5, Change: -0.028, VarianceShare: 0.27},
			{Path: "store.mass", About: "weighed charge", Kind: quantity.Mass,
				Value: quantity.Value{SI: 0.118, Spread: 0.0005, Origin: quantity.Measured}, Step: 0.0118, Change: 0.091, VarianceShare: 0.002},
			{Path: "room.temperature", About: "air, as the mean over the trial", Kind: quantity.Temperature,
				Value: quantity.Value{SI: 297.15, Spread: 0.5, Origin: quantity.Stated}, Step: 2.4, Change: -0.062, VarianceShare: 0.06},
			{Path: "stand.emissivity", About: "of the outside; from the material when absent", Kind: quantity.Fraction,
				Value: quantity.Value{SI: 0.92, Spread: 0.03, Origin: quantity.Handbook}, Step: 0.092, Change: -0.029, VarianceShare: 0.12},
			{Path: "model.cavity", About: "convection in closed cavities", Kind: quantity.Fraction,
				Value: quantity.Value{SI: 1, Spread: 0.1, Origin: quantity.Handbook}, Step: 0.1, Change: -0.014, VarianceShare: 0.09},
			{Path: "stand.contact.wet_coefficient", About: "between plate and melting store where they touch", Kind: quantity.HeatTransferCoefficient,
				Value: quantity.Value{SI: 300, Spread: 150, Origin: quantity.Guessed}, Step: 30, Change: 0.0004, VarianceShare: 0.0002},
		},
		Ceiling: predict.Ceiling{Capacity: 41000, LeastIntake: 0.5, NoLeak: 22.8 * h, StillAir: 9.1 * h, AirLeak: 0.75, Reached: 0.247, ReachedAir: 0.619},
		Freezing: &predict.Freezing{Time: 6.1 * h, Low: 4.8 * h, High: 8.2 * h, Method: "Plank's equation with sensible heat", Expansion: 0.09,
			Poured: 0.0235, Frozen: 0.0256, Headroom: 0.0024, InMould: true},
		Cautions: []string{"The plate loses contact with the ice after 45 min; from then on the gap decides how long the engine runs."},
	}
}

func fixtureDesign() *design.Design {
	d := &design.Design{Format: 1, Name: "Hollow stand, two cavities"}
	v := func(si float64, o quantity.Origin) quantity.Value { return quantity.Value{SI: si, Origin: o} }
	d.Store.Mass = v(0.118, quantity.Measured)
	d.Store.Temperature = v(255.15, quantity.Stated)
	d.Room.Temperature = v(297.15, quantity.Measured)
	d.Load.BottomPlate.Diameter = v(0.095, quantity.Stated)
	d.Load.TopPlate = &design.Plate{Diameter: v(0.095, quantity.Stated), Emissivity: v(0.9, quantity.Handbook)}
	d.Load.Engine = &design.Engine{StallDifference: v(5, quantity.Guessed), StillConductance: v(0.1, quantity.Derived)}
	d.Model.Cavity = v(1, quantity.Handbook)
	d.Materials = []design.Material{{Name: "polymer", Conductivity: v(0.17, quantity.Handbook)}}
	return d
}

func fixtureComparison() *predict.Comparison {
	h := 3600.0
	a, b := fixtureRun(), fixtureRun()
	a.Design, b.Design = "Solid stand", "Hollow stand, two cavities"
	for _, c := range a.Channels {
		if c.ID == "difference" {
			for i := range c.Values {
				c.Values[i] -= 0.8 * a.Times[i] / h
			}
		}
	}
	a.RunTime = 4.1 * h
	ratio := fixtureBand(1.21, 1.37, 1.56)
	ratio.Kind = quantity.Fraction
	return &predict.Comparison{
		A: "Solid stand", B: "Hollow stand, two cavities",
		BandA: fixtureBand(3.1*h, 4.0*h, 5.4*h), BandB: fixtureBand(4.31*h, 5.52*h, 7.27*h),
		Ratio: ratio, Difference: fixtureBand(0.82*h, 1.48*h, 2.31*h),
		Longer: 0.998, NominalA: 4.1 * h, NominalB: 5.9 * h,
		Shared: 31, OnlyA: 2, OnlyB: 5,
		RatioInputs: fixtureAnswer().Inputs[:5],
		RunA:        a, RunB: b,
	}
}
