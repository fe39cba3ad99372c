package calibrate

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"sort"

	"gonum.org/v1/gonum/mat"

	"meltspan/result"
	"meltspan/trial"
)

// Forecast is what a running trial says about its own end.
type Forecast struct {
	Trial      string      `json:"trial"`
	Now        float64     `json:"now_s"`
	Stall      Interval    `json:"stall_s"`
	LastIce    Interval    `json:"last_ice_s"`     // of the members in which it comes
	Stalled    bool        `json:"stalled"`        // already seen
	IceGone    bool        `json:"ice_gone"`       // already seen
	IceAfter   float64     `json:"share_ice_left"` // chance that ice is left when it stalls
	Question   *Question   `json:"question,omitempty"`
	Members    int         `json:"members"`
	Size       float64     `json:"effective_size"`
	Runs       int         `json:"network_runs"`
	Features   int         `json:"features"`
	Seed       uint64      `json:"seed"`
	Assumed    Discrepancy `json:"assumed_discrepancy"`
	Cautions   []string    `json:"cautions,omitempty"`
	StallTimes []float64   `json:"stall_times_s"` // the members, equally weighted
}

// Question is a contest with another trial.
type Question struct {
	Than        string  `json:"than"`
	Time        float64 `json:"time_s"`
	Uncertainty float64 `json:"uncertainty_s"`
	Confidence  float64 `json:"confidence"`
	Longer      float64 `json:"probability_longer"`
	Decided     bool    `json:"decided"`
	Verdict     string  `json:"verdict"` // longer, shorter, open
}

// Forecaster follows one running trial.
type Forecaster struct {
	design   Case
	known    *Posterior
	assumed  Discrepancy
	o        ForecastOptions
	source   *rand.Rand
	question *Question
	members  []member
	at       *inference // where the members were drawn
	air      float64    // K, of the room when they were
	runs     int
}

// ForecastOptions of a forecast. The zero value is right.
type ForecastOptions struct {
	Members     int // 0: 150
	Seed        uint64
	Discrepancy *Discrepancy // nil: that of the posterior, or the default
}

// NewForecaster starts to follow a trial of a design, from what earlier trials
// taught (nil: the design's own uncertainties).
func NewForecaster(c Case, known *Posterior, o ForecastOptions) (*Forecaster, error) {
	if o.Members <= 0 {
		o.Members = 150
	}
	if o.Seed == 0 {
		o.Seed = 1
	}
	f := &Forecaster{design: c, known: known, assumed: DefaultDiscrepancy(), o: o, source: rand.New(rand.NewPCG(o.Seed, 0x666f7265))}
	if known != nil {
		f.assumed = known.Discrepancy
	}
	if o.Discrepancy != nil {
		f.assumed = *o.Discrepancy
	}
	if _, err := prepared(c, f.assumed); err != nil {
		return nil, err
	}
	if c.Trial.Kind != trial.Run && c.Trial.Kind != "" {
		return nil, fmt.Errorf("trial %q is a %s: only a run has a stall to foretell", c.Trial.Name, c.Trial.Kind)
	}
	return f, nil
}

// Ask sets the question whether the trial will run longer than another did.
func (f *Forecaster) Ask(than string, time, uncertainty, confidence float64) error {
	if !(confidence > 0.5 && confidence < 1) {
		return fmt.Errorf("a confidence of %g decides nothing: it must lie between 0.5 and 1, such as 0.95", confidence)
	}
	if !(time > 0) {
		return fmt.Errorf("trial %q has no run time to compare with", than)
	}
	f.question = &Question{Than: than, Time: time, Uncertainty: uncertainty, Confidence: confidence}
	return nil
}

// member is one run that may turn out to be the trial's.
type member struct {
	row    []float64 // coordinates; only the followed ones differ from 0
	run    *result.Run
	offset float64 // logarithm of prior over the density that it was drawn from
}

const (
	mostBatches  = 2   // of members drawn for one update
	leastSize    = 60  // effective members that an update is content with
	roomDrift    = 0.2 // K of the room from which the members are run anew
	mostFollowed = 7   // coordinates followed exactly
)

// Update forecasts from the trial as it is known at a moment, s from its start.
// The members are weighed anew by how well their runs fit the log so far; once
// few of them carry all weight, or the room has changed, new ones are drawn near
// what is then most probable and run.
func (f *Forecaster) Update(ctx context.Context, t *trial.Trial, now float64) (*Forecast, error) {
	in, err := f.look(t, now)
	if err != nil {
		return nil, err
	}
	s := in.subjects[0]
	s.keep = true
	if f.at != nil && len(f.at.columns) == len(in.columns) && math.Abs(s.air()-f.air) < roomDrift {
		in.center, in.active, in.minor = f.at.center, f.at.active, f.at.minor
		in.base, in.moved = f.at.base, f.at.moved
		in.reread()
		in.renew(nil)
		if weights := f.weigh(in); effectiveShare(weights)*float64(len(weights)) >= leastSize {
			return f.sum(ctx, in, now, weights)
		}
	}
	if err := f.redraw(ctx, in); err != nil {
		return nil, err
	}
	return f.sum(ctx, in, now, f.weigh(in))
}

// look prepares what is known at a moment.
func (f *Forecaster) look(t *trial.Trial, now float64) (*inference, error) {
	d, err := prepared(Case{f.design.Design, until(t, now)}, f.assumed)
	if err != nil {
		return nil, err
	}
	s := &subject{trial: t, design: d, revision: f.design.Design.Revision(), cold: d.ColdStore()}
	var from []Column
	if f.known != nil {
		from = f.known.Columns
	}
	columns, err := assign(from, []*subject{s}, f.assumed)
	if err != nil {
		return nil, err
	}
	if err := s.observe(f.assumed, now); err != nil {
		return nil, err
	}
	var b *belief
	if f.known != nil && len(f.known.Draws) > 1 {
		at := make([]int, len(columns))
		for i := range at {
			at[i] = -1
			if i < len(from) {
				at[i] = i
			}
		}
		columns, b = relevant(s, columns, f.known.Draws, at)
	}
	return newInference([]*subject{s}, columns, b), nil
}

// until is the trial as it was known at a moment.
func until(t *trial.Trial, now float64) *trial.Trial {
	out := *t
	out.Series = append([]trial.Series(nil), t.Series...)
	for i := range out.Series {
		samples := out.Series[i].Samples
		n := sort.Search(len(samples), func(k int) bool { return samples[k].Time > now })
		out.Series[i].Samples = samples[:n]
	}
	return &out
}

// air is the room's temperature as it is taken to go on, K.
func (s *subject) air() float64 {
	if n := len(s.design.Room.Series); n > 0 {
		return s.design.Room.Series[n-1].Temperature
	}
	return s.design.Room.Temperature.SI
}

// relevant leaves out the columns that the trial at hand has not, so that the
// belief is no larger than it must be.
func relevant(s *subject, columns []Column, draws [][]float64, from []int) ([]Column, *belief) {
	place := make([]int, len(columns))
	for i := range place {
		place[i] = -1
	}
	var kept []Column
	var source []int
	keep := func(c int) int {
		if place[c] < 0 {
			place[c] = len(kept)
			kept, source = append(kept, columns[c]), append(source, from[c])
		}
		return place[c]
	}
	for i, c := range s.columns {
		s.columns[i] = keep(c)
	}
	for i, c := range s.pace {
		s.pace[i] = keep(c)
	}
	return kept, newBelief(draws, source)
}

// redraw finds what is most probable now and draws members about it: the
// coordinates that matter most from the normal approximation of their posterior,
// all others at their means, to be added by straight lines.
func (f *Forecaster) redraw(ctx context.Context, in *inference) error {
	s := in.subjects[0]
	if err := in.begin(ctx, f.source); err != nil {
		return err
	}
	var err error
	if in.at, in.jacobian, err = in.linearise(ctx, in.center, in.all()); err != nil {
		return err
	}
	in.split(nil, mostFollowed, s.paceSpread())
	in.renew(nil)
	if in.count > 0 && len(in.active) > 0 {
		if err := in.climb(ctx, 4); err != nil {
			return err
		}
		if in.at, in.jacobian, err = in.linearise(ctx, in.center, in.all()); err != nil {
			return err
		}
		in.renew(nil)
	}
	f.members, f.at, f.air = nil, in, s.air()
	n := len(in.active)
	lower := mat.NewTriDense(max(n, 1), mat.Lower, nil)
	if n > 0 {
		var chol mat.Cholesky
		in.factorize(&chol, in.laplace(in.active, &in.total))
		chol.LTo(lower)
	}
	for range mostBatches {
		rows, offsets := f.propose(in, lower)
		out, err := in.evaluate(ctx, rows)
		if err != nil {
			return err
		}
		for i := range out {
			f.members = append(f.members, member{rows[i], out[i][0].run, offsets[i]})
		}
		if weights := f.weigh(in); effectiveShare(weights)*float64(len(weights)) >= leastSize {
			break
		}
	}
	if weights := f.weigh(in); effectiveShare(weights)*float64(len(weights)) < hopelessSize {
		if err := f.temper(ctx, in); err != nil {
			return err
		}
	}
	f.runs += in.runs
	return nil
}

// hopelessSize is the effective number of members below which a tempered
// population takes their place.
const hopelessSize = 25

// temper replaces the members by a tempered population, each as likely as the
// next.
func (f *Forecaster) temper(ctx context.Context, in *inference) error {
	all, err := in.temper(ctx, f.source)
	if err != nil {
		return err
	}
	in.center = append([]float64(nil), best(all).row...)
	if in.at, in.jacobian, err = in.linearise(ctx, in.center, in.all()); err != nil {
		return err
	}
	in.renew(nil)
	f.members = nil
	for _, p := range all {
		// Drawn in proportion to the posterior, so weighing by the likelihood
		// must divide by it.
		f.members = append(f.members, member{p.row, p.runs[0].run, squares(in.whiten(in.misfit(in.gather(p.runs)))) / 2})
	}
	return nil
}

// heavier is how much wider than the normal approximation members are drawn.
const heavier = 1.15

// propose draws a batch.
func (f *Forecaster) propose(in *inference, lower *mat.TriDense) (rows [][]float64, offsets []float64) {
	for range f.o.Members {
		row, normal := make([]float64, len(in.columns)), make([]float64, len(in.active))
		prior := 0.0
		for j := range normal {
			normal[j] = f.source.NormFloat64()
		}
		for j, c := range in.active {
			row[c] = in.center[c]
			for k := range j + 1 {
				row[c] += heavier * lower.At(j, k) * normal[k]
			}
			prior += row[c] * row[c]
		}
		rows, offsets = append(rows, row), append(offsets, (squares(normal)-prior)/2)
	}
	return rows, offsets
}

// weigh gives the members' weights by the log as it is known to in. Their runs
// are read again, not run again.
func (f *Forecaster) weigh(in *inference) []float64 {
	s := in.subjects[0]
	logs := make([]float64, len(f.members))
	for i, m := range f.members {
		read := s.read(m.run, in.deviates(m.row))
		logs[i] = m.offset - squares(in.whiten(in.misfit(read.features)))/2
	}
	return weighed(logs)
}

func weighed(logs []float64) []float64 {
	most := math.Inf(-1)
	for _, l := range logs {
		most = math.Max(most, l)
	}
	if math.IsInf(most, -1) {
		return make([]float64, len(logs))
	}
	return truncated(logs, most)
}

// ending is one way the trial may end.
type ending struct{ stall, ice float64 }

// finals is how many of the members are run to their ends with all unknowns.
const finals = 120

// endings draws members by weight, adds to each what its straight lines hold (all
// unknowns that are not followed, and the pace, given what its run leaves
// unexplained), and runs it once more with all of them: the run time bends where
// the log so far does not. Those that would have stalled by now fall away.
func (f *Forecaster) endings(ctx context.Context, in *inference, weights []float64) ([]ending, error) {
	s := in.subjects[0]
	rest, err := in.conditional()
	if err != nil {
		return nil, err
	}
	total := 0.0
	for _, w := range weights {
		total += w
	}
	if total == 0 {
		return nil, nil
	}
	var rows [][]float64
	for _, m := range resample(f.members, weights, finals, f.source) {
		read := s.read(m.run, in.deviates(m.row))
		row := append([]float64(nil), m.row...)
		for k, v := range rest.draw(in.misfit(read.features), f.source) {
			row[in.minor[k]] = v
		}
		rows = append(rows, row)
	}
	runs, err := in.evaluate(ctx, rows)
	if err != nil {
		return nil, err
	}
	var out []ending
	for i := range runs {
		if r := &runs[i][0]; !(s.floor > 0 && r.runTime < s.floor) {
			out = append(out, ending{r.runTime, r.last})
		}
	}
	return out, nil
}

// sum puts the forecast together.
func (f *Forecaster) sum(ctx context.Context, in *inference, now float64, weights []float64) (*Forecast, error) {
	before := in.runs
	endings, err := f.endings(ctx, in, weights)
	if err != nil {
		return nil, err
	}
	f.runs += in.runs - before
	s := in.subjects[0]
	out := &Forecast{Trial: s.trial.Name, Now: now, Members: len(f.members), Runs: f.runs, Features: len(s.features), Seed: f.o.Seed, Assumed: f.assumed}
	out.Size = effectiveShare(weights) * float64(len(weights))
	if len(endings) == 0 {
		out.Size = 0
		out.Cautions = append(out.Cautions, "No run of the model goes on as long as this trial has: it lies outside what design and discrepancy allow. Nothing can be foretold.")
		none := Interval{math.NaN(), math.NaN(), math.NaN()}
		out.Stall, out.LastIce = none, none
		return out, nil
	}
	if out.Size < leastSize {
		out.Cautions = append(out.Cautions, fmt.Sprintf("Few of the members fit the log (%.0f effective): the band is rough.", out.Size))
	}
	kept := float64(len(endings))
	var ice []float64
	for _, e := range endings {
		out.StallTimes = append(out.StallTimes, e.stall)
		if math.IsNaN(e.ice) || e.ice > e.stall {
			out.IceAfter += 1 / kept
		}
		if !math.IsNaN(e.ice) {
			ice = append(ice, e.ice*math.Exp(f.assumed.LastIce*f.source.NormFloat64()))
		}
	}
	out.Stall, out.LastIce = intervalOf(out.StallTimes), intervalOf(ice)
	if e := s.trial.Event(trial.Stalled); e != nil && e.Time <= now {
		out.Stalled = true
		half := tail * stated(e.Uncertainty, f.assumed.Stopwatch)
		out.Stall = Interval{e.Time - half, e.Time, e.Time + half}
		for i := range out.StallTimes {
			out.StallTimes[i] = e.Time + stated(e.Uncertainty, f.assumed.Stopwatch)*f.source.NormFloat64()
		}
	}
	if e := s.trial.Event(trial.IceGone); e != nil && e.Time <= now {
		out.IceGone = true
		half := tail * stated(e.Uncertainty, f.assumed.Stopwatch)
		out.LastIce = Interval{e.Time - half, e.Time, e.Time + half}
	}
	out.Question = f.answer(out.StallTimes)
	return out, nil
}

// answer weighs the question by the members.
func (f *Forecaster) answer(times []float64) *Question {
	if f.question == nil {
		return nil
	}
	q := *f.question
	for _, t := range times {
		if t > q.Time+q.Uncertainty*f.source.NormFloat64() {
			q.Longer += 1 / float64(len(times))
		}
	}
	switch {
	case q.Longer >= q.Confidence:
		q.Decided, q.Verdict = true, "longer"
	case q.Longer <= 1-q.Confidence:
		q.Decided, q.Verdict = true, "shorter"
	default:
		q.Verdict = "open"
	}
	return &q
}
