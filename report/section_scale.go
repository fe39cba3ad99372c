package report

import (
	"errors"
	"fmt"
	"image/color"
	"math"

	"meltspan/quantity"
	"meltspan/result"
)

// sectionScale is what all pictures of one run's section share, so that they
// can be laid side by side.
type sectionScale struct {
	lo, hi float64 // K
}

// steps of the colour scale in a picture: cells of one step are drawn as one.
const colourSteps = 160

func (s sectionScale) share(kelvin float64) float64 { return (kelvin - s.lo) / (s.hi - s.lo) }

// index is the colour step of a temperature.
func (s sectionScale) index(kelvin float64) int {
	return int(min(max(s.share(kelvin), 0), 1) * (colourSteps - 1e-9))
}

// stepColour is the colour of a step of the scale.
func stepColour(index int) color.RGBA { return cividisAt((float64(index) + 0.5) / colourSteps) }

func (s sectionScale) colour(kelvin float64) color.RGBA { return stepColour(s.index(kelvin)) }

// scaleOf ranges from the coldest to the warmest of all frames, the room
// included.
func scaleOf(s *result.Section) sectionScale {
	lo, hi := math.Inf(1), math.Inf(-1)
	add := func(values ...float64) {
		l, h := span(values)
		lo, hi = min(lo, l), max(hi, h)
	}
	for _, f := range s.Frames {
		add(f.Temperature...)
		add(f.LowerPlate, f.UpperPlate, f.Solid, f.Room)
		if hasLiquid(f) {
			add(f.Store)
		}
	}
	if hi-lo < 0.1 { // all alike
		lo, hi = (lo+hi)/2-0.5, (lo+hi)/2+0.5
	}
	return sectionScale{lo, hi}
}

// leastDrawn is the smallest height or gap that is drawn, m.
const leastDrawn = 0.05e-3

func hasLiquid(f result.Frame) bool { return f.Level > leastDrawn }

func hasSolid(f result.Frame) bool {
	return finite(f.Solid) && f.SolidRadius > leastDrawn && f.SolidTop-f.SolidBottom > leastDrawn
}

// checkedSection returns a run's section if it can be drawn at that frame.
func checkedSection(run *result.Run, frame int) (*result.Section, error) {
	switch {
	case run == nil:
		return nil, errors.New("no run was given")
	case run.Section == nil:
		return nil, fmt.Errorf("the run of design %q holds no section; run it at section depth and keep frames", run.Design)
	case len(run.Section.Cells) == 0 || len(run.Section.Frames) == 0:
		return nil, fmt.Errorf("the section of design %q holds %d cells and %d frames; it takes at least one of each", run.Design, len(run.Section.Cells), len(run.Section.Frames))
	case frame < 0 || frame >= len(run.Section.Frames):
		return nil, fmt.Errorf("there is no frame %d; the frames are numbered 0 to %d", frame, len(run.Section.Frames)-1)
	}
	s := run.Section
	sizes := map[string]float64{"outer radius": s.Outer, "height": s.Height, "radius of the lower plate": s.Lower.Radius}
	for _, name := range []string{"outer radius", "height", "radius of the lower plate"} {
		if v := sizes[name]; !(v > 1e-3 && v < largestSection) {
			return nil, fmt.Errorf("the section's %s is %g m; it must lie between 1 mm and %g m", name, v, largestSection)
		}
	}
	if !(s.CupRadius >= 0 && s.CupRadius <= s.Outer && s.Floor >= 0 && s.Floor <= s.Height) {
		return nil, fmt.Errorf("the cup (radius %g m, floor at %g m) does not lie within the body (radius %g m, height %g m)", s.CupRadius, s.Floor, s.Outer, s.Height)
	}
	for i, f := range s.Frames {
		if err := checkFrame(s, f); err != nil {
			return nil, fmt.Errorf("frame %d: %w", i, err)
		}
	}
	return s, nil
}

// largestSection is beyond any device of this kind, m.
const largestSection = 2.0

func checkFrame(s *result.Section, f result.Frame) error {
	if len(f.Temperature) != len(s.Cells) {
		return fmt.Errorf("it holds %d temperatures for %d cells", len(f.Temperature), len(s.Cells))
	}
	for i, t := range f.Temperature {
		if !(t > 0 && t < 2000) {
			return fmt.Errorf("the temperature of cell %d is %g K", i+1, t)
		}
	}
	for _, p := range []struct {
		name  string
		value float64
	}{{"room", f.Room}, {"lower plate", f.LowerPlate}} {
		if !(p.value > 0 && p.value < 2000) {
			return fmt.Errorf("the temperature of the %s is %g K", p.name, p.value)
		}
	}
	if !(math.Abs(f.PlateHeight) < largestSection) {
		return fmt.Errorf("the lower plate stands %g m over the cup's floor", f.PlateHeight)
	}
	return nil
}

// degrees prints a temperature to a tenth of a degree, as pictures do.
func degrees(u quantity.Display, kelvin float64) string {
	return withSigns(u.Format(kelvin, quantity.Temperature, 3))
}

// momentText says when a frame was, and what happened then.
func momentText(f result.Frame) string {
	text := quantity.FormatDuration(f.Time) + " after the load was set on"
	if f.Time < 0.5 {
		text = "as the load is set on"
	}
	if f.Event != "" {
		text += ": " + f.Event
	}
	return text
}
