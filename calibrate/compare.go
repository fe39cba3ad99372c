package calibrate

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"meltspan/design"
	"meltspan/quantity"
	"meltspan/trial"
)

// Comparison is some trials brought to common conditions.
type Comparison struct {
	Common   []trial.Setting `json:"common_conditions"`
	Repeat   Repeat          `json:"repeat_scatter"`
	Trials   []Corrected     `json:"trials"`
	Pairs    []Pair          `json:"pairs"`
	Designs  []Corrected     `json:"designs,omitempty"` // means over repeats, where a design has any
	Contests []Pair          `json:"design_pairs,omitempty"`
	Draws    int             `json:"draws"`
	Seed     uint64          `json:"seed"`
	Cautions []string        `json:"cautions,omitempty"`
}

// Corrected is the run time of a trial as it would have been under the common
// conditions.
type Corrected struct {
	Name      string   `json:"name"`
	Design    string   `json:"design"`
	Revision  string   `json:"revision"`
	Repeats   int      `json:"repeats"`
	Observed  float64  `json:"run_time_s"`
	Factor    Interval `json:"correction"`           // corrected over observed, by the model alone
	Corrected Interval `json:"corrected_run_time_s"` // as observed, errors of correction and stopwatch in it
	Expected  Interval `json:"expected_run_time_s"`  // of the mean of many such trials: repeat scatter in it too
	draws     []float64
	stopwatch float64
}

// Repeat is by how much trials of one and the same design differ, as a relative
// standard deviation.
type Repeat struct {
	Value     Interval `json:"value"`
	Estimated bool     `json:"estimated"` // false: assumed, for want of repeats
	Repeats   int      `json:"trials_that_repeat"`
	Freedom   float64  `json:"degrees_of_freedom"`
	Assumed   float64  `json:"assumed"`
}

// Pair is one contest.
type Pair struct {
	A          string   `json:"a"`
	B          string   `json:"b"`
	Difference Interval `json:"difference_s"` // B less A
	Ratio      Interval `json:"ratio"`
	Longer     float64  `json:"probability_b_longer"`
}

// CompareOptions of a comparison.
type CompareOptions struct {
	Common      []trial.Setting // in the design's notation; none: mean room temperature and humidity of the trials
	Draws       int             // how often each trial is run under its own and under the common conditions; 0: 200
	Seed        uint64          // 0: 1
	Discrepancy *Discrepancy    // nil: that of the posterior
	Progress    func(done, of int)
}

// manyDraws is how many draws of the scatter a comparison takes.
const manyDraws = 4000

// Compare corrects trials to common conditions: each draw of the posterior runs
// each trial once as it was and once under the common conditions, and the ratio
// of the two corrects the time that was seen. What the model gets wrong of a
// trial as a whole cancels; what it gets wrong of the conditions is in the
// band.
func (p *Posterior) Compare(ctx context.Context, cases []Case, o CompareOptions) (*Comparison, error) {
	if len(cases) < 2 {
		return nil, fmt.Errorf("calibrate: a comparison takes two trials or more")
	}
	if o.Seed == 0 {
		o.Seed = 1
	}
	if o.Draws <= 0 {
		o.Draws = 200
	}
	a := p.Discrepancy
	if o.Discrepancy != nil {
		a = *o.Discrepancy
	}
	subjects, err := timed(cases, a)
	if err != nil {
		return nil, err
	}
	c := &Comparison{Common: o.Common, Seed: o.Seed}
	if len(c.Common) == 0 {
		c.Common = meanRoom(subjects)
	}
	commons, err := underCommon(cases, subjects, c.Common)
	if err != nil {
		return nil, err
	}
	columns, err := assign(p.Columns, slices.Concat(subjects, commons), a)
	if err != nil {
		return nil, err
	}
	source := rand.New(rand.NewPCG(o.Seed, 0x636d7072))
	factors, err := corrections(ctx, p, subjects, commons, columns, source, o)
	if err != nil {
		return nil, err
	}
	c.Draws = len(factors[0])
	c.correct(cases, subjects, factors, a, source)
	return c, nil
}

// timed prepares cases whose stall was seen.
func timed(cases []Case, a Discrepancy) ([]*subject, error) {
	var out []*subject
	for _, x := range cases {
		d, err := prepared(x, a)
		if err != nil {
			return nil, err
		}
		if e := x.Trial.Event(trial.Stalled); e == nil || !(e.Time > 0) {
			return nil, fmt.Errorf("trial %q has no time of the stall: there is nothing to compare", x.Trial.Name)
		}
		out = append(out, &subject{trial: x.Trial, design: d, revision: x.Design.Revision(), cold: d.ColdStore()})
	}
	return out, nil
}

func meanRoom(subjects []*subject) []trial.Setting {
	temperature, humidity := 0.0, 0.0
	for _, s := range subjects {
		temperature += s.design.Room.Temperature.SI / float64(len(subjects))
		humidity += s.design.Room.Humidity.SI / float64(len(subjects))
	}
	return []trial.Setting{
		{Path: "room.temperature", Value: fmt.Sprintf("%.2f degC", temperature-273.15)},
		{Path: "room.humidity", Value: fmt.Sprintf("%.1f %%", 100*humidity)},
	}
}

// underCommon makes each subject's double under the common conditions, which
// are exact.
func underCommon(cases []Case, subjects []*subject, common []trial.Setting) ([]*subject, error) {
	var out []*subject
	for i, s := range subjects {
		d := s.design.Clone()
		d.Room.Series, d.Room.Daily = nil, nil
		radiant := d.Room.Radiant.SI - d.Room.Temperature.SI
		for _, setting := range common {
			if err := apply(d, setting); err != nil {
				return nil, fmt.Errorf("common conditions: %w", err)
			}
			get, err := design.Accessor(setting.Path)
			if err != nil {
				return nil, err
			}
			get(d).Spread = 0
		}
		if d.Room.Radiant.Origin != quantity.Derived {
			d.Room.Radiant.SI = d.Room.Temperature.SI + radiant // keeps its distance from the air
		}
		d.Rederive()
		out = append(out, &subject{trial: cases[i].Trial, design: d, revision: s.revision, cold: s.cold})
	}
	return out, nil
}

// corrections runs both and gives the ratio of the run times, by subject and
// draw. Draws in which either does not run say nothing and are left out for
// all.
func corrections(ctx context.Context, p *Posterior, own, common []*subject, columns []Column, source *rand.Rand, o CompareOptions) ([][]float64, error) {
	out := make([][]float64, len(own))
	for done := 0; done < o.Draws; {
		batch := min(20, o.Draws-done)
		if o.Progress != nil {
			o.Progress(done, o.Draws)
		}
		got := make([]drawn, 2*len(own)*batch)
		var tasks []task
		for i := range batch {
			row := make([]float64, len(columns))
			for k := range row {
				row[k] = source.NormFloat64()
			}
			if len(p.Draws) > 0 {
				copy(row, p.Draws[(done+i)*len(p.Draws)/o.Draws])
			}
			for k := range own {
				// Of a trial that the posterior does not know, a stall difference of its
				// own would be drawn without regard to the time that was seen.
				if c := own[k].shift; c >= len(p.Columns) {
					row[c] = 0
				}
				at := 2 * (i*len(own) + k)
				tasks = append(tasks, task{own[k], row, &got[at]}, task{common[k], row, &got[at+1]})
			}
		}
		if err := runAll(ctx, tasks); err != nil {
			return nil, err
		}
		for i := range batch {
			whole := true
			for k := range own {
				at := 2 * (i*len(own) + k)
				whole = whole && got[at].runTime > shortest && got[at+1].runTime > shortest
			}
			for k := range own {
				at := 2 * (i*len(own) + k)
				if whole {
					out[k] = append(out[k], got[at+1].runTime/got[at].runTime)
				}
			}
		}
		done += batch
	}
	if len(out[0]) < o.Draws/4 {
		return nil, fmt.Errorf("calibrate: under the common conditions the model runs in only %d of %d draws: there is no correction to trust; choose conditions nearer to those of the trials", len(out[0]), o.Draws)
	}
	return out, nil
}

// correct makes bands and contests of the ratios.
func (c *Comparison) correct(cases []Case, subjects []*subject, factors [][]float64, a Discrepancy, source *rand.Rand) {
	n := len(cases)
	logs := make([]float64, n) // of the corrected times, by the median correction
	for i := range cases {
		e := cases[i].Trial.Event(trial.Stalled)
		f := intervalOf(factors[i])
		logs[i] = math.Log(e.Time * f.Median)
		c.Trials = append(c.Trials, Corrected{
			Name: cases[i].Trial.Name, Design: cases[i].Design.Name, Revision: subjects[i].revision, Repeats: 1,
			Observed: e.Time, Factor: f, stopwatch: stated(e.Uncertainty, a.Stopwatch),
		})
	}
	scatter := c.repeats(logs, a.Repeat, source)
	for i := range c.Trials {
		t := &c.Trials[i]
		seen := make([]float64, manyDraws)
		t.draws = make([]float64, manyDraws)
		for k := range manyDraws {
			// The same draw of the posterior for all trials, so that what they
			// share cancels in a contest.
			factor := factors[i][k%len(factors[i])]
			seen[k] = (t.Observed + t.stopwatch*source.NormFloat64()) * factor
			t.draws[k] = seen[k] * math.Exp(scatter[k]*source.NormFloat64())
		}
		t.Corrected, t.Expected = intervalOf(seen), intervalOf(t.draws)
	}
	c.Pairs = contests(c.Trials)
	if c.Repeat.Repeats > 0 {
		c.Designs = c.byDesign()
		c.Contests = contests(c.Designs)
	}
	if !c.Repeat.Estimated {
		c.Cautions = append(c.Cautions, fmt.Sprintf("No design was tried twice: by how much repeats differ is assumed, %.1f %%, not measured.", 100*a.Repeat))
	}
}

// Weight of the assumed repeat scatter, as that many degrees of freedom: one
// pair of repeats moves it a little, ten decide.
const assumedFreedom = 4

// repeats estimates the scatter between trials of one design from their
// corrected times, together with what is assumed of it: the scaled inverse
// chi-squared distribution, which is conjugate to the normal (Gelman et al.,
// Bayesian Data Analysis, 3rd ed., 2.6 and 3.2, from memory). It returns draws.
func (c *Comparison) repeats(logs []float64, assumed float64, source *rand.Rand) []float64 {
	groups := map[string][]float64{}
	for i := range c.Trials {
		groups[c.Trials[i].Revision] = append(groups[c.Trials[i].Revision], logs[i])
	}
	freedom, sum := float64(assumedFreedom), assumedFreedom*assumed*assumed
	for _, g := range groups {
		if len(g) < 2 {
			continue
		}
		c.Repeat.Repeats += len(g)
		mean := average(g)
		for _, l := range g {
			sum += (l - mean) * (l - mean)
		}
		freedom += float64(len(g) - 1)
	}
	c.Repeat.Estimated, c.Repeat.Freedom, c.Repeat.Assumed = c.Repeat.Repeats > 0, freedom-assumedFreedom, assumed
	out := make([]float64, manyDraws)
	for k := range out {
		chi := 0.0
		for range int(freedom) {
			z := source.NormFloat64()
			chi += z * z
		}
		out[k] = math.Sqrt(sum / chi)
	}
	c.Repeat.Value = intervalOf(out)
	return out
}

// byDesign averages the repeats of each design, draw by draw in the logarithm.
func (c *Comparison) byDesign() []Corrected {
	var out []Corrected
	at := map[string]int{}
	for _, t := range c.Trials {
		i, known := at[t.Revision]
		if !known {
			i = len(out)
			at[t.Revision] = i
			out = append(out, Corrected{Name: t.Design, Design: t.Design, Revision: t.Revision, draws: make([]float64, manyDraws)})
		}
		out[i].Repeats++
		out[i].Observed += t.Observed
		for k, v := range t.draws {
			out[i].draws[k] += math.Log(v)
		}
	}
	for i := range out {
		n := float64(out[i].Repeats)
		out[i].Observed /= n
		for k := range out[i].draws {
			out[i].draws[k] = math.Exp(out[i].draws[k] / n)
		}
		out[i].Expected = intervalOf(out[i].draws)
		out[i].Corrected = out[i].Expected
		out[i].Factor = Interval{math.NaN(), math.NaN(), math.NaN()}
	}
	return out
}

func contests(list []Corrected) []Pair {
	var out []Pair
	for i := range list {
		for j := range i {
			a, b := list[j], list[i]
			differences, ratios := make([]float64, manyDraws), make([]float64, manyDraws)
			longer := 0.0
			for k := range manyDraws {
				differences[k], ratios[k] = b.draws[k]-a.draws[k], b.draws[k]/a.draws[k]
				if differences[k] > 0 {
					longer += 1.0 / manyDraws
				}
			}
			out = append(out, Pair{A: a.Name, B: b.Name, Difference: intervalOf(differences), Ratio: intervalOf(ratios), Longer: longer})
		}
	}
	return out
}
