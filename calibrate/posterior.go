package calibrate

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"

	"meltspan/quantity"
)

// Options of a calibration. The zero value is right.
type Options struct {
	// Unknowns are paths to follow exactly, all others by straight lines: quick,
	// and the bands a little too narrow. None: those that move the data most are
	// followed by chains, and then all of them by runs of the network.
	Unknowns    []string
	Most        int          // of them when chosen by themselves; 0: 8
	Chains      int          // 0: 4
	Draws       int          // of each chain, kept; 0: 1500
	Population  int          // particles that are moved by runs of the network; 0: 240
	Seed        uint64       // 0: 1
	Discrepancy *Discrepancy // nil: DefaultDiscrepancy
	Progress    func(stage string, done, of int)
}

func (o *Options) complete() {
	set := func(v *int, otherwise int) {
		if *v <= 0 {
			*v = otherwise
		}
	}
	set(&o.Most, 8)
	set(&o.Chains, 4)
	set(&o.Draws, 1500)
	set(&o.Population, populationSize)
	if o.Seed == 0 {
		o.Seed = 1
	}
	if o.Discrepancy == nil {
		d := DefaultDiscrepancy()
		o.Discrepancy = &d
	}
	if o.Progress == nil {
		o.Progress = func(string, int, int) {}
	}
}

// Posterior is what is known of the unknowns after some trials.
type Posterior struct {
	Trials      []Fitted    `json:"trials"`
	Unknowns    []Learned   `json:"unknowns"` // followed exactly first, most changed first
	Ties        []Tie       `json:"ties"`
	Sampling    Sampling    `json:"sampling"`
	Discrepancy Discrepancy `json:"assumed_discrepancy"`
	Cautions    []string    `json:"cautions,omitempty"`

	// Columns and Draws are the joint posterior: each draw has a deviate for
	// each column. They serve predictions of any design.
	Columns []Column    `json:"columns"`
	Draws   [][]float64 `json:"draws"`
}

// Sampling says how the posterior was sampled and how far that is to be
// trusted.
type Sampling struct {
	Followed    int     `json:"followed"` // unknowns followed exactly
	Straight    int     `json:"straight"` // unknowns that count by straight lines; of a population, those that are integrated out
	Features    int     `json:"features"` // numbers that the trials were boiled down to
	Chains      int     `json:"chains"`
	Draws       int     `json:"draws"` // of all chains together
	Rhat        float64 `json:"r_hat"` // the largest over the unknowns followed
	Size        float64 `json:"effective_size"`
	Efficiency  float64 `json:"efficiency_by_true_runs"` // effective share of draws once weighed by runs of the network
	Checked     int     `json:"draws_checked"`
	Weighted    bool    `json:"weighted"`          // the chains' draws were drawn by true weights and moved by true runs
	Tempered    bool    `json:"tempered"`          // a population led from the prior by true runs in place of chains
	Forgotten   float64 `json:"population_forgot"` // how many times over its last moves made the population forget its past, wanted above 1; 0 for chains
	Runs        int     `json:"network_runs"`
	Seed        uint64  `json:"seed"`
	Interrupted bool    `json:"interrupted"`
}

// Learned is what trials did to one unknown.
type Learned struct {
	Column
	Prior     Interval `json:"prior"`
	Posterior Interval `json:"posterior"`
	Spread    float64  `json:"spread_kept"` // posterior over prior standard deviation of the deviate
	Shift     float64  `json:"shift"`       // of the mean, in prior standard deviations
	Followed  bool     `json:"followed"`
}

// Interval is the middle 90 % of a distribution, SI.
type Interval struct {
	Low    float64 `json:"low"`
	Median float64 `json:"median"`
	High   float64 `json:"high"`
}

// keptDraws is how many draws a posterior carries.
const keptDraws = 1000

// Calibrate infers the unknowns of designs from trials of them. When the context
// is cancelled it returns what it has, together with the context's error: the
// posterior, or a normal approximation of it, or nil when not even that is
// there.
func Calibrate(ctx context.Context, cases []Case, o Options) (*Posterior, error) {
	o.complete()
	in, err := prepare(cases, *o.Discrepancy)
	if err != nil {
		return nil, err
	}
	asked, err := in.asked(o.Unknowns)
	if err != nil {
		return nil, err
	}
	source := rand.New(rand.NewPCG(o.Seed, 0x63616c69))
	o.Progress("looking at every input", 0, 4)
	if err := in.begin(ctx, source); err != nil {
		return nil, err
	}
	_, in.jacobian, err = in.linearise(ctx, in.center, in.all())
	if err != nil {
		return nil, err
	}
	in.split(asked, o.Most)
	in.renew(nil)
	o.Progress("finding the most probable values", 1, 4)
	if err := in.settle(ctx, 8); err != nil {
		return nil, err
	}
	s := newSampler(in, o, source)
	failed := s.run(ctx)
	p := s.posterior()
	p.Trials = s.fitted()
	p.learn(in)
	p.tie()
	p.caution()
	if s.last == nil && len(asked) > 0 {
		p.Cautions = append(p.Cautions, "Only the unknowns that were named are followed exactly, all others by straight lines: bands may be a little too narrow. Name none to have all followed by runs of the network.")
	}
	return p, failed
}

// prepare makes an inference of cases.
func prepare(cases []Case, a Discrepancy) (*inference, error) {
	if len(cases) == 0 {
		return nil, fmt.Errorf("calibrate: no trial was given")
	}
	var subjects []*subject
	names := map[string]bool{}
	for _, c := range cases {
		d, err := prepared(c, a)
		if err != nil {
			return nil, err
		}
		if names[c.Trial.Name] {
			return nil, fmt.Errorf("calibrate: two trials are called %q; each needs a name of its own", c.Trial.Name)
		}
		names[c.Trial.Name] = true
		subjects = append(subjects, &subject{trial: c.Trial, design: d, revision: c.Design.Revision(), cold: d.ColdStore()})
	}
	columns, err := assign(nil, subjects, a)
	if err != nil {
		return nil, err
	}
	for _, s := range subjects {
		if err := s.observe(a, math.Inf(1)); err != nil {
			return nil, err
		}
	}
	return newInference(subjects, columns, nil), nil
}

// asked checks the paths that are to be followed.
func (in *inference) asked(paths []string) (map[string]bool, error) {
	if len(paths) == 0 {
		return nil, nil
	}
	out := map[string]bool{}
	for _, p := range paths {
		found := false
		for i := range in.columns {
			found = found || in.columns[i].Path == p && !Assumed(p)
		}
		if !found {
			return nil, fmt.Errorf("calibrate: %s is no uncertain input of these designs; give it a spread there, or choose another", p)
		}
		out[p] = true
	}
	return out, nil
}

// learn sums every column up.
func (p *Posterior) learn(in *inference) {
	followed := map[int]bool{}
	for _, c := range in.active {
		followed[c] = true
	}
	for c := range p.Columns {
		values := make([]float64, len(p.Draws))
		for i, d := range p.Draws {
			values[i] = d[c]
		}
		mean, deviation := moments(values)
		l := Learned{Column: p.Columns[c], Spread: deviation, Shift: mean, Followed: followed[c]}
		l.Prior = Interval{l.value(-tail), l.value(0), l.value(tail)}
		low, middle, high := quantiles(values)
		l.Posterior = Interval{l.value(low), l.value(middle), l.value(high)}
		p.Unknowns = append(p.Unknowns, l)
	}
	sortLearned(p.Unknowns)
}

// tail is the deviate beyond which 5 % lie.
const tail = 1.6448536269514722

// value of a column for a deviate, SI.
func (c *Column) value(deviate float64) float64 {
	if Assumed(c.Path) {
		return c.Value.Spread * deviate
	}
	return c.of.At(deviate)
}

// Settings are the values learnt, in the notation of a design file, for those
// shared unknowns that the trials narrowed. They leave out how the unknowns hang
// together; the posterior itself does not.
func (p *Posterior) Settings() []Setting {
	var out []Setting
	for _, u := range p.Unknowns {
		if Assumed(u.Path) || u.Own || u.Spread > narrowed && math.Abs(u.Shift) < 0.3 {
			continue
		}
		spread := (u.Posterior.High - u.Posterior.Low) / (2 * tail)
		out = append(out, newSetting(u.Path, u.Kind, u.Posterior.Median, spread, "calibrated"))
	}
	return out
}

// narrowed is the share of its prior spread that an unknown keeps at most when
// trials are said to have taught something of it.
const narrowed = 0.9

func moments(values []float64) (mean, deviation float64) {
	mean = average(values)
	for _, v := range values {
		deviation += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(deviation / math.Max(float64(len(values)-1), 1))
}

// conditional draws the minor coordinates given what the active ones leave
// unexplained: normal, by the straight lines.
type conditional struct {
	gain  *mat.Dense // from misfit to mean
	lower mat.TriDense
	n     int
}

func (in *inference) conditional() (*conditional, error) {
	c := &conditional{n: len(in.minor)}
	if c.n == 0 {
		return c, nil
	}
	j := in.part(in.minor)
	var solved mat.Dense
	if err := in.total.SolveTo(&solved, j); err != nil {
		return nil, fmt.Errorf("calibrate: the trials' covariance cannot be solved: %w", err)
	}
	c.gain = mat.DenseCopyOf(solved.T())
	var square mat.Dense
	square.Mul(j.T(), &solved)
	left := mat.NewSymDense(c.n, nil)
	for a := range c.n {
		for b := range a + 1 {
			v := -(square.At(a, b) + square.At(b, a)) / 2
			if a == b {
				v += 1 + 1e-9
			}
			left.SetSym(a, b, v)
		}
	}
	var chol mat.Cholesky
	in.factorize(&chol, left)
	chol.LTo(&c.lower)
	return c, nil
}

// draw gives the minor coordinates for one misfit.
func (c *conditional) draw(misfit []float64, source *rand.Rand) []float64 {
	out := make([]float64, c.n)
	if c.n == 0 {
		return out
	}
	normal := make([]float64, c.n)
	for i := range normal {
		normal[i] = source.NormFloat64()
	}
	v := mat.NewVecDense(c.n, out)
	if len(misfit) > 0 {
		v.MulVec(c.gain, mat.NewVecDense(len(misfit), misfit))
	}
	for i := range out {
		for k := range i + 1 {
			out[i] += c.lower.At(i, k) * normal[k]
		}
	}
	return out
}

// Setting is a value for a design, in its own notation.
type Setting struct {
	Path   string         `json:"path"`
	Value  string         `json:"value"` // such as "0.104 W/K +- 0.012 W/K"
	Exact  quantity.Value `json:"exact"` // the same, SI
	Reason string         `json:"reason"`
}

func newSetting(path string, kind quantity.Kind, si, spread float64, reason string) Setting {
	v := quantity.Value{SI: si, Spread: spread, Origin: quantity.Fitted, Source: reason}
	return Setting{path, quantity.FormatValue(v, kind), v, reason}
}
