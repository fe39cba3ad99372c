package field

import (
	"context"
	"errors"
	"math"
	"runtime"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// anyProblem is a small body of random cells, voids, contacts and conditions.
func anyProblem(t *rapid.T) *Problem {
	geometry := rapid.SampledFrom([]Geometry{Planar, Axisymmetric, Box}).Draw(t, "geometry")
	p := &Problem{Grid: Grid{Geometry: geometry}, Materials: []Material{freezing(), {Name: "metal", Conductivity: Isotropic(200), HeatCapacity: 2.4e6},
		{Name: "foam", Conductivity: [3]float64{0.03, 0.05, 0.04}, HeatCapacity: 5e4}}}
	for axis := range geometry.axes() {
		e := []float64{0}
		for range rapid.IntRange(1, 4).Draw(t, "cells") {
			e = append(e, e[len(e)-1]+rapid.Float64Range(1e-3, 2e-2).Draw(t, "width"))
		}
		p.Grid.Edges[axis] = e
	}
	p.Fill(0, nil)
	for cell := 1; cell < len(p.Cells); cell++ {
		p.Cells[cell] = rapid.IntRange(Void, 2).Draw(t, "material")
	}
	p.Conditions = []Condition{Film("air", 10, 298), Fixed("cold", 260), Flux("sun", 300),
		{Name: "draught", Kind: FilmKind, Coefficient: func(time float64) float64 { return 5 + time/100 }, Temperature: Constant(290)}}
	for axis := range geometry.axes() {
		for k, side := range []Side{Lower(axis), Upper(axis)} {
			switch c := rapid.IntRange(-1, 3).Draw(t, "condition"); {
			case c >= 0:
				p.Cover(c, side, nil)
				if c == 0 && k == 1 {
					p.Cover(2, side, nil) // sun on a face in the air
				}
			}
		}
	}
	p.Sources = []Source{{Name: "heater", Density: everywhere(1e4)}}
	for cell := range p.Cells {
		if next := p.Grid.neighbour(cell, Upper(0)); next >= 0 && p.Cells[cell] != Void && p.Cells[next] != Void && rapid.Bool().Draw(t, "contact") {
			p.Contacts = append(p.Contacts, Contact{next, Lower(0), rapid.Float64Range(0, 0.1).Draw(t, "resistance")})
		}
	}
	return p
}

// everywhere is a source that is the same everywhere and always.
func everywhere(density float64) func([3]float64, float64) float64 {
	return func([3]float64, float64) float64 { return density }
}

// Energy closes in any body, melting or not.
func TestEnergyCloses(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := anyProblem(r)
		method := rapid.SampledFrom([]Integrator{SDIRK2, BackwardEuler}).Draw(r, "method")
		start := rapid.Float64Range(250, 290).Draw(r, "start")
		f, err := Transient(context.Background(), p, p.Uniform(start), TransientOptions{End: 300, Step: 1, Tolerance: 1, Method: method})
		if err != nil {
			r.Fatal(err)
		}
		if !(math.Abs(f.Ledger.Residual()) <= 1e-9*f.Ledger.Turnover()) {
			r.Errorf("ledger leaves %g of %g J", f.Ledger.Residual(), f.Ledger.Turnover())
		}
	})
}

// Without sources no place is warmer or colder than start and surroundings.
func TestMaximumPrinciple(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := anyProblem(r)
		p.Sources, p.Conditions[2].Flux = nil, Constant(0)
		f, err := Transient(context.Background(), p, p.Uniform(270), TransientOptions{End: 300, Step: 50, Method: BackwardEuler})
		if err != nil {
			r.Fatal(err)
		}
		for cell, v := range f.Temperature {
			if v < 260-1e-3 || v > 298+1e-3 {
				r.Errorf("cell %d is at %g K", cell, v)
			}
		}
	})
}

// A cube of ice melting on all faces stays its own mirror image.
func TestSymmetry(t *testing.T) {
	e := Even(0, 0.03, 8)
	p := &Problem{
		Grid:       Grid{Box, [3][]float64{e, e, e}},
		Materials:  []Material{freezing()},
		Conditions: []Condition{Film("water", 100, celsius+20)},
	}
	p.Fill(0, nil)
	for axis := range 3 {
		p.Cover(0, Lower(axis), nil)
		p.Cover(0, Upper(axis), nil)
	}
	f := transient(t, p, p.Uniform(celsius-5), TransientOptions{End: 600, Step: 1, Tolerance: 0.1})
	molten := f.LiquidVolume() / (0.03 * 0.03 * 0.03)
	if molten < 0.1 || molten > 0.9 {
		t.Errorf("%g of the cube is molten: the test sees no front", molten)
	}
	for cell, v := range f.Temperature {
		at := p.Grid.Place(cell)
		near(t, "mirrored, K", f.Temperature[p.Grid.Index(7-at[0], at[1], at[2])], v, 1e-5)
		near(t, "transposed, K", f.Temperature[p.Grid.Index(at[1], at[2], at[0])], v, 1e-5)
		near(t, "transposed, share", f.Liquid[p.Grid.Index(at[1], at[2], at[0])], f.Liquid[cell], 1e-6)
	}
}

// Both preconditioners lead to the same field.
func TestSolversAgree(t *testing.T) {
	p := layered(20)
	var fields [2]*SteadyField
	for i, solver := range []Solver{Multigrid, IncompleteFactorisation} {
		f, err := Steady(t.Context(), p, SteadyOptions{Solver: solver})
		if err != nil {
			t.Fatal(err)
		}
		fields[i] = f
	}
	for cell, v := range fields[0].Temperature {
		near(t, "K", v, fields[1].Temperature[cell], 1e-6)
	}
}

// And to the same course in time, where melting cells and short steps leave
// multigrid rows that it does not coarsen.
func TestSolversAgreeInTime(t *testing.T) {
	p := layered(12)
	p.Materials[2] = freezing()
	p.Conditions[1].Temperature = Constant(celsius - 10)
	var fields [2]*TransientField
	for i, solver := range []Solver{Multigrid, IncompleteFactorisation} {
		fields[i] = transient(t, p, p.Uniform(celsius+2), TransientOptions{End: 2000, Step: 1, Tolerance: 0.1, Solver: solver})
	}
	if share := fields[0].LiquidVolume() / (0.06 * 0.1 * 0.04); share > 0.95 {
		t.Errorf("%g of the water is liquid: the test sees no front", share)
	}
	for cell, v := range fields[0].Temperature {
		near(t, "K", v, fields[1].Temperature[cell], 1e-3)
	}
}

// Multigrid takes about as many steps on four times the cells.
func TestMultigridStepsHardlyGrow(t *testing.T) {
	steps := func(n int) int {
		f, err := Steady(t.Context(), layered(n), SteadyOptions{Solver: Multigrid})
		if err != nil {
			t.Fatal(err)
		}
		return f.Steps
	}
	small, large := steps(20), steps(40)
	if float64(large) > 1.4*float64(small) {
		t.Errorf("%d steps for 8000 cells, %d for 64000", small, large)
	}
}

// The number of cores changes nothing.
func TestSameOnAnyNumberOfCores(t *testing.T) {
	p := layered(28)
	solve := func(cores int) []float64 {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		return steady(t, p).Temperature
	}
	if !slices.Equal(solve(1), solve(4)) {
		t.Error("one core and four lead to different fields")
	}
}

func TestInterruption(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	p := rod(freezing(), 0.1, 50, celsius-10)
	f, err := Transient(ctx, p, p.Uniform(celsius+1), TransientOptions{End: 3600, Step: 1, Progress: func(now Progress) {
		if now.Time >= 10 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Fatalf("error %v", err)
	}
	near(t, "time reached", f.Time, 10, 1e-9)
	closes(t, &f.Ledger)
	if _, err := Steady(ctx, p, SteadyOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("steady: error %v", err)
	}
}

// A flux that stops brings what it should when steps meet its end.
func TestTimesAreMet(t *testing.T) {
	p := rod(Material{Name: "metal", Conductivity: Isotropic(200), HeatCapacity: 1e6}, 0.01, 10, 0)
	p.Conditions = []Condition{{Name: "pulse", Kind: FluxKind, Flux: func(time float64) float64 {
		if time > 25 {
			return 0
		}
		return 1000
	}}}
	var seen []float64
	f := transient(t, p, p.Uniform(300), TransientOptions{End: 60, Step: 3, Longest: 7, Tolerance: 0.1, Times: []float64{25, 40},
		Snapshot: func(f *Field) { seen = append(seen, f.Time) }})
	near(t, "J", f.Ledger.Stored, 25000, 1e-6)
	if !slices.Equal(seen, []float64{25, 40, 60}) {
		t.Errorf("snapshots at %v", seen)
	}
}
