package calibrate

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Tie is a pair of unknowns that trials fix together and not each.
type Tie struct {
	A           string  `json:"a"`
	B           string  `json:"b"`
	Correlation float64 `json:"correlation"`
	Words       string  `json:"words"`
}

// Pairs closer tied than this are told; both must have kept this much of their
// prior spread, and what the trials do fix of them less than that.
const (
	tied      = 0.5
	keptEach  = 0.6
	keptJoint = 0.75
)

// tie finds the pairs of followed unknowns that hang together.
func (p *Posterior) tie() {
	var at []int
	for i := range p.Unknowns {
		if p.Unknowns[i].Followed {
			at = append(at, i)
		}
	}
	deviates := func(i int) []float64 {
		u := &p.Unknowns[i]
		for c := range p.Columns {
			if p.Columns[c].Path == u.Path && p.Columns[c].Of == u.Of {
				out := make([]float64, len(p.Draws))
				for k, d := range p.Draws {
					out[k] = d[c]
				}
				return out
			}
		}
		return nil
	}
	for i := range at {
		for j := range i {
			a, b := deviates(at[j]), deviates(at[i])
			ma, sa := moments(a)
			mb, sb := moments(b)
			r := 0.0
			for k := range a {
				r += (a[k] - ma) * (b[k] - mb) / float64(len(a)-1)
			}
			r /= sa * sb
			sign := 1.0
			if r > 0 {
				sign = -1
			}
			joint := math.Sqrt((sa*sa + sb*sb + 2*sign*r*sa*sb) / 2)
			if math.Abs(r) < tied || math.Min(sa, sb) < keptEach*joint || joint > keptJoint*math.Min(sa, sb) {
				continue
			}
			t := Tie{A: p.Unknowns[at[j]].name(), B: p.Unknowns[at[i]].name(), Correlation: r}
			how := "together"
			if r > 0 {
				how = "against each other, as a ratio,"
			}
			t.Words = fmt.Sprintf("These trials fix %s and %s %s not each: together they are known to %.0f %% of their prior spread, each to %.0f %% and %.0f %%.",
				t.A, t.B, how, 100*joint, 100*sa, 100*sb)
			p.Ties = append(p.Ties, t)
		}
	}
	sort.SliceStable(p.Ties, func(i, j int) bool { return math.Abs(p.Ties[i].Correlation) > math.Abs(p.Ties[j].Correlation) })
}

// name is the path, with the trial or design that alone has the unknown.
func (c *Column) name() string {
	if c.Of == "" {
		return c.Path
	}
	return c.Path + " (" + c.Of + ")"
}

func sortLearned(list []Learned) {
	change := func(l *Learned) float64 { return math.Max(1-l.Spread, math.Abs(l.Shift)/2) }
	sort.SliceStable(list, func(i, j int) bool {
		if list[i].Followed != list[j].Followed {
			return list[i].Followed
		}
		return change(&list[i]) > change(&list[j])
	})
}

// Fitted is how one trial sits with the posterior.
type Fitted struct {
	Name     string   `json:"name"`
	Design   string   `json:"design"`
	Revision string   `json:"revision"`
	Features int      `json:"features"`
	Observed float64  `json:"run_time_s"`             // NaN when no stall was seen
	Model    Interval `json:"run_time_by_model_s"`    // by the posterior, pace included
	Chance   float64  `json:"posterior_predictive_p"` // that replicated data lie as far from the model as these do
	Worst    float64  `json:"largest_misfit"`         // of one feature, in standard deviations of all that is assumed
	WorstAt  string   `json:"largest_misfit_at"`      // which
	Stall    bool     `json:"stall_seen"`             //
	Floor    float64  `json:"still_running_s"`        // stopped while running; 0: not
	Duration float64  `json:"last_sample_or_event_s"` //
}

// fitted is the posterior predictive check: for the draws that were run, the
// chance that data made by the model lie as far from it as these (chi-squared
// of each trial under all that is assumed; Gelman et al., Bayesian Data
// Analysis, 3rd ed., 6.3).
func (s *sampler) fitted() []Fitted {
	var out []Fitted
	for k, subject := range s.in.subjects {
		n := len(subject.features)
		f := Fitted{Name: subject.trial.Name, Design: subject.design.Name, Revision: subject.revision, Features: n,
			Observed: math.NaN(), Chance: math.NaN(), Floor: subject.floor, Duration: subject.lastSample()}
		for i := range subject.features {
			if subject.features[i].kind == featureStall {
				f.Observed, f.Stall = math.Exp(subject.features[i].value), true
			}
		}
		var times []float64
		block, pace := s.block(k), subject.paceSpread()
		if s.whole != nil { // the design's pace is in the runs
			pace = subject.paceSize[1]
		}
		chance, runs := 0.0, 0
		mean := make([]float64, n)
		for _, e := range s.checked {
			if !e.row[k].done {
				continue
			}
			times = append(times, e.row[k].runTime*math.Exp(pace*s.source.NormFloat64()))
			misfit := subject.misfit(e.row[k].features)
			for i := range misfit {
				mean[i] += misfit[i]
			}
			runs++
			if n > 0 {
				var white mat.Dense
				solveLower(block, &white, mat.NewDense(n, 1, misfit))
				chance += distuv.ChiSquared{K: float64(n)}.Survival(squares(white.RawMatrix().Data))
			}
		}
		if runs > 0 && n > 0 {
			f.Chance = chance / float64(runs)
			f.Model.Low, f.Model.Median, f.Model.High = quantiles(times)
			var total mat.SymDense
			block.ToSym(&total)
			for i := range mean {
				if z := mean[i] / float64(runs) / math.Sqrt(total.At(i, i)); math.Abs(z) > math.Abs(f.Worst) {
					f.Worst, f.WorstAt = z, subject.features[i].name()
				}
			}
		}
		out = append(out, f)
	}
	return out
}

// block is the part of the total covariance that belongs to one subject.
func (s *sampler) block(k int) *mat.Cholesky {
	n, at := len(s.in.subjects[k].features), s.in.offset[k]
	if s.whole != nil {
		return &s.whole.parts[k].factor
	}
	var total mat.SymDense
	var out mat.Cholesky
	if n == 0 {
		return &out
	}
	s.in.total.ToSym(&total)
	part := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			part.SetSym(i, j, total.At(at+i, at+j))
		}
	}
	s.in.factorize(&out, part)
	return &out
}

// name says which number of a trial a feature is.
func (f *feature) name() string {
	switch f.kind {
	case featureStall:
		return "run time"
	case featureIce:
		return "last ice"
	case featureSpeed:
		return "speed"
	case featureMelt:
		return "melted mass"
	}
	if f.channel == "top_plate" {
		return "top plate"
	}
	return "bottom plate"
}

// unlikely is the chance below which a trial is said not to fit.
const unlikely = 0.01

// caution says where the posterior means less than it seems.
func (p *Posterior) caution() {
	say := func(format string, args ...any) { p.Cautions = append(p.Cautions, fmt.Sprintf(format, args...)) }
	for _, f := range p.Trials {
		if f.Chance < unlikely {
			say("%s does not fit the model: data made by it lie as far off in only %.1f %% of the cases (farthest off: %s, by %.1f standard deviations). Something happened that the design does not say, or the model gets it wrong; what this trial taught is not to be relied on.",
				f.Name, 100*f.Chance, f.WorstAt, f.Worst)
		}
	}
	s := &p.Sampling
	switch population := s.Weighted || s.Tempered; {
	case population && s.Rhat > 1.1:
		say("The two halves of the population do not agree (R-hat %.3f): the bands are rough.", s.Rhat)
	case population && !s.Interrupted && s.Forgotten < 1:
		say("The population could move only a little at the end (it forgot its past %.1f times over, wanted 1): the posterior is thin and bent, and its bands may be too narrow. A trial of another kind, such as a bench log of the load, would help more than another like these.", s.Forgotten)
	case !population && s.Rhat > 1.01:
		say("The chains do not agree yet (R-hat %.3f, wanted below 1.01): take more draws.", s.Rhat)
	}
	if s.Efficiency < 0.5 && !s.Weighted && !s.Tempered {
		say("Runs of the network give %.0f %% of the draws all the weight: the posterior is bent more than the sampler follows well. Its bands are rough.", 100*s.Efficiency)
	}
	if s.Interrupted {
		say("Interrupted: what is shown rests on what was done by then.")
	}
}
