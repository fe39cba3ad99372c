package report

import (
	"fmt"
	"strings"
)

// Limits of the warnings: medians within flat of each other are alike, and a
// chance of an early stall that climbs by more than climbing is to be told.
const (
	flat     = 0.02
	climbing = 0.05
)

// warnings are what the best value alone would not tell.
func (v *variation) warnings() []string {
	var out []string
	for k := range v.axes {
		switch a := &v.axes[k]; {
		case !finite(a.Now):
			out = append(out, "The design as it is does not state "+a.Path+": it follows from other inputs.")
		case a.now < 0:
			out = append(out, fmt.Sprintf("The design as it is, with %s, is not among these values.", strings.TrimSpace(a.Path+" "+a.nowLabel()+" "+a.unit)))
		}
	}
	if v.Longest < 0 || !(v.Points[v.Longest].Band.Median > 0) || v.cutShort() {
		return out
	}
	for k := range v.axes {
		line := v.line(k)
		if v.alike(line) {
			out = append(out, fmt.Sprintf("Run time hardly depends on %s%s: all medians lie within 2 %% of each other.", v.axes[k].Path, v.alongside(k)))
		} else if text := v.endWarning(k); text != "" {
			out = append(out, text)
		}
		if text := v.climbWarning(k, line); text != "" {
			out = append(out, text)
		}
	}
	if s := v.Points[v.Longest].Band.StillRunning; s > 0.02 {
		out = append(out, fmt.Sprintf("In %s of the samples at %s it was still running when the time simulated ran out: simulate longer.", percent(s), v.place(v.Longest)))
	}
	return out
}

// line is the points along one axis through that of the longest median.
func (v *variation) line(axis int) []int {
	at := v.Points[v.Longest].At
	var out []int
	for i, p := range v.Points {
		on := true
		for k := range at {
			on = on && (k == axis || p.At[k] == at[k])
		}
		if on {
			out = append(out, i)
		}
	}
	return out
}

// alongside says at which value of the other input a line lies.
func (v *variation) alongside(axis int) string {
	text := ""
	for k := range v.axes {
		if k != axis {
			text += ", at " + v.axes[k].named(v.Points[v.Longest].At[k])
		}
	}
	return text
}

func (v *variation) alike(line []int) bool {
	var medians []float64
	for _, i := range line {
		if v.hasBand(i) {
			medians = append(medians, v.Points[i].Band.Median)
		}
	}
	lo, hi := span(medians)
	return len(medians) > 1 && lo > 0 && hi <= (1+flat)*lo
}

func (v *variation) endWarning(axis int) string {
	a, at := &v.axes[axis], v.Points[v.Longest].At[axis]
	last := len(a.Values) - 1
	if at != 0 && at != last || last == 0 || a.Count && a.Values[at] == 0 {
		return ""
	}
	return "The longest median lies at an end of the range, " + a.named(at) + ": beyond it the run time may be longer still."
}

// climbWarning names the stretch of a line along which run time is flat while
// the chance of an early stall climbs most.
func (v *variation) climbWarning(axis int, line []int) string {
	from, to, most := -1, -1, climbing+1e-9
	for i := range line {
		var medians []float64
		for j := i; j < len(line) && v.hasBand(line[j]); j++ {
			medians = append(medians, v.Points[line[j]].Band.Median)
			if lo, hi := span(medians); !(lo > 0) || hi > (1+flat)*lo {
				break
			}
			climb := v.Points[line[j]].Early - v.Points[line[i]].Early
			switch {
			case climb > most:
				from, to, most = i, j, climb
			case -climb > most:
				from, to, most = j, i, -climb
			}
		}
	}
	if from < 0 {
		return ""
	}
	a := &v.axes[axis]
	way := "up"
	if a.Values[to] < a.Values[from] {
		way = "down"
	}
	return fmt.Sprintf("From %s %s to %s%s the median hardly changes (within 2 %%), but the chance of an early stall climbs from %s to %s.",
		a.named(from), way, a.withUnit(a.labels[to]), v.alongside(axis),
		percent(v.Points[line[from]].Early), percent(v.Points[line[to]].Early))
}
