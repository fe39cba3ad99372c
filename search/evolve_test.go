package search

import (
	"context"
	"errors"
	"math"
	"reflect"
	"testing"
)

// scored evaluates a plain function.
func scored(f func(x []float64) Score) Evaluate {
	return func(_ context.Context, at [][]float64) ([]*Score, error) {
		out := make([]*Score, len(at))
		for i := range at {
			s := f(at[i])
			out[i] = &s
		}
		return out, nil
	}
}

func objective(f func(x []float64) float64) Evaluate {
	return scored(func(x []float64) Score { return Score{Objectives: []float64{f(x)}} })
}

func box(n int, low, high float64) []Domain {
	out := make([]Domain, n)
	for i := range out {
		out[i] = Domain{Low: low, High: high}
	}
	return out
}

func evolve(t *testing.T, domains []Domain, f Evaluate, o Evolution) Outcome {
	t.Helper()
	out, err := Evolve(context.Background(), domains, f, o)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Ackley, A Connectionist Machine for Genetic Hillclimbing (1987): least value
// 0 at the origin, among many local minima. Rosenbrock, Computer Journal 3
// (1960) 175: 0 at (1, ..., 1), in a bent valley. Rastrigin as generalised by
// Muehlenbein, Schomisch and Born, Parallel Computing 17 (1991) 619: 0 at the
// origin.
func TestKnownMinima(t *testing.T) {
	ackley := func(x []float64) float64 {
		square, wave := 0.0, 0.0
		for _, v := range x {
			square += v * v / float64(len(x))
			wave += math.Cos(2*math.Pi*v) / float64(len(x))
		}
		return -20*math.Exp(-0.2*math.Sqrt(square)) - math.Exp(wave) + 20 + math.E
	}
	rosenbrock := func(x []float64) float64 {
		sum := 0.0
		for i := range len(x) - 1 {
			sum += 100*math.Pow(x[i+1]-x[i]*x[i], 2) + math.Pow(1-x[i], 2)
		}
		return sum
	}
	rastrigin := func(x []float64) float64 {
		sum := 10 * float64(len(x))
		for _, v := range x {
			sum += v*v - 10*math.Cos(2*math.Pi*v)
		}
		return sum
	}
	for _, c := range []struct {
		name       string
		f          func([]float64) float64
		n          int
		reach      float64
		at         float64
		candidates int
	}{
		{"Ackley", ackley, 8, 30, 0, 20000},
		{"Rosenbrock", rosenbrock, 5, 5, 1, 20000},
		{"Rastrigin", rastrigin, 6, 5.12, 0, 20000},
	} {
		for seed := uint64(1); seed <= 2; seed++ {
			out := evolve(t, box(c.n, -c.reach, c.reach+1), objective(c.f), Evolution{Candidates: c.candidates, Population: 50, Seed: seed})
			if len(out.Front) == 0 || out.Front[0].Objectives[0] > 1e-4 {
				t.Fatalf("%s, seed %d: %+v", c.name, seed, out.Front)
			}
			for _, v := range out.Front[0].At { // the valley of Rosenbrock is flat
				if math.Abs(v-c.at) > 1e-2 {
					t.Errorf("%s, seed %d: %v after %d, want all %g", c.name, seed, out.Front[0].At, out.Tried, c.at)
					break
				}
			}
		}
	}
}

// Problems g06 (f = -6961.81388 at (14.095, 0.84296)) and g08 (f = -0.095825 at
// (1.2279713, 4.2453733)) of Liang et al., Problem definitions for the CEC 2006
// special session on constrained real-parameter optimization, Nanyang
// Technological University (2006); from memory, the minima worked out from the
// constraints: g06 has both constraints active.
func TestConstrainedMinima(t *testing.T) {
	over := func(g ...float64) float64 {
		sum := 0.0
		for _, v := range g {
			sum += math.Max(v, 0)
		}
		return sum
	}
	g06 := scored(func(x []float64) Score {
		return Score{
			Objectives: []float64{math.Pow(x[0]-10, 3) + math.Pow(x[1]-20, 3)},
			Violation: over(-math.Pow(x[0]-5, 2)-math.Pow(x[1]-5, 2)+100,
				math.Pow(x[0]-6, 2)+math.Pow(x[1]-5, 2)-82.81),
		}
	})
	out := evolve(t, []Domain{{Low: 13, High: 100}, {Low: 0, High: 100}}, g06, Evolution{Candidates: 12000})
	if f := out.Front[0].Objectives[0]; math.Abs(f+6961.81388) > 0.05 {
		t.Errorf("g06: %.4f at %v", f, out.Front[0].At)
	}
	g08 := scored(func(x []float64) Score {
		return Score{
			Objectives: []float64{-math.Pow(math.Sin(2*math.Pi*x[0]), 3) * math.Sin(2*math.Pi*x[1]) / (math.Pow(x[0], 3) * (x[0] + x[1]))},
			Violation:  over(x[0]*x[0]-x[1]+1, 1-x[0]+math.Pow(x[1]-4, 2)),
		}
	})
	out = evolve(t, []Domain{{Low: 1e-6, High: 10}, {Low: 1e-6, High: 10}}, g08, Evolution{Candidates: 6000})
	if f := out.Front[0].Objectives[0]; math.Abs(f+0.095825) > 1e-5 {
		t.Errorf("g08: %.7f at %v", f, out.Front[0].At)
	}
}

// ZDT1 of Zitzler, Deb and Thiele, Evolutionary Computation 8 (2000) 173-195:
// the front is f2 = 1 - sqrt(f1). The candidates found must lie on it and cover
// it.
func TestKnownFront(t *testing.T) {
	const n = 12
	zdt1 := scored(func(x []float64) Score {
		g := 1.0
		for _, v := range x[1:] {
			g += 9 * v / float64(n-1)
		}
		return Score{Objectives: []float64{x[0], g * (1 - math.Sqrt(x[0]/g))}}
	})
	out := evolve(t, box(n, 0, 1), zdt1, Evolution{Candidates: 16000, Population: 60, Keep: 60})
	if len(out.Front) < 40 {
		t.Fatalf("only %d on the front", len(out.Front))
	}
	last, widest := 0.0, 0.0
	for _, f := range out.Front {
		if off := f.Objectives[1] - (1 - math.Sqrt(f.Objectives[0])); off > 5e-3 {
			t.Errorf("%.4f above the front at %.3f", off, f.Objectives[0])
		}
		widest = math.Max(widest, f.Objectives[0]-last)
		last = f.Objectives[0]
	}
	if last < 0.98 || widest > 0.08 {
		t.Errorf("the front reaches to %.3f and has a gap of %.3f", last, widest)
	}
}

// Whole numbers, steps and choices: the least of a sum over a small space by
// trying all of it, and every value on its step. A space that small is used up.
func TestStepsAndChoices(t *testing.T) {
	domains := []Domain{{Low: 0, High: 6, Step: 1}, {Low: 0.5, High: 2.05, Step: 0.25}, {High: 3, Choice: true}}
	cost := []float64{3, 0.2, 5, 0.3}
	f := func(x []float64) float64 {
		return math.Abs(x[0]-3.4) + math.Abs(x[1]-1.3) + cost[int(x[2])]
	}
	out := evolve(t, domains, objective(f), Evolution{Candidates: 5000})
	if got := out.Front[0].At; !reflect.DeepEqual(got, []float64{3, 1.25, 1}) {
		t.Errorf("found %v", got)
	}
	if !out.Exhausted || out.Tried != 7*7*4 {
		t.Errorf("tried %d of %d, used up %v", out.Tried, 7*7*4, out.Exhausted)
	}
}

// Where nothing holds the nearest is told.
func TestNothingHolds(t *testing.T) {
	out := evolve(t, box(2, 0, 1), scored(func(x []float64) Score {
		return Score{Objectives: []float64{0}, Violation: 1 + math.Abs(x[0]-0.25)}
	}), Evolution{Candidates: 2000})
	if len(out.Front) != 0 || out.Nearest == nil || math.Abs(out.Nearest.At[0]-0.25) > 1e-3 {
		t.Errorf("%+v", out)
	}
}

// The same seed finds the same, another one looks elsewhere; an interruption
// keeps what was found.
func TestSeedsAndInterruption(t *testing.T) {
	sphere := func(x []float64) float64 { return x[0]*x[0] + x[1]*x[1] }
	run := func(seed uint64) Outcome {
		return evolve(t, box(2, -1, 1), objective(sphere), Evolution{Candidates: 500, Seed: seed})
	}
	if a, b := run(7), run(7); !reflect.DeepEqual(a, b) {
		t.Error("the same seed, another outcome")
	}
	if a, b := run(7), run(8); reflect.DeepEqual(a.Front, b.Front) {
		t.Error("another seed, the same outcome")
	}
	calls := 0
	stop := errors.New("stop")
	out, err := Evolve(context.Background(), box(2, -1, 1), func(ctx context.Context, at [][]float64) ([]*Score, error) {
		scores, _ := objective(sphere)(ctx, at)
		if calls++; calls == 5 {
			for i := 3; i < len(scores); i++ {
				scores[i] = nil
			}
			return scores, stop
		}
		return scores, nil
	}, Evolution{Candidates: 5000, Population: 20})
	if !errors.Is(err, stop) || out.Tried != 83 || len(out.Front) == 0 {
		t.Errorf("%v after %d with %d found", err, out.Tried, len(out.Front))
	}
}
