package report

import (
	"errors"
	"fmt"
	"image/color"
	"math"
	"strconv"
	"strings"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

// HeatFlow draws where the heat went over the run time: bands whose widths are
// the energies of run.Flows, all at one scale, from the sources at the left
// to the store and the work done at the right. Flows below 0.3 % of the total
// are named in the caption instead. It is an error when the run holds no flow.
func HeatFlow(run *result.Run) (*Picture, error) {
	if run == nil {
		return nil, errors.New("report: heat flow: no run was given")
	}
	g := newFlowGraph(run.Flows)
	if len(g.bands) == 0 {
		return nil, fmt.Errorf("report: heat flow: the run of design %q holds no heat flow other than zero", run.Design)
	}
	l := layOut(g, func(n node) []string {
		lines := sheet.Wrap(n.name, boxWidth, smallSize, true)
		return append(lines, energyLabel(max(n.in, n.out), g.total))
	})
	width := 2*flowMargin + float64(len(l.layers))*(boxWidth+boxGap) - boxGap
	s := sheet.New(max(width, 560), l.tall)
	s.Title = "Predicted heat flows of " + nameOf(run.Design, run.Revision)
	y := heading(s, nameOf(run.Design, run.Revision), "where the heat went, in Wh and as a share of all heat ("+flowPeriod(run)+")") + 6
	l.drawBands(s, y)
	l.drawNodes(s, y)
	l.drawBandLabels(s, y)
	s.Desc = l.flowCaption()
	y = drawMechanismKey(s, y+l.tall+14, g.bands)
	caption(s, y, s.Desc)
	return &Picture{s}, nil
}

// mechanismColours is by what each kind of flow is filled; flows of any other
// mechanism are grey.
var mechanismColours = map[string]color.RGBA{
	"convection":     skyBlue,
	"radiation":      orange,
	"condensation":   green,
	"sun":            yellow,
	"cycle":          vermillion,
	"contact or gap": blue,
	storedHeat:       purple,
}

func mechanismColour(m string) color.RGBA {
	if c, ok := mechanismColours[m]; ok {
		return c
	}
	return color.RGBA{0xA0, 0xA0, 0xA0, 0xFF}
}

func (l *flowLayout) boxX(block int) float64 {
	return flowMargin + float64(l.blocks[block].layer)*(boxWidth+boxGap)
}

func (l *flowLayout) drawBands(s *sheet.Sheet, y0 float64) {
	for i, b := range l.bands {
		c := mechanismColour(b.mechanism)
		p := sheet.Path{
			Steps: l.outline(i, flowMargin, y0), Fill: c, Opacity: 0.55, Stroke: c, Width: 0.6,
			Title: fmt.Sprintf("%s to %s, %s: %s", l.nodes[b.from].name, l.nodes[b.to].name, b.mechanism, energyLabel(b.energy, l.total)),
			Data: []sheet.Datum{
				{Name: "from", Value: l.nodes[b.from].name}, {Name: "to", Value: l.nodes[b.to].name},
				{Name: "mechanism", Value: b.mechanism}, {Name: "energy-joule", Value: strconv.FormatFloat(b.energy, 'g', -1, 64)},
			},
		}
		if b.back {
			p.Stroke, p.Width, p.Dash = ink, 1, []float64{3, 2}
		}
		s.Draw(p)
		if b.back {
			l.drawBackArrow(s, i, y0)
		}
	}
}

// drawBackArrow marks a band that runs from right to left with arrowheads at
// both its ends.
func (l *flowLayout) drawBackArrow(s *sheet.Sheet, band int, y0 float64) {
	c := l.chain[band]
	half := l.bands[band].energy * l.perJ / 2
	size := max(3, min(half, 7))
	arrow := func(x, y float64) {
		p := sheet.Path{Fill: ink}
		p.Move(x, y).Line(x+1.6*size, y-size).Line(x+1.6*size, y+size).Close()
		s.Draw(p)
	}
	arrow(l.boxX(c[0])+boxWidth+1, y0+l.portOut[band][0]+half)
	last := len(c) - 1
	arrow(l.boxX(c[last])-1-1.6*size, y0+l.portIn[band][last]+half)
}

func (l *flowLayout) drawNodes(s *sheet.Sheet, y0 float64) {
	for i := range l.blocks {
		b := &l.blocks[i]
		if b.node < 0 {
			continue
		}
		x, top := l.boxX(i), y0+b.barTop()
		s.Draw(sheet.Path{Steps: sheet.Box(x, top, boxWidth, b.bar), Fill: color.RGBA{0x6E, 0x6E, 0x6E, 0xFF}})
		for k, line := range b.label {
			last := k == len(b.label)-1
			s.Write(sheet.Text{X: x, Y: top - 4 - labelLine*float64(len(b.label)-1-k), Size: smallSize, Bold: !last, Colour: ink, Content: line})
		}
	}
}

// drawBandLabels writes the energy, and the mechanism where there is room, at
// the left end of every band wide enough to hold it.
func (l *flowLayout) drawBandLabels(s *sheet.Sheet, y0 float64) {
	const size = 10.0
	for i, b := range l.bands {
		if b.mechanism == l.nodes[b.from].name && l.nodes[b.from].out == b.energy || b.mechanism == l.nodes[b.to].name {
			continue // the node beside it says the same
		}
		w := b.energy * l.perJ
		lines := l.bandLines(b, int(w/12))
		x := l.boxX(l.chain[i][0]) + boxWidth + 5
		if b.back {
			x += 10
		}
		middle := y0 + l.portOut[i][0] + w/2
		first := middle + 3.6 - 12*float64(len(lines)-1)/2
		for k, line := range lines {
			s.Write(sheet.Text{X: x, Y: first + 12*float64(k), Size: size, Colour: ink, Content: sheet.Clip(line, boxGap-8, size, false)})
		}
	}
}

// bandLines is what a band with room for so many lines says: its energy first
// of all, then its share, then its mechanism.
func (l *flowLayout) bandLines(b band, room int) []string {
	energy, share := wattHours(b.energy), percent(b.energy/l.total)
	switch {
	case room <= 0:
		return nil
	case room == 1:
		return []string{energy}
	case room == 2 || b.mechanism == l.nodes[b.from].name:
		return []string{energy, share}
	}
	return []string{b.mechanism, energy, share}
}

// drawMechanismKey shows which colour is which mechanism, in one row or more.
func drawMechanismKey(s *sheet.Sheet, y float64, bands []band) float64 {
	seen := map[string]bool{}
	x := flowMargin
	for _, b := range bands {
		name := b.mechanism
		if _, known := mechanismColours[name]; !known {
			name = "conduction and other"
		}
		if seen[name] {
			continue
		}
		seen[name] = true
		w := 18 + sheet.TextWidth(name, smallSize, false) + 18
		if x+w > s.Width-flowMargin && x > flowMargin {
			x, y = flowMargin, y+18
		}
		c := mechanismColour(name)
		s.Draw(sheet.Path{Steps: sheet.Box(x, y-9, 12, 10), Fill: c, Opacity: 0.55, Stroke: c, Width: 0.6})
		s.Write(sheet.Text{X: x + 18, Y: y, Size: smallSize, Colour: ink, Content: name})
		x += w
	}
	return y + 10
}

func (l *flowLayout) flowCaption() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Prediction, not a measurement. All bands have the same scale; %s in all.", wattHours(l.total))
	for _, band := range l.bands {
		if band.back {
			b.WriteString(" A dashed band with arrowheads runs back, from right to left.")
			break
		}
	}
	if len(l.tiny) > 0 {
		sum := 0.0
		names := make([]string, len(l.tiny))
		for i, f := range l.tiny {
			sum += f.Energy
			names[i] = fmt.Sprintf("%s to %s (%s) %s", f.From, f.To, f.Mechanism, wattHours(f.Energy))
		}
		fmt.Fprintf(&b, " Too small to draw (each below 0.3 %%, together %s): %s.", wattHours(sum), strings.Join(names, "; "))
	}
	return b.String()
}

func flowPeriod(run *result.Run) string {
	if run.End == result.EndHorizon || run.End == result.EndNeverStarted {
		return "over the " + quantity.FormatDuration(run.Simulated) + " simulated"
	}
	return "over the run time of " + quantity.FormatDuration(run.RunTime)
}

func energyLabel(energy, total float64) string {
	return wattHours(energy) + ", " + percent(energy/total)
}

const joulesPerWattHour = 3600.0

func wattHours(joules float64) string {
	digits := 3
	if math.Abs(joules) < joulesPerWattHour {
		digits = 2
	}
	return quantity.FormatIn(joules, quantity.Energy, "Wh", digits)
}
