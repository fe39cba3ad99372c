package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"meltspan/predict"
	"meltspan/quantity"
)

// variation is a predict.Variation with what its text and its pictures share.
type variation struct {
	*predict.Variation
	units  quantity.Display
	axes   []variedAxis
	coarse bool // times are told to 5 min
}

// variedAxis is one input as it is shown.
type variedAxis struct {
	predict.Axis
	unit   string    // "" for counts and plain numbers
	shown  []float64 // the values in the unit
	labels []string  // the same, without the unit
	now    int       // index of the value that the design has; -1: not among them, or not stated
	log    bool
}

func newVariation(u quantity.Display, v *predict.Variation) *variation {
	out := &variation{Variation: v, units: u}
	for _, a := range v.Axes {
		out.axes = append(out.axes, newVariedAxis(u, a))
	}
	for _, p := range v.Points {
		out.coarse = out.coarse || wideBand(p.Band.Low, p.Band.High)
	}
	return out
}

func newVariedAxis(u quantity.Display, a predict.Axis) variedAxis {
	out := variedAxis{Axis: a, now: -1}
	if !(a.Kind == quantity.Fraction && plainNumber(a.Path)) {
		out.unit = u.Symbol(a.Kind)
	}
	for i, si := range a.Values {
		out.shown = append(out.shown, out.inUnit(si))
		if math.Abs(si-a.Now) <= 1e-9*max(math.Abs(si), math.Abs(a.Now)) {
			out.now = i
		}
	}
	if lo, hi := span(a.Values); finite(lo) {
		out.log = predict.Logarithmic(lo, hi, a.Kind)
	}
	out.labels = axisLabels(out.shown, out.log)
	return out
}

// inUnit converts a value of the axis from SI.
func (a *variedAxis) inUnit(si float64) float64 {
	if a.unit == "" {
		return si
	}
	x, _ := quantity.In(si, a.Kind, a.unit)
	return x
}

// axisLabels writes values with as many decimals as tell them apart and place
// them within a fiftieth of their mean distance; in equal ratios, to three
// digits each.
func axisLabels(values []float64, log bool) []string {
	out := make([]string, len(values))
	if log {
		for i, v := range values {
			out[i] = quantity.FormatIn(v, "", "", 3)
		}
		return out
	}
	const most = 6
	tolerance := math.Inf(1)
	if lo, hi := span(values); hi > lo {
		tolerance = (hi - lo) / float64(len(values)-1) / 50
	} else if finite(lo) {
		tolerance = 1e-4 * math.Abs(lo)
	}
	for decimals := 0; decimals <= most; decimals++ {
		good, p := true, math.Pow(10, float64(decimals))
		for i, v := range values {
			out[i] = strconv.FormatFloat(v, 'f', decimals, 64)
			good = good && math.Abs(math.Round(v*p)/p-v) <= tolerance && (i == 0 || out[i] != out[i-1] || v == values[i-1])
		}
		if good {
			break
		}
	}
	return out
}

// withUnit writes a value of the axis as people say it: "1.6 mm", "3 cavities".
func (a *variedAxis) withUnit(label string) string {
	switch {
	case a.Count:
		noun := a.noun()
		if label == "1" {
			noun = strings.TrimSuffix(strings.Replace(noun, "ies", "ys", 1), "s")
		}
		return label + " " + noun
	case a.unit == "":
		return label
	}
	return label + " " + a.unit
}

// noun is what a count counts: "stand.pegs.count" counts pegs.
func (a *variedAxis) noun() string {
	keys := strings.Split(a.Path, ".")
	last := len(keys) - 1
	if keys[last] == "count" && last > 0 {
		last--
	}
	return keys[last]
}

// nowLabel is the value that the design has, without the unit.
func (a *variedAxis) nowLabel() string {
	if a.now >= 0 {
		return a.labels[a.now]
	}
	return axisLabels([]float64{a.inUnit(a.Now)}, a.log)[0]
}

// titled is the path with its unit.
func (a *variedAxis) titled() string {
	if a.unit == "" {
		return a.Path
	}
	return a.Path + " (" + a.unit + ")"
}

// place says where a point lies.
func (v *variation) place(point int) string {
	at := v.Points[point].At
	if len(v.axes) == 1 {
		return v.axes[0].withUnit(v.axes[0].labels[at[0]])
	}
	var parts []string
	for k := range v.axes {
		parts = append(parts, v.axes[k].named(at[k]))
	}
	return strings.Join(parts, " and ")
}

// named is a value of the axis with the input's path before it.
func (a *variedAxis) named(value int) string {
	return strings.TrimSpace(a.Path + " " + a.labels[value] + " " + a.unit)
}

// now is the point of the design as it is, -1 when it is not among them.
func (v *variation) now() int {
	for i, p := range v.Points {
		here := true
		for k := range v.axes {
			here = here && p.At[k] == v.axes[k].now
		}
		if here && v.hasBand(i) {
			return i
		}
	}
	return -1
}

func (v *variation) hasBand(point int) bool {
	p := v.Points[point]
	return p.Impossible == "" && p.Band.Samples > 0 && finite(p.Band.Low) && finite(p.Band.Median) && finite(p.Band.High)
}

func (v *variation) someImpossible() bool {
	return slices.ContainsFunc(v.Points, func(p predict.Point) bool { return p.Impossible != "" })
}

// rounded is a time no finer than the widest band deserves.
func (v *variation) rounded(seconds float64) float64 {
	if v.coarse {
		return coarseTime(seconds)
	}
	return seconds
}

func (v *variation) time(seconds float64) string {
	return quantity.FormatDuration(v.rounded(seconds))
}

// headline says where the run time is longest and what is gained there.
func (v *variation) headline() string {
	if v.Longest < 0 {
		for _, p := range v.Points {
			if p.Impossible == "" {
				return "No sample was computed: there is no band"
			}
		}
		return "None of these values makes a possible design"
	}
	best, safest := v.Points[v.Longest], v.Points[v.Safest]
	if !(best.Band.Median > 0) {
		return "It never starts in most of the samples, at any of these values"
	}
	if v.cutShort() {
		return fmt.Sprintf("At %s it is still running in %s of the samples when the simulation ends at %s: simulate longer to tell which value is best",
			v.place(v.Longest), percent(best.Band.StillRunning), v.time(best.Band.Median))
	}
	text := "Longest median run time " + v.time(best.Band.Median) + " at " + v.place(v.Longest)
	switch now := v.now(); {
	case now == v.Longest:
		text += ", as it is now"
	case now >= 0:
		text += ", " + v.gain(best.Band.Median, v.Points[now].Band.Median)
	}
	switch {
	case !(safest.Band.Low > 0):
		return text + "; the lower end of the band is zero everywhere"
	case v.Safest == v.Longest:
		return text + "; the lower end of the band, " + v.time(safest.Band.Low) + ", is longest there too"
	}
	return text + "; the longest lower end of the band, " + v.time(safest.Band.Low) + ", at " + v.place(v.Safest)
}

// cutShort reports whether the longest median is no more than the time
// simulated.
func (v *variation) cutShort() bool { return v.Points[v.Longest].Band.StillRunning >= 0.5 }

func (v *variation) gain(best, now float64) string {
	if gain := v.rounded(best) - v.rounded(now); gain > 0.02*now {
		return quantity.FormatDuration(gain) + " more than now"
	}
	return "hardly more than now"
}
