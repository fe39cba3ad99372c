package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"sort"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
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
	lock                                          sync.Mutex
	trials, skipped, weighted, tempered           int
	followed, all, runTime, untouched, stall, ice tally
	low, high, iceLow, iceHigh                    int // stalls, and last ices, before and after their interval
	byPath                                        map[string]*tally
	halfWidth, stallWidth                         []float64
	runs, forecastRuns                            int
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

// cover runs count trials, as many at once as there are processors. section is
// the size of the cells of the data's model, m; 0 makes data by the network, as
// inference assumes.
func cover(t *testing.T, count int, seed uint64, section float64, particles int) *coverage {
	first, second := demo(t), another(t)
	m, err := network.Build(first)
	if err != nil {
		t.Fatal(err)
	}
	reach := m.Time(network.Options{}).RunTime
	out := &coverage{byPath: map[string]*tally{}}
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(count, runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			for out.begun(count) && !t.Failed() {
				for !out.one(t, first, second, reach, seed, uint64(next.Add(1)-1), section, particles) && !t.Failed() {
				}
			}
		})
	}
	wait.Wait()
	return out
}

// begun takes one of the trials to be done, while there are any.
func (c *coverage) begun(count int) bool {
	c.lock.Lock()
	defer c.lock.Unlock()
	c.trials++
	if c.trials > count {
		c.trials = count
		return false
	}
	return true
}

// one makes a trial and looks for the truth; false where the trial is no use.
func (c *coverage) one(t *testing.T, first, second *design.Design, reach float64, seed, i uint64, section float64, particles int) bool {
	source := rand.New(rand.NewPCG(seed, i))
	truth, deviates := drawnTruth(t, first, source)
	w, _ := assumed(DefaultDiscrepancy(), reach, source)
	w.Section = section
	seen, what, err := synthetic.Run("seen", truth, w, source)
	if err != nil {
		t.Error(err)
		return false
	}
	// What the data themselves show may be chosen by without harm to the
	// coverage: a trial that stalls within half an hour teaches little.
	if what.RunTime < 1800 || seen.Event("stalled") == nil {
		c.lock.Lock()
		c.skipped++
		c.lock.Unlock()
		return false
	}
	var p *Posterior
	next := func() {}
	if os.Getenv("MELTSPAN_ONLY") != "forecasts" {
		if p, err = Calibrate(t.Context(), []Case{{first, seen}}, Options{Draws: 400, Population: particles, Seed: i + 1}); err != nil {
			t.Error(err)
			return false
		}
		draws := 120
		if particles > 0 {
			draws = particles
		}
		next = c.next(t, p, second, deviates, section, draws, source)
	}
	f, err := NewForecaster(Case{first, seen}, nil, ForecastOptions{Members: particles, Seed: i + 1})
	if err != nil {
		t.Error(err)
		return false
	}
	got, err := f.Update(t.Context(), seen, what.RunTime/3)
	if err != nil {
		t.Error(err)
		return false
	}
	c.lock.Lock()
	defer c.lock.Unlock()
	held := "forecast alone"
	if p != nil {
		held = c.unknowns(p, deviates)
	}
	next()
	c.forecastRuns += got.Runs
	c.stall.add(got.Stall.Holds(what.RunTime))
	if what.RunTime < got.Stall.Low {
		c.low++
	}
	if what.RunTime > got.Stall.High {
		c.high++
	}
	c.stallWidth = append(c.stallWidth, got.Stall.HalfWidth())
	if !math.IsNaN(what.LastIce) && what.LastIce > what.RunTime/3 {
		c.ice.add(got.LastIce.Holds(what.LastIce))
		if what.LastIce < got.LastIce.Low {
			c.iceLow++
		}
		if what.LastIce > got.LastIce.High {
			c.iceHigh++
		}
	}
	t.Logf("trial %d ran %.2f h, foretold %.2f to %.2f h, %s\n%s", i, what.RunTime/3600, got.Stall.Low/3600, got.Stall.High/3600, held, c.String())
	return true
}

// unknowns looks for the true values in a posterior, and says how many of those
// that chains followed it held.
func (c *coverage) unknowns(p *Posterior, deviates map[string]float64) string {
	before := c.followed
	for _, u := range p.Unknowns {
		z, known := deviates[u.Path]
		if !known {
			continue // what the discrepancy adds
		}
		held := u.Posterior.Holds(u.value(z))
		c.all.add(held)
		if !u.Followed {
			continue
		}
		c.followed.add(held)
		if c.byPath[u.Path] == nil {
			c.byPath[u.Path] = &tally{}
		}
		c.byPath[u.Path].add(held)
	}
	c.runs += p.Sampling.Runs
	if p.Sampling.Weighted {
		c.weighted++
	}
	if p.Sampling.Tempered {
		c.tempered++
	}
	return fmt.Sprintf("efficiency %.2f, %d of %d followed held", p.Sampling.Efficiency, c.followed.held-before.held, c.followed.of-before.of)
}

// next looks for the run time of a trial to come of the second design, whose
// shared unknowns are those of the first. What it returns counts it.
func (c *coverage) next(t *testing.T, p *Posterior, second *design.Design, deviates map[string]float64, section float64, draws int, source *rand.Rand) func() {
	truth := second.Clone()
	unknowns, err := predict.Unknowns(second)
	if err != nil {
		t.Error(err)
		return func() {}
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
	w := synthetic.World{Section: section, Pace: math.Exp(a.Design*source.NormFloat64() + a.Repeat*source.NormFloat64()), Stall: a.Stall * source.NormFloat64()}
	_, what, err := synthetic.Run("next", truth, w, source)
	if err != nil {
		t.Error(err)
		return func() {}
	}
	got, err := p.Predict(t.Context(), second, PredictOptions{Draws: draws})
	if err != nil {
		t.Error(err)
		return func() {}
	}
	return func() {
		c.runTime.add(got.Posterior.Holds(what.RunTime))
		c.untouched.add(got.Prior.Holds(what.RunTime))
		if got.Posterior.Median > 0 && got.Prior.Median > 0 {
			c.halfWidth = append(c.halfWidth, got.Posterior.HalfWidth(), got.Prior.HalfWidth())
		}
	}
}

func (c *coverage) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d trials (%d more stalled within half an hour or never ran), %d populations from chains, %d from the prior; %d and %d network runs each to calibrate and to foretell\n",
		c.stall.of, c.skipped, c.weighted, c.tempered, c.runs/max(c.stall.of, 1), c.forecastRuns/max(c.stall.of, 1))
	line := func(what string, t tally) {
		fmt.Fprintf(&b, "%-44s %5.1f %% of %d\n", what, 100*t.share(), t.of)
	}
	line("unknowns followed exactly", c.followed)
	line("all unknowns", c.all)
	line("run time of another design, calibrated", c.runTime)
	line("run time of another design, before", c.untouched)
	line("forecast of the stall at one third", c.stall)
	line("forecast of the last ice at one third", c.ice)
	fmt.Fprintf(&b, "%d stalls before their interval, %d after; %d and %d last ices; median half-width %.0f %%\n", c.low, c.high, c.iceLow, c.iceHigh, 100*predict.Quantile(c.stallWidth, 0.5))
	var paths []string
	for path := range c.byPath {
		paths = append(paths, path)
	}
	sort.Strings(paths)
	for _, path := range paths {
		line("  "+path, *c.byPath[path])
	}
	if len(c.halfWidth) == 0 {
		return b.String()
	}
	var after, before []float64
	for i := 0; i < len(c.halfWidth); i += 2 {
		after, before = append(after, c.halfWidth[i]), append(before, c.halfWidth[i+1])
	}
	fmt.Fprintf(&b, "median half-width of that run time: %.0f %% before, %.0f %% calibrated\n", 100*predict.Quantile(before, 0.5), 100*predict.Quantile(after, 0.5))
	return b.String()
}

// TestCoverage is the short version: one trial, whose intervals are many but hang
// together, so that the limits are wide. The long one is run by
//
//	MELTSPAN_COVERAGE=200 go test ./calibrate -run 'TestCoverage$' -v -timeout 90m
//
// which prints running totals after each trial; what it printed stands in
// docs/verification.md. MELTSPAN_SECTION=1 makes the data by a section of cells of
// that many millimetres instead, MELTSPAN_SEED=N other trials;
// MELTSPAN_ONLY=forecasts leaves the calibrations out.
func TestCoverage(t *testing.T) {
	count, section, particles, seed := 1, 0.0, 40, uint64(20261125)
	low, high := 0.75, 0.99
	if text := os.Getenv("MELTSPAN_COVERAGE"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			t.Fatalf("MELTSPAN_COVERAGE is %q, not a number of trials", text)
		}
		count, particles = n, 0
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
	if text := os.Getenv("MELTSPAN_SEED"); text != "" {
		var err error
		if seed, err = strconv.ParseUint(text, 10, 64); err != nil {
			t.Fatalf("MELTSPAN_SEED is %q, not a number", text)
		}
	}
	c := cover(t, count, seed, section, particles)
	t.Log("\n" + c.String())
	if section > 0 {
		return // reported, not asserted: the data break the model's assumptions
	}
	check := func(what string, got tally) {
		if s := got.share(); s < low || s > high {
			t.Errorf("%s: %.1f %% of %d 90 %% intervals hold the truth, want %.0f to %.0f %%", what, 100*s, got.of, 100*low, 100*high)
		}
	}
	if c.all.of > 0 {
		check("all unknowns", c.all)
	}
	if count >= 200 {
		if c.all.of > 0 {
			check("unknowns followed exactly", c.followed)
			check("run time of another design", c.runTime)
		}
		check("stall, foretold at one third", c.stall)
		check("last ice, foretold at one third", c.ice)
	}
}
