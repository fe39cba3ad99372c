package calibrate

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"sort"

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
	members  []particle
	at       *wholeLikelihood // by which the members are equally likely; nil: the prior
	air      float64          // K, of the room that they were run in
	worth    float64          // of how many independent draws they are
	boldness float64          // of their moves
	runs     int
}

// ForecastOptions of a forecast. The zero value is right.
type ForecastOptions struct {
	Members     int // 0: DefaultMembers
	Seed        uint64
	Discrepancy *Discrepancy // nil: that of the posterior, or the default
}

// NewForecaster starts to follow a trial of a design, from what earlier trials
// taught (nil: the design's own uncertainties).
func NewForecaster(c Case, known *Posterior, o ForecastOptions) (*Forecaster, error) {
	if o.Members <= 0 {
		o.Members = DefaultMembers
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

// DefaultMembers is how many runs of the model a forecast keeps.
const DefaultMembers = 160

// Shares and sizes of a forecast.
const (
	leastEffective = 0.4  // share of the members from which they serve as they are
	roomDrift      = 0.25 // K of the room from which the members are run anew
	// What is forgotten after the last stage, and the sweeps for it (see bridge): a
	// forecast is to be there within a second, and the next stage comes soon.
	forgetForecast, sweepsForecast = 1.2, 10
)

// Update forecasts from the trial as it is known at a moment, s from its start.
// The members are weighed anew by how well their runs fit the log so far; once
// few of them carry all weight they are led to what is known now by moves in all
// coordinates (see bridge), which begin from the prior the first time. What is
// foretold are the ends of the members' own runs.
func (f *Forecaster) Update(ctx context.Context, t *trial.Trial, now float64) (*Forecast, error) {
	in, err := f.look(t, now)
	if err != nil {
		return nil, err
	}
	s := in.subjects[0]
	s.keep = true
	whole, near := s.horizon, s.horizon
	if !s.anchored { // what has not happened yet is run for those only that are left
		near = math.Min(whole, s.floor/slowest+settled)
	}
	w := in.whole()
	b := &bridge{in: in, whole: w, to: w.of, from: f.at.again, source: f.source, boldness: f.boldness, forget: forgetForecast, sweeps: sweepsForecast}
	defer func() { f.runs += in.runs }()
	first := f.members == nil || len(f.members[0].row) != len(in.columns)
	if first {
		s.horizon = near
	}
	all, err := f.ready(ctx, b, first)
	if err != nil {
		return nil, err
	}
	weights := b.weights(all)
	led := effectiveShare(weights) < leastEffective
	if led {
		s.horizon = near
		if all, err = b.lead(ctx, all); err != nil {
			return nil, err
		}
		for i := range weights {
			weights[i] = 1
		}
	}
	s.horizon = whole
	if (first || led) && near < whole {
		if all, err = b.populate(ctx, rowsOf(all)); err != nil {
			return nil, err
		}
	}
	if led {
		f.at, f.boldness, f.worth = w, b.boldness, b.independent
	}
	if first || led {
		f.members = all
	}
	return f.sum(ctx, in, now, all, weights)
}

// slowest is the pace that a trial has at least, as a factor on the model's times:
// far below what the discrepancy lets it be.
const slowest = 0.8

func rowsOf(all []particle) [][]float64 {
	rows := make([][]float64, len(all))
	for i := range all {
		rows[i] = append([]float64(nil), all[i].row...)
	}
	return rows
}

// ready gives the members with what their runs say of the log as it is known
// now. They are drawn where they are the first, and run anew when the room has changed;
// those whose runs change with it are then drawn by that.
func (f *Forecaster) ready(ctx context.Context, b *bridge, first bool) ([]particle, error) {
	s := b.in.subjects[0]
	if first {
		f.at, f.air, f.worth = nil, s.air(), float64(f.o.Members)
		b.from = f.at.again
		rows := make([][]float64, f.o.Members)
		for i := range rows {
			rows[i] = drawPrior(len(b.in.columns), f.source)
		}
		return b.populate(ctx, rows)
	}
	if math.Abs(s.air()-f.air) >= roomDrift {
		again, err := b.populate(ctx, rowsOf(f.members))
		if err != nil {
			return nil, err
		}
		logs := make([]float64, len(again))
		for i := range again {
			logs[i] = again[i].from - f.at.again(&f.members[i])
		}
		f.members, f.air = resample(again, weighed(logs), len(again), f.source), s.air()
	}
	return b.reread(f.members), nil
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
	if s.shift >= 0 {
		s.shift = keep(s.shift)
	}
	return kept, newBelief(draws, source)
}
