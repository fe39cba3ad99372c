package network

import (
	"math"
	"sort"

	"meltspan/result"
)

// reel keeps every step's section, to choose frames from when the run is over
// and its length is known.
type reel struct{ frames []result.Frame }

func (f *reel) take(r *runner) {
	m, w := r.m, r.m.work
	g := &w.geometry
	air, _, vapour := m.room.at(r.time)
	frame := result.Frame{
		Time:       r.time,
		LowerPlate: m.load.lower.temperature(w.temperature), UpperPlate: math.NaN(),
		Store: w.temperature[m.store.node], Solid: math.NaN(),
		Level: g.level, PlateHeight: g.plate, Room: air, DewPoint: m.room.dewPoint(vapour),
		Temperature: make([]float64, len(m.cells)),
	}
	if !m.load.upper.none() {
		frame.UpperPlate = m.load.upper.temperature(w.temperature)
	}
	if m.phase == phaseFreezing {
		frame.Store = m.store.melting
	}
	if g.footprint > 0 && g.height > 0 {
		frame.Solid = m.at(body)
		frame.SolidRadius = math.Sqrt(g.footprint / math.Pi)
		frame.SolidBottom, frame.SolidTop = g.bottom, g.top
	}
	for i, c := range m.cells {
		frame.Temperature[i] = w.temperature[c.Node]
	}
	f.frames = append(f.frames, frame)
}

// chosen returns the frames nearest to evenly spaced moments, and those of the
// events that change what the section looks like.
func (f *reel) chosen(count int, events []result.Event) []result.Frame {
	if len(f.frames) == 0 {
		return nil
	}
	last := f.frames[len(f.frames)-1].Time
	picked := map[int]string{}
	nearest := func(time float64) int {
		i := sort.Search(len(f.frames), func(i int) bool { return f.frames[i].Time >= time })
		if i == len(f.frames) {
			return i - 1
		}
		if i > 0 && time-f.frames[i-1].Time < f.frames[i].Time-time {
			return i - 1
		}
		return i
	}
	for k := range count {
		i := nearest(last * float64(k) / float64(max(count-1, 1)))
		if _, known := picked[i]; !known {
			picked[i] = ""
		}
	}
	for _, e := range events {
		switch e.Kind {
		case result.MeltStart, result.MeltEnd, result.FreezeStart, result.FreezeEnd, result.ContactLost, result.Stalled, result.LimitPassed:
			picked[nearest(e.Time)] = string(e.Kind)
		}
	}
	order := make([]int, 0, len(picked))
	for i := range picked {
		order = append(order, i)
	}
	sort.Ints(order)
	out := make([]result.Frame, 0, len(order))
	for _, i := range order {
		frame := f.frames[i]
		frame.Event = picked[i]
		out = append(out, frame)
	}
	return out
}

// moduleThickness is how thick a thermoelectric module is drawn, m (common
// practice). Its heat does not depend on it.
const moduleThickness = 4e-3

// section describes the stand's section and the chosen frames.
func (r *runner) section() *result.Section {
	m, d := r.m, r.m.design
	s := &result.Section{
		Spacing: m.spacing, Outer: d.Stand.OuterDiameter.SI / 2, Height: d.Stand.Height.SI,
		CupRadius: m.cupRadius, Floor: d.Stand.Height.SI - m.cupDepth, Pegs: m.pegHeight,
		Lower:  result.SectionPlate{Radius: d.Load.BottomPlate.Diameter.SI / 2, Thickness: d.Load.BottomPlate.Thickness.SI},
		Frames: r.reel.chosen(r.options.Frames, r.events),
		NotShown: []string{
			"ice, liquid and each plate have one temperature each",
			"air in cavities is one layer with a correlation, not a field",
		},
	}
	if p := d.Load.TopPlate; p != nil {
		above := s.Lower.Thickness
		if e := d.Load.Engine; e != nil {
			above += e.ChamberHeight.SI
		} else if d.Load.Generator != nil {
			above += moduleThickness
		}
		s.Upper = &result.SectionPlate{Radius: p.Diameter.SI / 2, Thickness: p.Thickness.SI, Above: above}
	}
	if d.Stand.Ribs.Count > 0 {
		s.NotShown = append(s.NotShown, "ribs conduct across the cavities by their share of the circumference")
	}
	if d.Stand.Pegs.Count > 0 {
		s.NotShown = append(s.NotShown, "pegs conduct between floor and ice by their cross-section")
	}
	for _, c := range m.cells {
		s.Cells = append(s.Cells, result.SectionCell{In: c.In, Out: c.Out, Low: c.Low, High: c.High, Outwards: c.Outwards, Upwards: c.Upwards})
	}
	return s
}
