package report

import (
	"errors"
	"fmt"
	"math"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

// RoundPicture draws the level cuts of a run in three dimensions at one of its
// frames, seen from above and true to scale, each with a scale of colours of its
// own: what stands round the axis changes temperatures by little. It is an error
// when the run is not one in three dimensions.
func RoundPicture(u quantity.Display, run *result.Run, frame int) (*Picture, error) {
	section, err := checkedSection(run, frame)
	if err != nil {
		return nil, fmt.Errorf("report: level cuts: %w", err)
	}
	if err := checkRound(run, frame); err != nil {
		return nil, fmt.Errorf("report: level cuts: %w", err)
	}
	s := sheet.New(sectionWidth, 800)
	name := nameOf(run.Design, run.Revision)
	s.Title = "Predicted temperatures in level cuts of " + name
	top := heading(s, name, "level cuts "+momentText(section.Frames[frame])) + 10
	reach := 0.0
	for _, slice := range run.Round.Slices {
		for _, c := range slice.Cells {
			reach = max(reach, c.Out)
		}
	}
	bottom := top
	for k, slice := range run.Round.Slices {
		x := sectionWidth/4 + float64(k%2)*sectionWidth/2
		y := top + float64(k/2)*(2*cutRadius+cutBelow)
		drawCut(s, u, x, y, cutRadius/reach, slice, run.Round.Frames[frame].Slices[k], run.Round.Repeats)
		bottom = y + 2*cutRadius + cutBelow
	}
	s.Desc = fmt.Sprintf("Prediction, not a measurement (model: %s, %s round the axis, %d cells, each at most %s in size). Seen from above, true to scale. Each cut has its own range of colours.",
		run.Depth, run.Round.Around, run.Round.Cells, u.FormatShort(section.Spacing, quantity.Length, 2))
	caption(s, bottom, s.Desc)
	return &Picture{s}, nil
}

const (
	cutRadius = 150.0 // pixels
	cutBelow  = 78.0
)

func checkRound(run *result.Run, frame int) error {
	r := run.Round
	switch {
	case r == nil || len(r.Slices) == 0:
		return fmt.Errorf("the run of design %q is not one in three dimensions", run.Design)
	case r.Repeats < 1:
		return fmt.Errorf("the pattern repeats %d times round the axis; it takes at least once", r.Repeats)
	case frame >= len(r.Frames) || len(r.Frames[frame].Slices) != len(r.Slices):
		return fmt.Errorf("frame %d holds no temperatures for the %d level cuts", frame, len(r.Slices))
	}
	for k, s := range r.Slices {
		if len(s.Cells) == 0 || len(s.Cells) != len(r.Frames[frame].Slices[k]) {
			return fmt.Errorf("cut %q has %d cells and %d temperatures", s.Name, len(s.Cells), len(r.Frames[frame].Slices[k]))
		}
		for i, c := range s.Cells {
			if t := r.Frames[frame].Slices[k][i]; !(t > 0 && t < 2000) {
				return fmt.Errorf("cut %q: the temperature of cell %d is %g K", s.Name, i+1, t)
			}
			if !(c.In >= 0 && c.Out > c.In && c.Out < largestSection && c.To > c.From) {
				return errors.New("a cell of cut " + s.Name + " has no extent")
			}
		}
	}
	return nil
}

// drawCut draws one cut about (x, y + cutRadius), with its name and scale below.
func drawCut(s *sheet.Sheet, u quantity.Display, x, y, perMetre float64, slice result.Slice, kelvin []float64, repeats int) {
	lo, hi := span(kelvin)
	if hi-lo < 0.1 {
		lo, hi = (lo+hi)/2-0.05, (lo+hi)/2+0.05
	}
	colours := sectionScale{lo, hi}
	steps := make([]sheet.Path, colourSteps)
	centre := sheet.Point{X: x, Y: y + cutRadius}
	wedge := math.Pi / float64(repeats)
	for i := 0; i < len(slice.Cells); {
		// Cells of one ring that follow one another with one colour are one.
		c, index := slice.Cells[i], colours.index(kelvin[i])
		for i++; i < len(slice.Cells); i++ {
			next := slice.Cells[i]
			if next.In != c.In || next.Out != c.Out || math.Abs(next.From-c.To) > 1e-9 || colours.index(kelvin[i]) != index {
				break
			}
			c.To = next.To
		}
		whole := c.From < 1e-9 && c.To > wedge-1e-9
		if whole {
			addArc(&steps[index], centre, c.In*perMetre, c.Out*perMetre, 0, 2*math.Pi)
			continue
		}
		for k := range repeats {
			turn := 2 * wedge * float64(k)
			addArc(&steps[index], centre, c.In*perMetre, c.Out*perMetre, turn+c.From, turn+c.To)
			addArc(&steps[index], centre, c.In*perMetre, c.Out*perMetre, turn-c.To, turn-c.From)
		}
	}
	for i := range steps {
		if len(steps[i].Steps) > 0 {
			steps[i].Fill = stepColour(i)
			s.Draw(steps[i])
		}
	}
	below := y + 2*cutRadius + 18
	s.Write(sheet.Text{X: x, Y: below, Size: textSize, Bold: true, Anchor: sheet.Middle, Colour: ink, Content: u.Restate(slice.Name)})
	bar := cutRadius * 0.7
	for i := range colourSteps {
		a, b := whole(x-bar+2*bar*float64(i)/colourSteps), whole(x-bar+2*bar*float64(i+1)/colourSteps)
		s.Rect(a, below+8, b-a, barHeight, stepColour(i), 1)
	}
	s.Write(sheet.Text{X: x - bar - 6, Y: below + 18, Size: smallSize, Anchor: sheet.End, Colour: ink, Content: degrees(u, lo)})
	s.Write(sheet.Text{X: x + bar + 6, Y: below + 18, Size: smallSize, Colour: ink, Content: degrees(u, hi)})
}

// chord is how long the straight pieces of a drawn arc are, pixels.
const chord = 3.0

// addArc adds the part of a ring between two radii and two angles, pixels and
// rad, a little wider than it is so that no hairline shows between neighbours.
func addArc(p *sheet.Path, centre sheet.Point, in, out, from, to float64) {
	const lap = 0.15
	out += lap
	if to-from < 2*math.Pi-1e-9 {
		to += lap / out
	}
	n := max(int((to-from)*out/chord), 1)
	at := func(r, angle float64) (x, y float64) {
		return centre.X + r*math.Sin(angle), centre.Y - r*math.Cos(angle)
	}
	x, y := at(out, from)
	p.Move(x, y)
	for k := 1; k <= n; k++ {
		x, y = at(out, from+(to-from)*float64(k)/float64(n))
		p.Line(x, y)
	}
	if in > 0 || to-from < 2*math.Pi-1e-9 {
		for k := n; k >= 0; k-- {
			x, y = at(in, from+(to-from)*float64(k)/float64(n))
			p.Line(x, y)
		}
	}
	p.Close()
}
