package network

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"meltspan/internal/designtest"
)

// Energy and water close on every run, whatever the design: the claim of the
// package comment, to a millionth of what passed.
func TestLedgersCloseOnEveryDesign(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := designtest.Valid(t)
		m, err := Build(d)
		if err != nil {
			t.Fatalf("a valid design was refused: %v", err)
		}
		run, err := m.Run(context.Background(), Options{Course: true})
		if err != nil {
			t.Fatal(err)
		}
		if r := math.Abs(run.Energy.Residual); !(r < 1e-6) {
			t.Errorf("energy ledger off by %g of its scale: %+v", r, run.Energy)
		}
		if r := math.Abs(run.Water.Residual); !(r < 1e-6) {
			t.Errorf("water ledger off by %g of the charge: %+v", r, run.Water)
		}
		if run.RunTime < 0 || run.RunTime > DefaultHorizon+1 {
			t.Errorf("run time %g s", run.RunTime)
		}
		if run.Steps > mostSteps {
			t.Errorf("%d steps", run.Steps)
		}
		sum := 0.0
		for _, p := range run.Budget {
			sum += p.Share
		}
		if len(run.Budget) > 0 && math.Abs(sum-1) > 1e-9 {
			t.Errorf("budget shares add up to %g", sum)
		}
		checkCourse(t, m, d.Store.Mass.SI)
	})
}

// checkCourse asserts bounds that no run may leave: masses within the charge,
// temperatures between the coldest and the warmest that it began with.
func checkCourse(t *rapid.T, m *Model, charge float64) {
	masses := m.work.y[len(m.nodes):]
	for i, name := range map[int]string{stateSolid: "solid", stateLiquid: "liquid", stateFilm: "film", stateTray: "tray"} {
		if masses[i] < -2e-3*charge || math.IsNaN(masses[i]) {
			t.Errorf("%s mass ends at %g kg of a charge of %g kg", name, masses[i], charge)
		}
	}
	for i, node := range m.nodes {
		if temperature := m.work.temperature[i]; !(temperature > 150 && temperature < 1000) {
			t.Errorf("%s ends at %g K", node.name, temperature)
		}
	}
}
