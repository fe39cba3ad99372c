package predict

import (
	"context"
	"math"
	"sync"
	"testing"

	"meltspan/design"
	"meltspan/internal/designtest"
)

// A value put in by Condition comes out in every draw, in all kinds of inputs;
// weights count; what belongs to one trial is not touched.
func TestConditionedEnsemble(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	values := map[string]float64{"model.still": 0.7, "load.top_plate.emissivity": 0.88, "load.engine.stall_difference": 5.2, "materials.pla.conductivity": 0.21, "stand.wall.skin": 1.25e-3}
	var draws Draws
	var row, other []float64
	for path, v := range values {
		draws.Paths, row, other = append(draws.Paths, path), append(row, v), append(other, 1.1*v)
	}
	draws.Rows, draws.Weights = [][]float64{other, row}, []float64{0, 3}
	e, err := NewEnsemble([]Member{{Design: d}, {Design: d, Trial: "one"}}, 30, 1)
	if err != nil {
		t.Fatal(err)
	}
	if err := e.Condition(d, draws); err != nil {
		t.Fatal(err)
	}
	var mutex sync.Mutex
	masses := map[float64]bool{}
	err = e.Each(context.Background(), nil, func(_ int, own []*design.Design) error {
		mutex.Lock()
		defer mutex.Unlock()
		for path, want := range values {
			get, err := design.Accessor(path)
			if err != nil {
				return err
			}
			for i := range own {
				if got := get(own[i]).SI; math.Abs(got/want-1) > 1e-9 {
					t.Errorf("%s of member %d is %g, want %g", path, i, got, want)
				}
			}
		}
		if own[0].Store.Mass.SI != d.Store.Mass.SI {
			t.Errorf("without a trial the charge is %g kg", own[0].Store.Mass.SI)
		}
		masses[own[1].Store.Mass.SI] = true
		return nil
	})
	if err != nil || len(masses) < 25 {
		t.Errorf("%d weighings in 30 draws, %v", len(masses), err)
	}
	for _, wrong := range []Draws{
		{}, {Paths: []string{"model.nothing"}, Rows: [][]float64{{1}}}, {Paths: []string{"model.still"}, Rows: [][]float64{{-1}}},
		{Paths: []string{"model.still"}, Rows: [][]float64{{1, 2}}}, {Paths: []string{"model.still"}, Rows: [][]float64{{1}}, Weights: []float64{0}},
		{Paths: []string{"model.still"}, Rows: [][]float64{{1}}, Weights: []float64{1, 2}},
	} {
		if err := e.Condition(d, wrong); err == nil {
			t.Errorf("%+v is taken", wrong)
		}
	}
}

// A scenario of a quantile runs as long as that quantile of the draws it was
// taken from.
func TestScenarioHitsItsQuantile(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	o := Options{Samples: 150}
	ranked, err := Bands(context.Background(), d, []*design.Design{d}, 0.2, o)
	if err != nil {
		t.Fatal(err)
	}
	s, err := NewScenario(context.Background(), d, 0.2, o)
	if err != nil {
		t.Fatal(err)
	}
	got, err := s.Time(d)
	if err != nil || math.Abs(got/ranked[0].Quantile-1) > 0.05 || ranked[0].Longer != 0.5 {
		t.Errorf("scenario %.0f s, quantile %.0f s, %v", got, ranked[0].Quantile, err)
	}
}
