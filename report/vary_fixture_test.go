package report

import (
	"meltspan/predict"
	"meltspan/quantity"
)

// variationOf puts invented medians (h) and chances of an early stall on axes;
// a median of 0 or less stands for no possible design. The band reaches from
// 0.4 to 1.2 of the median where the chance is small, else from 0.1.
func variationOf(axes []predict.Axis, medians, early []float64) *predict.Variation {
	v := &predict.Variation{Design: "Hollow stand, two cavities", Revision: "3f9a1c", Axes: axes, Longest: -1, Safest: -1, Samples: 100, Asked: 100, Seed: 1}
	across := len(axes[len(axes)-1].Values)
	for i, median := range medians {
		p := predict.Point{At: []int{i}, Early: early[i], Nominal: 1.02 * median * 3600}
		if len(axes) == 2 {
			p.At = []int{i / across, i % across}
		}
		if median <= 0 {
			p.Nominal, p.Impossible = 0, "the cavities leave no wall"
			v.Points = append(v.Points, p)
			continue
		}
		low := 0.4
		if early[i] > 0.05 {
			low = 0.1
		}
		p.Band = predict.Band{Probability: 0.9, Low: low * median * 3600, Median: median * 3600, High: 1.2 * median * 3600, Samples: 100, Asked: 100, Seed: 1}
		v.Points = append(v.Points, p)
		if v.Longest < 0 || median > v.Points[v.Longest].Band.Median/3600 {
			v.Longest = i
		}
		if v.Safest < 0 || p.Band.Low > v.Points[v.Safest].Band.Low {
			v.Safest = i
		}
	}
	return v
}

func cavitiesAxis() predict.Axis {
	return predict.Axis{Path: "stand.wall.cavities", About: "air spaces one behind the other; 0 is solid", Count: true, Now: 2, Values: []float64{0, 1, 2, 3, 4}}
}

func gapAxis() predict.Axis {
	return predict.Axis{Path: "stand.gap", About: "between plate and rim", Kind: quantity.Length, Now: 1e-3, Values: []float64{0.5e-3, 1e-3, 1.5e-3, 2e-3}}
}

func conductanceAxis() predict.Axis {
	return predict.Axis{Path: "load.conductance", About: "plate to plate", Kind: quantity.ThermalConductance, Now: 0.4, Values: []float64{0.01, 0.1, 1}}
}

// fixtureLine runs flat from two to three cavities while early stalls climb,
// and cannot be built with four.
func fixtureLine() *predict.Variation {
	return variationOf([]predict.Axis{cavitiesAxis()}, []float64{5, 6.5, 8, 8.1, 0}, []float64{0.02, 0.03, 0.04, 0.12, 0})
}

// fixtureMap is linear in both inputs: 5 h and 0.5 h more for each step up, 1 h
// more for each step to the right, but for two impossible corners.
func fixtureMap() *predict.Variation {
	return variationOf([]predict.Axis{gapAxis(), conductanceAxis()},
		[]float64{5, 6, 7, 5.5, 6.5, 7.5, 6, 7, 8, 0, 7.5, 0},
		[]float64{0, 0.1, 0.2, 0, 0.1, 0.2, 0, 0.1, 0.2, 0, 0.1, 0.2})
}

func fixtureCountedMap() *predict.Variation {
	return variationOf([]predict.Axis{gapAxis(), cavitiesAxis()},
		[]float64{5, 6, 7, 7.2, 7.3, 5.5, 6.5, 7.5, 7.7, 7.9, 6, 7, 8, 8.2, 0, 6, 6.5, 7.5, 0, 0},
		[]float64{0, 0.05, 0.08, 0.15, 0.2, 0, 0.05, 0.08, 0.15, 0.2, 0, 0.12, 0.13, 0.15, 0.2, 0, 0, 0, 0, 0})
}
