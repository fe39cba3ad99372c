package network

import (
	"context"
	"math"

	"meltspan/result"
)

// Options of a run. The zero value is right for a prediction.
type Options struct {
	Horizon   float64                 // s simulated at most; 0 is 48 h
	Tolerance float64                 // relative to the standard accuracy; 0 is 1, smaller is finer
	Course    bool                    // record temperatures over time, for charts
	Frames    int                     // moments of the section to keep; 0 keeps none
	Progress  func(simulated float64) // called now and then with the time reached, s

	// Beyond is how far below the difference that keeps it running the load goes
	// on, K: a load differs a little from trial to trial. Less than 0: it stops that
	// far above it, and is set going that far above as well.
	Beyond float64
}

// DefaultHorizon is how long a run is followed when nothing ends it, s.
const DefaultHorizon = 48 * 3600

const (
	standardTemperature = 0.4   // K, local error of a step
	roundTolerance      = 2     // times that in three dimensions: a fifth fewer steps, and 0.1 % of the run time
	standardMass        = 0.004 // of the charge
	firstStep           = 0.5   // s
	longestStep         = 2400  // s
	shortestStep        = 1e-6  // s
	lastShare           = 1e-3  // of the liquid around it: less solid than this counts as none
)

// Summary is what a run is about, without the course over time.
type Summary struct {
	End       string
	RunTime   float64 // s
	Start     float64 // s; NaN if it never started
	LastSolid float64 // s; NaN if not reached
	Simulated float64 // s
	SolidLeft float64 // share of the charge still solid at the end of the run time
	Steps     int
}

// runner is one run's progress.
type runner struct {
	m                 *Model
	options           Options
	summary           Summary
	time              float64
	events            []result.Event
	record            *course
	reel              *reel
	wetted            []float64 // by face: first sweat, NaN while dry
	coldest           []float64 // by face
	heldBefore        []float64 // by face: condensate at the end of the step before
	fillBefore        float64   // of the tray, m3
	lastStep          float64   // s
	spilled           bool
	touched           bool // plate and store have touched, or do
	lost              bool
	cut               bool // by mostSteps
	boiled            bool
	tooCold           bool
	stalls            int
	best              totals // integrals over running time
	stallSet          totals
	start             balance
	marked            bool
	largestGap        float64
	largestDifference float64 // K, whether it ran or not
}

// totals are integrals over the time in which the load ran.
type totals struct {
	time, intake, power, difference       float64
	peakIntake, peakPower, peakDifference float64
}

// Run integrates the model through a whole trial. Cancelling the context ends
// it early: what was computed is returned with the context's error.
func (m *Model) Run(ctx context.Context, options Options) (*result.Run, error) {
	r := m.begin(options)
	err := r.loop(ctx)
	return r.report(), err
}

// Time integrates the model and returns only the summary. It allocates
// nothing once the model has run before.
func (m *Model) Time(options Options) Summary {
	r := m.runner
	if r == nil {
		r = m.begin(options)
		m.runner = r
	} else {
		m.reset(r, options)
	}
	_ = r.loop(context.Background())
	return r.summary
}

func (m *Model) begin(options Options) *runner {
	r := &runner{m: m, wetted: make([]float64, m.faceCount), coldest: make([]float64, m.faceCount), heldBefore: make([]float64, m.faceCount),
		events: make([]result.Event, 0, 64)}
	m.reset(r, options)
	return r
}

func (m *Model) reset(r *runner, options Options) {
	if options.Horizon <= 0 {
		options.Horizon = DefaultHorizon
	}
	if options.Tolerance <= 0 {
		options.Tolerance = 1
	}
	wetted, coldest, held, events := r.wetted, r.coldest, r.heldBefore, r.events[:0]
	clear(held)
	for i := range wetted {
		wetted[i], coldest[i] = math.NaN(), math.Inf(1)
	}
	*r = runner{m: m, options: options, wetted: wetted, coldest: coldest, heldBefore: held, events: events}
	r.summary = Summary{End: result.EndNeverStarted, Start: math.NaN(), LastSolid: math.NaN()}
	if m.depth == DepthRound {
		options.Tolerance *= roundTolerance
	}
	m.toleranceTemperature = standardTemperature * options.Tolerance
	m.toleranceMass = standardMass * options.Tolerance
	m.running, m.store.cast = false, m.firstCast
	m.setPhase(m.firstPhase)
	m.start()
	if options.Course {
		r.record = newCourse(m)
	}
	if options.Frames > 0 {
		r.reel = &reel{}
	}
	m.prepare(0)
	r.touched = m.work.geometry.gapSolid < touching && m.work.geometry.areaSolid > 0
	r.start = r.balance()
	r.event(result.LoadSet, 0, "")
	if r.record != nil {
		r.record.sample(r, 0)
	}
	if r.reel != nil {
		r.reel.take(r)
	}
}

func (r *runner) event(kind result.EventKind, time float64, detail string) {
	r.events = append(r.events, result.Event{Kind: kind, Time: time, Detail: detail})
}

// loop advances by adaptive steps, each cut short at the first event in it.
func (r *runner) loop(ctx context.Context) error {
	m, w := r.m, r.m.work
	h := firstStep
	var failed error
	for done := r.finished(); r.time < r.options.Horizon && !done; {
		if r.summary.Steps >= mostSteps {
			r.cut = true
			break
		}
		if r.summary.Steps%8 == 7 || len(m.nodes) > longStep {
			if failed = ctx.Err(); failed != nil {
				break
			}
			if r.options.Progress != nil {
				r.options.Progress(r.time)
			}
		}
		h = min(min(h, r.longest()), r.options.Horizon-r.time)
		before := r.triggers(w.y)
		worst := m.advance(r.time, h)
		if !(worst <= 1) && h > shortestStep {
			if math.IsNaN(worst) {
				worst = 25
			}
			h = max(h*max(0.2, 0.85/math.Sqrt(worst)), shortestStep)
			continue
		}
		// Where the step crosses a trigger, repeat it so that it ends there;
		// another trigger may be crossed earlier still.
		taken := h
		for range triggerCount {
			which := r.crossed(before, r.triggers(w.trial))
			if which < 0 {
				break
			}
			at := r.locate(which, before[which], taken)
			if at >= taken*(1-1e-9) {
				break
			}
			taken = at
		}
		r.accept(taken)
		// Judged on what was accepted: after a step that is tried and rejected the
		// work space holds temperatures that never were.
		done = r.finished()
		h = taken * min(4, 0.85/math.Sqrt(max(worst, 1e-4)))
		h = max(h, shortestStep)
	}
	r.summary.Simulated = r.time
	if r.m.running {
		r.summary.End = result.EndHorizon
		r.summary.RunTime = r.time
		r.mark()
	}
	return failed
}

// longest step: a changing room is followed at a tenth of an hour.
func (r *runner) longest() float64 {
	if r.m.room.constant() {
		return longestStep
	}
	return 360
}

// accept makes the trial state the state, books heats and times, and carries
// out what the triggers ask for.
func (r *runner) accept(h float64) {
	m, w := r.m, r.m.work
	for i, heat := range w.stage2 {
		w.energy[i] += heat
	}
	if m.running {
		r.integrate(h)
	}
	copy(w.y, w.trial)
	r.time += h
	r.lastStep = h
	r.summary.Steps++
	m.prepare(r.time)
	if !m.load.upper.none() {
		r.largestDifference = max(r.largestDifference, m.load.difference(w.temperature))
	}
	if m.phase != phaseLiquid || m.firstPhase == phaseLiquid {
		r.largestGap = max(r.largestGap, w.geometry.plateGap())
	}
	r.watchFaces()
	if r.act() {
		m.prepare(r.time)
	}
	if r.record != nil {
		r.record.sample(r, r.time)
	}
	if r.reel != nil {
		r.reel.take(r)
	}
}

// integrate adds one step to the totals of the running time.
func (r *runner) integrate(h float64) {
	m, w, t := r.m, r.m.work, &r.best
	l := &m.load
	t.time += h
	if l.kind == loadLeak {
		return
	}
	intake := l.intake(w.stage2)
	t.intake += intake
	t.peakIntake = max(t.peakIntake, intake/h)
	if l.kind == loadEngine || l.kind == loadGenerator {
		power := 0.0
		for i := range l.between {
			power += w.stage2[l.between[i].work]
		}
		t.power += power
		t.peakPower = max(t.peakPower, power/h)
	}
	// The state before the step is still in w.y: the mean is by trapezoids.
	m.glance(w.y)
	before := l.difference(w.temperature)
	m.glance(w.trial)
	difference := l.difference(w.temperature)
	t.difference += (before + difference) / 2 * h
	t.peakDifference = max(t.peakDifference, difference)
}

// intake is the heat that enters the load at its warmer plate, by the flows of
// the links (W, or J of a step).
func (l *load) intake(flow []float64) float64 {
	sum := 0.0
	for i := range l.between {
		sum += flow[l.between[i].still]
		if l.kind != loadSample {
			sum += flow[l.between[i].cycle]
		}
	}
	for _, ring := range l.rings {
		sum += flow[ring]
	}
	return l.direction * sum
}

// emptied is the share of the charge below which a cup that drained counts as
// empty.
const emptied = 0.03

// mostSteps bounds the work of one run; an ordinary one takes some hundreds.
const mostSteps = 20000

// longStep is the number of nodes from which on a step takes long enough to look
// at the context before each.
const longStep = 2000

// mostStalls is how often a load is set going again before it is left alone.
const mostStalls = 12

// coldest is where the model ends on the cold side, K: -100 degC, below what a
// design may state and what the properties are meant for. Only a load that draws
// heat out without end gets there.
const coldest = 173

// boiling is where the model of a watery store ends, K.
const boiling = 372

// farBeyond is how far past its limit a sample or plate is given up, K.
const farBeyond = 20

// finished tells a run that nothing can bring to life again: stalled, no
// phase change left, and far below what would start it.
func (r *runner) finished() bool {
	m, w := r.m, r.m.work
	if m.store.evaporates && w.temperature[m.store.node] > boiling {
		r.boiled = true
		return true
	}
	if min(m.load.lower.temperature(w.temperature), w.temperature[m.store.node]) <= coldest {
		r.tooCold = true
		return true
	}
	if m.running || r.time < 600 {
		return false
	}
	if r.stalls > mostStalls {
		return true
	}
	masses := w.y[len(m.nodes):]
	if m.phase == phaseLiquid && masses[stateLiquid] < emptied*m.store.mass {
		return true
	}
	limited := m.load.kind == loadLeak || m.load.kind == loadSample
	if limited && m.load.margin(w.temperature) < -farBeyond {
		return true
	}
	near := math.Abs(w.temperature[m.store.node]-m.room.temperature) < 1
	if near && m.room.constant() && m.load.kind != loadLeak && m.room.sun == 0 && m.room.radiantOffset == 0 && m.phase != phaseMelting && m.phase != phaseFreezing {
		return true
	}
	spent := m.phase == phaseLiquid
	if m.load.direction < 0 {
		spent = m.phase == phaseSolid || m.phase == phaseLiquid && !m.store.changesPhase ||
			m.phase == phaseLiquid && m.room.temperature > m.store.melting
	}
	if !spent {
		return false
	}
	if limited {
		return near || m.load.margin(w.temperature) < -1
	}
	return near || m.load.margin(w.temperature) < -0.3*m.load.keep
}
