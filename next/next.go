package next

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"meltspan/design"
	"meltspan/network"
	"meltspan/predict"
)

// Options of a ranking. The zero value is right, but for Printed.
type Options struct {
	Draws    int            // 0: DefaultDraws
	Seed     uint64         // 0: predict.DefaultSeed
	Horizon  float64        // s; 0: network.DefaultHorizon
	By       By             // ByInformation when empty
	Printed  bool           // the design's stand is there already
	Worth    float64        // s of run time below which a gain is not worth a day; 0: ten minutes
	Known    *predict.Draws // what trials have taught about the design; nil: only what it says itself
	Progress func(done, of int)
}

// By is what trials are ranked by, each per hour.
type By string

// The ways to rank.
const (
	ByInformation By = "information"
	ByRunTime     By = "run_time"
)

// Defaults of the options.
const (
	DefaultDraws = 400
	defaultWorth = 600.0
)

func (o *Options) complete() {
	if o.Draws <= 0 {
		o.Draws = DefaultDraws
	}
	if o.Seed == 0 {
		o.Seed = predict.DefaultSeed
	}
	if o.Horizon <= 0 {
		o.Horizon = network.DefaultHorizon
	}
	if o.By == "" {
		o.By = ByInformation
	}
	if o.Worth <= 0 {
		o.Worth = defaultWorth
	}
}

// Trial is a candidate trial with what it is expected to bring.
type Trial struct {
	ID       string `json:"id"`
	Name     string `json:"name"`
	Revision int    `json:"revision,omitempty"` // from 1; 0 for a trial of the design itself
	Cost     Cost   `json:"cost"`

	Bits        float64   `json:"information_bits"` // about the run time of the longest running of the designs
	Narrowed    float64   `json:"band_narrowed"`    // share by which the band of the run time is expected to shrink
	Gain        float64   `json:"gain_s"`           // of run time, by choosing among the designs after it
	BitsPerHour float64   `json:"bits_per_hour"`
	GainPerHour float64   `json:"gain_per_hour_s"`
	Settles     []Settled `json:"settles"` // unknowns that it narrows most
	Worth       bool      `json:"worth_a_day"`
}

// Settled is an unknown that a trial narrows.
type Settled struct {
	Path  string  `json:"path"`
	About string  `json:"about"`
	Share float64 `json:"variance_explained"`
}

// Ranking is the candidate trials, the most rewarding first.
type Ranking struct {
	Design    string         `json:"design"`
	Revision  string         `json:"revision"`
	Revisions []string       `json:"revisions"`
	By        By             `json:"by"`
	RunTimes  []predict.Band `json:"run_times"`        // of the design and its revisions, on their stated day, before any trial
	Means     []float64      `json:"mean_run_times_s"` // of the design and its revisions
	Longest   int            `json:"longest"`          // of these; 0 is the design itself
	Trials    []Trial        `json:"trials"`
	Worth     float64        `json:"worth_s"`
	Draws     int            `json:"draws"`
	Seed      uint64         `json:"seed"`
	Known     bool           `json:"from_trials"` // the draws hold what trials have taught
	Perfect   float64        `json:"gain_of_knowing_all_s"`
}

// A trial is worth a day when it narrows the band by a tenth at least, or gains
// more run time than the options ask for.
const leastNarrowed = 0.1

// Rank works out which trial comes next. revisions are designs that could be
// printed instead. All of it rests on the same draws of what is unknown: in each
// the designs run on the day they state, and every candidate trial is simulated
// on a day and a weighing of its own, with errors of reading added.
func Rank(ctx context.Context, d *design.Design, revisions []*design.Design, o Options) (*Ranking, error) {
	o.complete()
	m, err := network.Build(d)
	if err != nil {
		return nil, err
	}
	run, err := m.Run(ctx, network.Options{Horizon: o.Horizon, Course: true})
	if err != nil {
		return nil, err
	}
	if !(run.RunTime > 0) {
		return nil, fmt.Errorf("next: %s never starts as designed: search for one that does first", d.Name)
	}
	designs := append([]*design.Design{d}, revisions...)
	var members []predict.Member
	for _, own := range designs {
		members = append(members, predict.Member{Design: own})
	}
	list := plans(d, revisions, run, &o)
	for _, p := range list {
		// All candidates on the same day and weighing: only one of them comes to
		// pass, and what differs between them is then no chance of the draws.
		members = append(members, predict.Member{Design: p.design, Trial: "next"})
	}
	e, err := predict.NewEnsemble(members, o.Draws, o.Seed)
	if err != nil {
		return nil, err
	}
	if o.Known != nil {
		if err := e.Condition(d, *o.Known); err != nil {
			return nil, fmt.Errorf("next: %w", err)
		}
	}
	s, err := simulateAll(ctx, e, designs, list, &o)
	if err != nil {
		return nil, err
	}
	return s.ranking(d, revisions, list, e, &o), nil
}

// simulated is the outcome of all draws.
type simulated struct {
	times [][]float64   // by design and draw
	seen  [][][]float64 // by plan, reading and draw, with errors
}

func simulateAll(ctx context.Context, e *predict.Ensemble, designs []*design.Design, list []plan, o *Options) (*simulated, error) {
	s := &simulated{times: make([][]float64, len(designs)), seen: make([][][]float64, len(list))}
	misfits, err := designMisfits(len(designs), o)
	if err != nil {
		return nil, err
	}
	for i := range s.times {
		s.times[i] = make([]float64, o.Draws)
	}
	for i := range list {
		s.seen[i] = make([][]float64, len(list[i].errors))
		for j := range s.seen[i] {
			s.seen[i][j] = make([]float64, o.Draws)
		}
	}
	cold := designs[0].ColdStore()
	err = e.Each(ctx, o.Progress, func(row int, drawn []*design.Design) error {
		for i := range designs {
			m, err := network.BuildDraw(drawn[i], cold)
			if err != nil { // no room for its drawn sizes: it never starts
				continue
			}
			s.times[i][row] = m.Time(network.Options{Horizon: o.Horizon}).RunTime * misfits[i][row]
		}
		for i := range list {
			// Errors of reading are drawn for each row by itself, so that the answer
			// does not depend on which core came first, and alike for all trials.
			random := rand.New(rand.NewPCG(o.Seed, uint64(row)+0x6e657874))
			readings, err := list[i].simulate(ctx, drawn[len(designs)+i], cold, o.Horizon)
			if err != nil {
				return err
			}
			pace := misfits[list[i].Revision][row] * math.Exp(repeatMisfit*random.NormFloat64())
			for j, v := range readings {
				size := list[i].errors[j]
				if list[i].paced(j) {
					v *= pace
				}
				if size < 0 {
					size *= -v
				}
				s.seen[i][j][row] = v + size*random.NormFloat64()
			}
		}
		return nil
	})
	return s, err
}

// What the model gets wrong about all times, as one standard uncertainty of a
// factor: for each design its own, and for each trial of it another; judgement.
const (
	designMisfit = 0.04 // what network and section differ by (docs/section-agreement.md), with as much again for what both leave out
	repeatMisfit = 0.03
)

// designMisfits draws the factor of each design in each draw; for the first it is
// what trials of it have taught, where they have.
func designMisfits(designs int, o *Options) ([][]float64, error) {
	out := make([][]float64, designs)
	for i := range out {
		random := rand.New(rand.NewPCG(o.Seed, uint64(i)+0x6d697366))
		out[i] = make([]float64, o.Draws)
		for row := range out[i] {
			out[i][row] = math.Exp(designMisfit * random.NormFloat64())
		}
	}
	if o.Known == nil || o.Known.Pace == nil {
		return out, nil
	}
	rows, err := o.Known.Resampled(o.Draws)
	if err != nil {
		return nil, fmt.Errorf("next: %w", err)
	}
	for row, from := range rows {
		out[0][row] = o.Known.Pace[from]
	}
	return out, nil
}

func (s *simulated) ranking(d *design.Design, revisions []*design.Design, list []plan, e *predict.Ensemble, o *Options) *Ranking {
	r := &Ranking{Design: d.Name, Revision: d.Revision(), By: o.By, Worth: o.Worth, Draws: o.Draws, Seed: o.Seed, Known: o.Known != nil}
	for _, t := range s.times {
		r.RunTimes = append(r.RunTimes, predict.BandOf(t, o.Seed))
	}
	for _, own := range revisions {
		r.Revisions = append(r.Revisions, own.Name)
	}
	for i, t := range s.times {
		r.Means = append(r.Means, meanOf(t))
		if r.Means[i] > r.Means[r.Longest] {
			r.Longest = i
		}
	}
	r.Perfect = perfect(s.times) - r.Means[r.Longest]
	for i := range list {
		t := list[i].Trial
		if t.Revision > 0 {
			t.Cost.Run = r.Means[t.Revision]
		}
		s.judge(&t, r.Longest, s.seen[i], e, o)
		r.Trials = append(r.Trials, t)
	}
	slices.SortStableFunc(r.Trials, func(a, b Trial) int {
		if o.By == ByRunTime {
			return cmp.Compare(b.GainPerHour, a.GainPerHour)
		}
		return cmp.Compare(b.BitsPerHour, a.BitsPerHour)
	})
	return r
}

// perfect is the mean of the best option in each draw: what one would have if
// all were known.
func perfect(times [][]float64) float64 {
	sum := 0.0
	for row := range times[0] {
		best := math.Inf(-1)
		for i := range times {
			best = math.Max(best, times[i][row])
		}
		sum += best
	}
	return sum / float64(len(times[0]))
}

// judge works out what one trial is expected to bring.
func (s *simulated) judge(t *Trial, about int, seen [][]float64, e *predict.Ensemble, o *Options) {
	var left float64
	t.Bits, left = Information(s.times[about], seen)
	t.Narrowed = 1 - left
	t.Gain = Choice(s.times, seen)
	if t.Revision > 0 {
		// The revision is there after its trial, and the better of it and the
		// design is kept: what counts is the gain over the design as it stands.
		t.Gain = Choice([][]float64{s.times[0], s.times[t.Revision]}, seen) + math.Max(meanOf(s.times[t.Revision])-meanOf(s.times[0]), 0)
	}
	hours := t.Cost.Total() / 3600
	t.BitsPerHour, t.GainPerHour = t.Bits/hours, t.Gain/hours
	t.Worth = t.Narrowed >= leastNarrowed || t.Gain >= o.Worth
	columns := make([][]float64, len(seen))
	for i := range seen {
		columns[i] = scores(seen[i])
	}
	for _, in := range e.Shared() {
		const least = 0.1 // of an unknown's variance: less is not settling it
		if share := regress(e.Deviates(in.Path), columns).explained; share >= least {
			t.Settles = append(t.Settles, Settled{in.Path, in.About, share})
		}
	}
	slices.SortStableFunc(t.Settles, func(a, b Settled) int { return cmp.Compare(b.Share, a.Share) })
	t.Settles = t.Settles[:min(len(t.Settles), 3)]
}
