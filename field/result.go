package field

import (
	"fmt"
	"math"
)

// State is the field at one moment, by cell of the grid. Void cells are NaN.
type State struct {
	Time        float64   // s
	Temperature []float64 // K
	// Liquid is the share of liquid, 0 to 1; 0 in materials that do not melt.
	Liquid []float64
}

// Uniform is a state of one temperature, K, for a start; a material that melts
// at just that temperature is solid.
func (p *Problem) Uniform(temperature float64) State {
	s := State{Temperature: make([]float64, len(p.Cells)), Liquid: make([]float64, len(p.Cells))}
	for i := range s.Temperature {
		s.Temperature[i] = temperature
	}
	return s
}

// Ledger is where heat came from, by condition and by source, counted positive
// into the body: W for a steady state, J since the start for a course in time.
// Stored is by how much the enthalpy of the cells has risen; 0 when steady.
type Ledger struct {
	Conditions []float64
	Sources    []float64
	Stored     float64
	turnover   float64
}

// Residual is what the ledger fails to close by: what came in less what is
// stored, W or J.
func (l *Ledger) Residual() float64 {
	sum := -l.Stored
	for _, q := range l.Conditions {
		sum += q
	}
	for _, q := range l.Sources {
		sum += q
	}
	return sum
}

// Turnover is the sum of all that went in or out, W or J, to judge the residual
// by.
func (l *Ledger) Turnover() float64 { return l.turnover }

func (l *Ledger) clear() {
	clear(l.Conditions)
	clear(l.Sources)
	l.turnover = 0
}

func (l *Ledger) add(other *Ledger) {
	for i, q := range other.Conditions {
		l.Conditions[i] += q
	}
	for i, q := range other.Sources {
		l.Sources[i] += q
	}
	l.turnover += other.turnover
}

// Field is a solution with what is needed to read it anywhere. It refers to
// its problem, which must not be changed meanwhile.
type Field struct {
	State
	Ledger Ledger
	system *system
	values []float64 // temperature by unknown
}

func (s *system) newLedger() Ledger {
	return Ledger{Conditions: make([]float64, len(s.p.Conditions)), Sources: make([]float64, len(s.p.Sources))}
}

// spread writes values by unknown to cells.
func (s *system) spread(values []float64) []float64 {
	out := make([]float64, len(s.unknown))
	for cell, i := range s.unknown {
		out[cell] = math.NaN()
		if i != Void {
			out[cell] = values[i]
		}
	}
	return out
}

// At is the temperature at a point, K. Within a cell it is linear along each
// axis from the node to the faces, where the flow through the face sets it; at
// a point shared by several cells it is their mean. Second order in the width
// of the cells where the material is of one kind.
func (f *Field) At(point [3]float64) (float64, error) {
	g := &f.system.p.Grid
	cell := g.Find(point)
	if cell < 0 {
		return 0, fmt.Errorf("field: point %v is outside the grid", point)
	}
	near := []int{cell}
	for axis := range g.Geometry.axes() {
		low, _ := g.bounds(g.Place(cell), axis)
		if point[axis] != low {
			continue
		}
		for _, c := range near {
			if next := g.neighbour(c, Lower(axis)); next >= 0 {
				near = append(near, next)
			}
		}
	}
	sum, count := 0.0, 0.0
	for _, c := range near {
		if i := f.system.unknown[c]; i != Void {
			sum += f.within(int(i), point)
			count++
		}
	}
	if count == 0 {
		return 0, fmt.Errorf("field: point %v is in a void", point)
	}
	return sum / count, nil
}

// within is At as seen from one cell.
func (f *Field) within(i int, point [3]float64) float64 {
	s := f.system
	g := &s.p.Grid
	place := g.Place(int(s.cells[i]))
	t := f.values[i]
	for axis := range g.Geometry.axes() {
		node := g.node(place, axis)
		side := Lower(axis)
		if point[axis] > node {
			side = Upper(axis)
		}
		face := g.facePosition(place, side)
		t += (f.faceTemperature(i, side) - f.values[i]) * (point[axis] - node) / (face - node)
	}
	return t
}

// faceTemperature on the cell's own side of a face.
func (f *Field) faceTemperature(i int, side Side) float64 {
	s := f.system
	if j := s.beside(i, side); j != Void {
		return f.values[i] + (f.values[j]-f.values[i])*s.half(i, side, s.known(j))/s.resistance(i, j, side)
	}
	if k, ok := s.surfaceAt(i, side); ok {
		return s.surfaces[k].temperature(f.values[i])
	}
	return f.values[i]
}

// SurfaceTemperature returns the lowest, the highest and the mean temperature,
// K, of the surfaces under a condition, at the centres of faces. ok is false
// when there is no such face.
func (f *Field) SurfaceTemperature(condition int) (lowest, highest, mean float64, ok bool) {
	lowest, highest = math.Inf(1), math.Inf(-1)
	area := 0.0
	s := f.system
	for k := range s.surfaces {
		face := &s.surfaces[k]
		for _, c := range s.acts[face.first : face.first+face.count] {
			if int(c) == condition {
				t := face.temperature(f.values[face.unknown])
				lowest, highest = min(lowest, t), max(highest, t)
				mean += face.area * t
				area += face.area
			}
		}
	}
	if area == 0 {
		return 0, 0, 0, false
	}
	return lowest, highest, mean / area, true
}

// LiquidVolume is the volume of liquid in the body, m3.
func (f *Field) LiquidVolume() float64 {
	sum := 0.0
	for i, cell := range f.system.cells {
		sum += f.Liquid[cell] * f.system.volume[i]
	}
	return sum
}
