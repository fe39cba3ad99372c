package calibrate

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"sort"
	"strconv"
	"strings"
	"testing"

	"meltspan/calibrate/internal/synthetic"
	"meltspan/design"
	"meltspan/network"
	"meltspan/predict"
)

// tally counts how often 90 % intervals hold the truth.
type tally struct{ held, of int }

func (t *tally) add(held bool) {
	t.of++
	if held {
		t.held++
	}
}

func (t *tally) share() float64 { return float64(t.held) / float64(max(t.of, 1)) }

// coverage is simulation-based calibration (Talts et al., arXiv 1804.06788):
// truths drawn from the prior, data made from them, intervals worked out, and
// the truth looked for in them.
type coverage struct {
	trials, skipped                               int
	followed, all, runTime, untouched, stall, ice tally
	byPath                                        map[string]*tally
	halfWidth                                     []float64
}

// another is a second design that shares the engine, the material and the
// correlations with the first: a lighter charge in a wall of one cavity.
func another(t testing.TB) *design.Design {
	t.Helper()
	text := strings.NewReplacer("name: school bench", "name: second stand", "cavities: 2", "cavities: 1", "mass: 110 g", "mass: 95 g").Replace(string(design.Demo()))
	d, err := design.Parse("second.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// cover runs count trials. section is the size of the cells of the data's model,
// m; 0 makes data by the network, as inference assumes.
func cover(t *testing.T, count int, seed uint64, section float64) coverage {
	first, second := demo(t), another(t)
	a := DefaultDiscrepancy()
	m, err := network.Build(first)
	if err != nil {
		t.Fatal(err)
	}
	reach := m.Time(network.Options{}).RunTime
	out := coverage{byPath: map[string]*tally{}}
	for i := 0; out.trials < count; i++ {
		source := rand.New(rand.NewPCG(seed, uint64(i)))
		truth, deviates := drawnTruth(t, first, source)
		w := assumed(a, reach, source)
		w.Section = section
		seen, what, err := synthetic.Run("seen", truth, w, source)
		if err != nil {
			t.Fatal(err)
		}
		// What the data themselves show may be chosen by without harm to the
		// coverage: a trial that stalls within half an hour teaches little.
		if what.RunTime < 1800 || seen.Event("stalled") == nil {
			out.skipped++
			continue
		}
		out.trials++
		p, err := Calibrate(context.Background(), []Case{{first, seen}}, Options{Draws: 500, Seed: uint64(i + 1)})
		if err != nil {
			t.Fatal(err)
		}
		for _, u := range p.Unknowns {
			z, known := deviates[u.Path]
			if !known {
				continue // the paces
			}
			held := u.Posterior.Holds(u.value(z))
			out.all.add(held)
			if !u.Followed {
				continue
			}
			out.followed.add(held)
			if out.byPath[u.Path] == nil {
				out.byPath[u.Path] = &tally{}
			}
			out.byPath[u.Path].add(held)
		}
		out.predict(t, p, second, deviates, section, source)
		f, err := NewForecaster(Case{first, seen}, nil, ForecastOptions{Seed: uint64(i + 1)})
		if err != nil {
			t.Fatal(err)
		}
		got, err := f.Update(context.Background(), seen, what.RunTime/3)
		if err != nil {
			t.Fatal(err)
		}
		out.stall.add(got.Stall.Holds(what.RunTime))
		if !math.IsNaN(what.LastIce) && what.LastIce > what.RunTime/3 {
			out.ice.add(got.LastIce.Holds(what.LastIce))
		}
		if out.trials%20 == 0 {
			t.Log("\n" + out.String())
		}
	}
	return out
}

// predict looks for the run time of a trial to come of the second design, whose
// shared unknowns are those of the first.
func (c *coverage) predict(t *testing.T, p *Posterior, second *design.Design, deviates map[string]float64, section float64, source *rand.Rand) {
	truth := second.Clone()
	unknowns, err := predict.Unknowns(second)
	if err != nil {
		t.Fatal(err)
	}
	for i := range unknowns {
		z := source.NormFloat64()
		if known, shared := deviates[unknowns[i].Input().Path]; shared && !unknowns[i].Input().Own {
			z = known
		}
		unknowns[i].Set(truth, z)
	}
	truth.Rederive()
	a := p.Discrepancy
	w := synthetic.World{Section: section, Pace: math.Exp(a.Design*source.NormFloat64() + a.Repeat*source.NormFloat64())}
	_, what, err := synthetic.Run("next", truth, w, source)
	if err != nil {
		t.Fatal(err)
	}
	got, err := p.Predict(context.Background(), second, PredictOptions{Draws: 120})
	if err != nil {
		t.Fatal(err)
	}
	c.runTime.add(got.Posterior.Holds(what.RunTime))
	c.untouched.add(got.Prior.Holds(what.RunTime))
	if got.Posterior.Median > 0 && got.Prior.Median > 0 {
		c.halfWidth = append(c.halfWidth, got.Posterior.HalfWidth(), got.Prior.HalfWidth())
	}
}

func (c *coverage) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d trials (%d more stalled within half an hour or never ran)\n", c.trials, c.skipped)
	line := func(what string, t tally) {
		fmt.Fprintf(&b, "%-44s %5.1f %% of %d\n", what, 100*t.share(), t.of)
	}
	line("unknowns followed exactly", c.followed)
	line("all unknowns", c.all)
	line("run time of another design, calibrated", c.runTime)
	line("run time of another design, before", c.untouched)
	line("forecast of the stall at one third", c.stall)
	line("forecast of the last ice at one third", c.ice)
	var paths []string
	for path := range c.byPath {
		paths = append(paths, path)
	}
	sort.Strings(paths)
	for _, path := range paths {
		line("  "+path, *c.byPath[path])
	}
	var after, before float64
	for i := 0; i < len(c.halfWidth); i += 2 {
		after += c.halfWidth[i] / float64(len(c.halfWidth)/2)
		before += c.halfWidth[i+1] / float64(len(c.halfWidth)/2)
	}
	fmt.Fprintf(&b, "mean half-width of that run time: %.0f %% before, %.0f %% calibrated\n", 100*before, 100*after)
	return b.String()
}

// TestCoverage is the short version: a few trials, whose intervals are many but
// hang together, so that the limits are wide. The long one is run by
//
//	MELTSPAN_COVERAGE=200 go test ./calibrate -run 'TestCoverage$' -v -timeout 90m
//
// and what it printed stands in docs/verification.md: it does not hold yet for
// forecasts of the stall. MELTSPAN_SECTION=1 makes the
// data by a section of cells of that many millimetres instead.
func TestCoverage(t *testing.T) {
	count, section := 2, 0.0
	low, high := 0.75, 0.99
	if text := os.Getenv("MELTSPAN_COVERAGE"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			t.Fatalf("MELTSPAN_COVERAGE is %q, not a number of trials", text)
		}
		count = n
		if n >= 200 {
			low, high = 0.85, 0.95
		}
	} else if testing.Short() {
		t.Skip("takes some seconds")
	}
	if text := os.Getenv("MELTSPAN_SECTION"); text != "" {
		mm, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatalf("MELTSPAN_SECTION is %q, not a size in mm", text)
		}
		section = mm / 1000
	}
	c := cover(t, count, 20261125, section)
	t.Log("\n" + c.String())
	if section > 0 {
		return // reported, not asserted: the data break the model's assumptions
	}
	check := func(what string, got tally) {
		if s := got.share(); s < low || s > high {
			t.Errorf("%s: %.1f %% of %d 90 %% intervals hold the truth, want %.0f to %.0f %%", what, 100*s, got.of, 100*low, 100*high)
		}
	}
	check("all unknowns", c.all)
	if count >= 200 {
		check("unknowns followed exactly", c.followed)
		check("run time of another design", c.runTime)
		check("stall, foretold at one third", c.stall)
		check("last ice, foretold at one third", c.ice)
	}
}
