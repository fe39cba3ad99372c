package network

import (
	"math"
	"sort"

	"meltspan/result"
)

// reel keeps every step's section, to choose frames from when the run is over
// and its length is known.
type reel struct {
	frames []result.Frame
	round  []result.RoundFrame // in three dimensions, by frame
}

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
	frame.LowerRings, frame.UpperRings = m.load.lower.byRing(w.temperature), m.load.upper.byRing(w.temperature)
	f.frames = append(f.frames, frame)
	if len(m.slices) > 0 {
		f.round = append(f.round, m.roundFrame())
	}
}

// roundFrame is what three dimensions add to a frame.
func (m *Model) roundFrame() result.RoundFrame {
	t := m.work.temperature
	var out result.RoundFrame
	for _, c := range m.through {
		out.Through = append(out.Through, t[c.Node])
	}
	for _, s := range m.slices {
		values := make([]float64, len(s.cells))
		for i, c := range s.cells {
			values[i] = t[c.node]
		}
		out.Slices = append(out.Slices, values)
	}
	return out
}

// byRing is the mean of a divided plate over each of its rings; nil for a plate
// of one temperature.
func (p *plate) byRing(t []float64) []float64 {
	if len(p.cells) < 2 {
		return nil
	}
	var out, share []float64
	for i, c := range p.cells {
		if i == 0 || c.ring != p.cells[i-1].ring {
			out, share = append(out, 0), append(share, 0)
		}
		k := len(out) - 1
		out[k] += c.sector.share * t[c.node]
		share[k] += c.sector.share
	}
	for i := range out {
		out[i] /= share[i]
	}
	return out
}

// radii are the outer radii of a divided plate's rings.
func (p *plate) radii() []float64 {
	if len(p.cells) < 2 {
		return nil
	}
	var out []float64
	for i, c := range p.cells {
		if i == 0 || c.ring != p.cells[i-1].ring {
			out = append(out, c.ring.out)
		}
	}
	return out
}

// chosen returns the frames nearest to evenly spaced moments, and those of the
// events that change what the section looks like.
func (f *reel) chosen(count int, events []result.Event) ([]result.Frame, []result.RoundFrame) {
	if len(f.frames) == 0 {
		return nil, nil
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
	var round []result.RoundFrame
	for _, i := range order {
		frame := f.frames[i]
		frame.Event = picked[i]
		out = append(out, frame)
		if len(f.round) > 0 {
			round = append(round, f.round[i])
		}
	}
	return out, round
}

// moduleThickness is how thick a thermoelectric module is drawn, m (common
// practice). Its heat does not depend on it.
const moduleThickness = 4e-3

// section describes the stand's section and the chosen frames, and what three
// dimensions add.
func (r *runner) section() (*result.Section, *result.Round) {
	m, d := r.m, r.m.design
	frames, round := r.reel.chosen(r.options.Frames, r.events)
	s := &result.Section{
		Spacing: m.spacing, Outer: d.Stand.OuterDiameter.SI / 2, Height: d.Stand.Height.SI,
		CupRadius: m.cupRadius, Floor: d.Stand.Height.SI - m.cupDepth, Pegs: m.pegHeight,
		Lower:  result.SectionPlate{Radius: d.Load.BottomPlate.Diameter.SI / 2, Thickness: d.Load.BottomPlate.Thickness.SI, Rings: m.load.lower.radii()},
		Frames: frames,
		NotShown: []string{
			m.solidAndLiquid() + " have one temperature each",
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
		s.Upper = &result.SectionPlate{Radius: p.Diameter.SI / 2, Thickness: p.Thickness.SI, Above: above, Rings: m.load.upper.radii()}
	}
	s.NotShown = append(s.NotShown, m.smeared()...)
	for _, c := range m.cells {
		s.Cells = append(s.Cells, c.shown())
	}
	if len(m.slices) == 0 {
		return s, nil
	}
	return s, m.round(round)
}

func (c Cell) shown() result.SectionCell {
	return result.SectionCell{In: c.In, Out: c.Out, Low: c.Low, High: c.High, Outwards: c.Outwards, Upwards: c.Upwards}
}

func (m *Model) solidAndLiquid() string {
	if m.store.changesPhase {
		return m.store.solidName + " and liquid"
	}
	return "liquid and table"
}

// smeared says what is not round and enters by its number only.
func (m *Model) smeared() []string {
	d := m.design
	var out []string
	if d.Stand.Ribs.Count > 0 && d.Stand.Wall.Cavities > 0 && m.around.ribs == 0 {
		out = append(out, "ribs conduct across the cavities by their share of the circumference")
	}
	if d.Stand.Pegs.Count > 0 && m.around.pegCount() == 0 {
		out = append(out, "pegs conduct between floor and ice by their cross-section")
	}
	if m.store.pieces.count > 0 && m.around.pieces == 0 {
		out = append(out, "pieces of the store count as one disc of their area")
	}
	if e := d.Load.Engine; e != nil && e.Screws.Count > 0 {
		out = append(out, "the engine's screws conduct with its ring")
	}
	return out
}

// round describes what three dimensions add to the section.
func (m *Model) round(frames []result.RoundFrame) *result.Round {
	out := &result.Round{Repeats: m.around.repeats(), Around: m.around.words(), Cells: len(m.nodes), Frames: frames}
	for _, c := range m.through {
		out.Through = append(out.Through, c.shown())
	}
	for _, s := range m.slices {
		slice := result.Slice{Name: s.name}
		for _, c := range s.cells {
			slice.Cells = append(slice.Cells, result.SliceCell{In: c.in, Out: c.out, From: c.from, To: c.to})
		}
		out.Slices = append(out.Slices, slice)
	}
	return out
}
