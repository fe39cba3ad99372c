package field

import (
	"context"
	"fmt"
	"math"
	"slices"

	"meltspan/internal/sparse"
)

// SteadyOptions may be left zero.
type SteadyOptions struct {
	Time   float64 // at which conditions and sources are taken, s
	Solver Solver
	// Progress, if not nil, is called after each round with the number of
	// rounds and the largest change of a temperature, K.
	Progress func(round int, change float64)
}

// SteadyField is the outcome of Steady.
type SteadyField struct {
	Field
	Rounds int // of the phases; 1 without materials that melt
	Steps  int // of the conjugate gradients
}

const (
	steadyShare  = 1e-10 // of the first residual, where the gradients stop
	steadyRounds = 60
	settled      = 1e-6 // K, the change between rounds at which phases rest
)

// Steady finds the field that no longer changes. A cell of a material that
// melts conducts as liquid above its melting point and as solid below it; the
// cell that the melting point crosses ends up between. It fails when a part of
// the body meets no fixed temperature or film, and with ErrNotConverged or the
// context's error when it is stopped short.
func Steady(ctx context.Context, p *Problem, o SteadyOptions) (*SteadyField, error) {
	s, err := newSystem(p, false)
	if err != nil {
		return nil, err
	}
	if err := s.setTime(o.Time); err != nil {
		return nil, err
	}
	if cell := s.loose(); cell >= 0 {
		return nil, fmt.Errorf("field: the part around cell %d %v meets no fixed temperature and no film, so its steady temperature is not determined",
			cell, p.Grid.Node(cell))
	}
	n := len(s.cells)
	out := &SteadyField{}
	t, change, into := make([]float64, n), make([]float64, n), make([]float64, n)
	start := s.meanOutside()
	for i := range t {
		t[i] = start
		s.share[i] = s.shareAt(i, start)
	}
	work, search := sparse.NewGradients(n), s.newSearch()
	for {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		out.Rounds++
		s.conduct()
		s.face()
		for i := range n {
			s.matrix.Diagonal[i] = s.inner[i] + s.outer[i]
		}
		s.flows(t, into)
		target := steadyShare * steadyShare * sparse.Dot(into, into)
		clear(change)
		steps, err := work.Solve(ctx, s.matrix, o.Solver.prepare(s.matrix), into, change, func(r []float64) bool {
			return sparse.Dot(r, r) <= target
		})
		out.Steps += steps
		if err != nil {
			return nil, err
		}
		sparse.AddTo(t, 1, change)
		moved := 0.0
		for _, c := range change {
			moved = max(moved, math.Abs(c))
		}
		if o.Progress != nil {
			o.Progress(out.Rounds, moved)
		}
		if len(s.changing) == 0 || moved < settled {
			break
		}
		if out.Rounds == steadyRounds {
			return nil, fmt.Errorf("%w: phases of the steady state after %d rounds", ErrNotConverged, steadyRounds)
		}
		search.move(t)
	}
	out.Field = Field{system: s, values: t, Ledger: s.newLedger()}
	out.State = State{Time: o.Time, Temperature: s.spread(t), Liquid: s.spread(s.share)}
	s.exchange(t, o.Time, 1, &out.Ledger)
	return out, nil
}

func (s *system) shareAt(i int, temperature float64) float64 {
	if p := s.material(i).Phase; p != nil && temperature > p.Melting {
		return 1
	}
	return 0
}

// search moves the shares of liquid to where temperatures agree with them: by
// whole shares at first, by half the stride whenever a cell turns back, so that
// a cell that can be neither solid nor liquid is held at its melting point.
type search struct {
	*system
	stride []float64 // signed, of the last move
}

func (s *system) newSearch() *search {
	if len(s.changing) == 0 {
		return nil
	}
	return &search{s, slices.Repeat([]float64{1}, len(s.cells))}
}

func (s *search) move(temperature []float64) {
	for i, stride := range s.stride {
		m := s.material(i)
		if m.Phase == nil {
			continue
		}
		if (temperature[i] > m.Phase.Melting) == (stride > 0) {
			stride = min(max(1.5*stride, -1), 1)
		} else {
			stride /= -2
		}
		s.stride[i] = stride
		s.share[i] = min(max(s.share[i]+stride, 0), 1)
	}
}

// meanOutside is a temperature to start from: near the answer, so that
// rounding is small beside it.
func (s *system) meanOutside() float64 {
	sum, weight := 0.0, 0.0
	for k := range s.surfaces {
		f := &s.surfaces[k]
		switch {
		case f.fixed:
			sum, weight = sum+f.conductance*f.drive, weight+f.conductance
		case f.film > 0:
			sum, weight = sum+f.conductance*f.drive/f.film, weight+f.conductance
		}
	}
	return sum / weight
}

// loose finds a cell that no path leads from to a fixed temperature or film,
// or -1.
func (s *system) loose() int {
	reached := make([]bool, len(s.cells))
	var edge []int32
	for i, g := range s.outer {
		if g > 0 {
			reached[i] = true
			edge = append(edge, int32(i))
		}
	}
	for len(edge) > 0 {
		i := edge[len(edge)-1]
		edge = edge[:len(edge)-1]
		columns, values := s.matrix.Row(int(i))
		for k, j := range columns {
			if values[k] != 0 && !reached[j] {
				reached[j] = true
				edge = append(edge, j)
			}
		}
	}
	for i, ok := range reached {
		if !ok {
			return int(s.cells[i])
		}
	}
	return -1
}
