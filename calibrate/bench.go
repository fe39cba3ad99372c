package calibrate

import (
	"fmt"
	"math"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/transfer"
	"meltspan/trial"
)

// Load is what a bench log says about a load.
type Load struct {
	Trial    string        `json:"trial"`
	Stall    Estimate      `json:"stall_difference_K"`
	Still    Estimate      `json:"still_conductance_W_per_K"`
	Cycle    Estimate      `json:"intake_per_cycle_J_per_K"`
	Speed    Estimate      `json:"stall_speed_Hz"`
	Slope    Estimate      `json:"speed_per_kelvin_Hz"`
	Points   []IntakePoint `json:"intake,omitempty"` // means over stretches of the log
	Stalls   int           `json:"stalls"`           // seen in the log
	Constant float64       `json:"time_constant_s"`  // of the upper plate
	Duration float64       `json:"duration_s"`
	Steady   float64       `json:"share_steady"` // of the log: storing takes up less than a tenth of the heat
	Enough   bool          `json:"long_and_steady_enough"`
	Settings []Setting     `json:"settings"`
	Remarks  []string      `json:"remarks"`
	Film     Estimate      `json:"film_W_per_K"` // of the upper plate to the room: from the handbook, and the largest part of the uncertainty
	Absolute bool          `json:"absolute"`     // a heater's power was logged: watts do not rest on the film
}

// Estimate is a value with its standard uncertainty. A value that the log does
// not give is NaN.
type Estimate struct {
	Value       float64 `json:"value"`
	Uncertainty float64 `json:"uncertainty"`
}

// Interval is the middle 90 % of a normal distribution.
func (e Estimate) Interval() Interval {
	return Interval{e.Value - tail*e.Uncertainty, e.Value, e.Value + tail*e.Uncertainty}
}

var unknown = Estimate{math.NaN(), math.NaN()}

// IntakePoint is one stretch of a bench log.
type IntakePoint struct {
	Time       float64 `json:"time_s"`
	Difference float64 `json:"difference_K"`
	Speed      float64 `json:"speed_Hz"` // NaN: not logged
	Heat       float64 `json:"heat_W"`
	Running    bool    `json:"running"`
	steady     bool
	top, room  float64 // K
	rise       float64 // K/s, of the upper plate
	weight     float64 // standard uncertainty of the heat from stretch to stretch, W
}

// The load's log is cut into stretches of so many time constants of its upper
// plate, at least so many seconds, at most so many stretches.
const (
	stretchConstants = 0.5
	leastStretch     = 20.0
	mostPoints       = 200
)

// Characterise reads a load off a bench log: the engine on a plate of controlled
// temperature, both plates logged. What leaves the upper plate to the room, by
// its films, entered through the engine, but for what the plate itself stored:
//
//	(K + c n) (Tbottom - Ttop) = G (Ttop - Troom) + C dTtop/dt
//
// K is the conductance at rest, c the intake per cycle and n the speed. So
// watts are as good as the film G, which the handbook gives to a fifth, unless
// the log has a heater's power. The stall difference rests on the plates alone.
func Characterise(d *design.Design, t *trial.Trial, a Discrepancy) (*Load, error) {
	if t.Kind != trial.WarmPlate {
		return nil, fmt.Errorf("trial %q is a %s, not a %s", t.Name, t.Kind, trial.WarmPlate)
	}
	if d.Load.Engine == nil || d.Load.TopPlate == nil {
		return nil, fmt.Errorf("trial %q: the design has no engine to characterise", t.Name)
	}
	bottom, top := t.Find(trial.BottomPlate), t.Find(trial.TopPlate)
	if bottom == nil || top == nil {
		return nil, fmt.Errorf("trial %q: both plates must be logged", t.Name)
	}
	d, err := arranged(d, t, a)
	if err != nil {
		return nil, err
	}
	l := &Load{Trial: t.Name, Stall: unknown, Still: unknown, Cycle: unknown, Speed: unknown, Slope: unknown}
	b := &bench{d: d, t: t, a: a, load: l, bottom: bottom, top: top}
	if err := b.measure(); err != nil {
		return nil, err
	}
	b.stall()
	b.speed()
	b.intake()
	b.judge()
	b.settings()
	return l, nil
}

// bench is one characterisation under way.
type bench struct {
	d           *design.Design
	t           *trial.Trial
	a           Discrepancy
	load        *Load
	bottom, top *trial.Series
	capacity    float64 // J/K of the upper plate
	film        *plateFilm
}

// plateFilm is the heat from the upper plate to the room.
type plateFilm struct {
	d    *design.Design
	area float64
	air  matter.Fluid
}

func newPlateFilm(d *design.Design) *plateFilm {
	p := d.Load.TopPlate
	radius := p.Diameter.SI / 2
	area := math.Pi*radius*radius + 2*math.Pi*radius*p.Thickness.SI
	if e := d.Load.Engine; e != nil { // what overhangs the ring wall counts with the upper face, as in the network
		if ring := e.ChamberDiameter.SI/2 + e.RingWall.SI; ring < radius {
			area += math.Pi * (radius*radius - ring*ring)
		}
	}
	return &plateFilm{d: d, area: area,
		air: matter.DryAir(d.Room.Temperature.SI, d.Room.Pressure.SI)}
}

// conductance is that of film and radiation, W/K, at a plate's temperature, K:
// as the network has it (Incropera eq. 9.29 and 1.9; mixed with forced
// convection), but that nothing condenses on a warm plate.
func (f *plateFilm) conductance(plate float64) float64 {
	return f.between(plate, f.d.Room.Temperature.SI)
}

// between is the same for a room of another temperature, K.
func (f *plateFilm) between(plate, room float64) float64 {
	p := f.d.Load.TopPlate
	length := p.Diameter.SI / 4
	rayleigh := transfer.Rayleigh(f.air, math.Max(math.Abs(plate-room), 0.01), length)
	nusselt := transfer.NusseltHorizontalStable(rayleigh, f.air.Prandtl())
	if plate > room {
		nusselt = transfer.NusseltHorizontalUnstable(rayleigh)
	}
	free := f.d.Model.TopFilm.SI * nusselt * f.air.Conductivity / length
	forced := 0.0
	if speed := f.d.Room.AirSpeed.SI; speed > 0 {
		const chord = math.Pi / 4
		reynolds := chord * speed * p.Diameter.SI / f.air.KinematicViscosity()
		forced = transfer.NusseltForcedPlate(reynolds, f.air.Prandtl()) * f.air.Conductivity / (chord * p.Diameter.SI)
	}
	radiation := p.Emissivity.SI * f.d.Model.Radiation.SI * transfer.RadiationCoefficient(math.Max(plate, room), math.Min(plate, room))
	return f.area * (transfer.Mixed(free, forced) + radiation)
}

// uncertainty of the conductance, by the spreads of what it follows from.
func (f *plateFilm) uncertainty(plate float64) float64 {
	base, sum := f.conductance(plate), 0.0
	for _, v := range []*quantity.Value{&f.d.Model.TopFilm, &f.d.Model.Radiation, &f.d.Load.TopPlate.Emissivity, &f.d.Room.AirSpeed} {
		before := v.SI
		v.SI += v.Spread
		change := f.conductance(plate) - base
		v.SI = before
		sum += change * change
	}
	return math.Sqrt(sum)
}

// plateCapacity is the heat capacity of the upper plate, J/K.
func plateCapacity(d *design.Design) float64 {
	p := d.Load.TopPlate
	material := d.MaterialByName(p.Material)
	return math.Pi / 4 * p.Diameter.SI * p.Diameter.SI * p.Thickness.SI * material.Density.SI * material.SpecificHeat.SI
}

// measure cuts the log into stretches and balances the heat of each.
func (b *bench) measure() error {
	b.capacity = plateCapacity(b.d)
	b.film = newPlateFilm(b.d)
	bt, bv := b.bottom.Good()
	tt, tv := b.top.Good()
	if len(bt) < 3 || len(tt) < 3 {
		return fmt.Errorf("trial %q: the plates have %d and %d good samples: too few", b.t.Name, len(bt), len(tt))
	}
	from, to := math.Max(bt[0], tt[0]), math.Min(bt[len(bt)-1], tt[len(tt)-1])
	warm := average(tv)
	g := b.film.conductance(warm)
	b.load.Film = Estimate{g, b.film.uncertainty(warm)}
	b.load.Constant = b.capacity / (2 * g)
	b.load.Duration = to - from
	stretch := math.Max(math.Max(stretchConstants*b.load.Constant, leastStretch), (to-from)/mostPoints)
	st, sv := b.speeds()
	noise := math.Max(scatterOf(tv), 0.01)
	heater, watts := b.heater()
	rt, rv := b.room()
	for at := from; at+stretch <= to; at += stretch {
		top, n := meanBetween(tt, tv, at, at+stretch)
		bottom, m := meanBetween(bt, bv, at, at+stretch)
		if n < 2 || m < 1 {
			continue
		}
		middle := at + stretch/2
		room := b.d.Room.Temperature.SI
		if len(rt) > 0 {
			room = interpolate(rt, rv, middle)
		}
		rise := slope(tt, tv, at, at+stretch)
		point := IntakePoint{Time: middle, Difference: bottom - top, Speed: math.NaN(), Running: true}
		point.top, point.room, point.rise = top, room, rise
		point.Heat = b.film.between(top, room)*(top-room) + b.capacity*rise
		if len(heater) > 0 {
			point.Heat = interpolate(heater, watts, middle)
			b.load.Absolute = true
		}
		if len(st) > 0 {
			if v, k := meanBetween(st, sv, at, at+stretch); k > 0 {
				point.Speed = v
				point.Running = v > leastSpeed
			}
		}
		point.steady = math.Abs(b.capacity*rise) < 0.1*math.Abs(point.Heat)
		// The slope through n samples of a stretch has the variance
		// 12 noise2 / (n stretch2); so much is the storing uncertain, and by a
		// tenth of itself where the course within a stretch is bent.
		point.weight = math.Hypot(b.capacity*noise*math.Sqrt(12/float64(n))/stretch, 0.1*b.capacity*rise)
		point.weight = math.Hypot(point.weight, 0.005*math.Abs(point.Heat)+1e-3)
		b.load.Points = append(b.load.Points, point)
	}
	if len(b.load.Points) < 4 {
		return fmt.Errorf("trial %q: %s of log make %d stretches of %s: too few to learn from", b.t.Name,
			quantity.FormatDuration(to-from), len(b.load.Points), quantity.FormatDuration(stretch))
	}
	return nil
}

func (b *bench) speeds() (times, values []float64) {
	if s := b.t.Find(trial.Speed); s != nil {
		return s.Good()
	}
	return nil, nil
}

func (b *bench) heater() (times, values []float64) {
	if s := b.t.Find(trial.HeaterPower); s != nil {
		return s.Good()
	}
	return nil, nil
}

func (b *bench) room() (times, values []float64) {
	if s := b.t.Find(trial.Room); s != nil {
		return s.Good()
	}
	return nil, nil
}

// slope of a straight line through the samples of a stretch, per second.
func slope(times, values []float64, from, to float64) float64 {
	var n, st, sv, stt, stv float64
	for i := range times {
		if times[i] >= from && times[i] < to {
			t := times[i] - from
			n++
			st, sv, stt, stv = st+t, sv+values[i], stt+t*t, stv+t*values[i]
		}
	}
	if d := n*stt - st*st; d > 0 {
		return (n*stv - st*sv) / d
	}
	return 0
}

// sensors is the standard uncertainty of the plate difference by the sensors'
// constant errors, K.
func (b *bench) sensors() float64 {
	return math.Hypot(stated(b.bottom.Uncertainty, b.a.Sensor), stated(b.top.Uncertainty, b.a.Sensor))
}

// intake fits conductance and intake per cycle to all stretches; what the plate
// stores is in the balance, so that none need be left out.
func (b *bench) intake() {
	var points []IntakePoint
	speeds := false
	for _, p := range b.load.Points {
		if p.Difference > 1 {
			points = append(points, p)
			speeds = speeds || !math.IsNaN(p.Speed)
		}
	}
	if len(points) < 4 {
		b.load.Remarks = append(b.load.Remarks, "Too few stretches with a plate difference above 1 K to work out how much heat the engine takes.")
		return
	}
	// What is the same in all stretches is fitted with them, each from where the
	// design has it: the inputs that the films, the plate and the cycle follow
	// from, and the sensors' constant errors.
	beliefs, err := b.beliefs()
	if err != nil {
		return
	}
	sensor := [3]float64{stated(b.bottom.Uncertainty, b.a.Sensor), stated(b.top.Uncertainty, b.a.Sensor), b.d.Room.Temperature.Spread}
	first := 1 + len(beliefs) // of the sensors' errors; the heater's follows them
	parameters := first + len(sensor) + 1
	d := b.d.Clone()
	f, err := leastSquares(make([]float64, parameters), residuals{count: len(points) + parameters - 1, damping: 1e-2, unit: 1, at: func(p, out []float64) {
		for i := range beliefs {
			beliefs[i].Set(d, p[1+i])
		}
		film, capacity := newPlateFilm(d), plateCapacity(d)
		k, c := startStill*math.Exp(p[0]), d.Load.Engine.IntakePerCycle.SI
		bottom, top, room := sensor[0]*p[first], sensor[1]*p[first+1], sensor[2]*p[first+2]
		for i, q := range points {
			through := (k + c*b.turning(q)) * (q.Difference - bottom + top)
			if b.load.Absolute {
				out[i] = (through - q.Heat*(1+b.a.Heater*p[first+3])) / q.weight
				continue
			}
			// The noise is that of the plate's rise, so the rise is what is
			// predicted: in watts, a smaller plate would seem to have less.
			rise := (through - film.between(q.top-top, q.room-room)*(q.top-top-q.room+room)) / capacity
			out[i] = (rise - q.rise) * b.capacity / q.weight
		}
		copy(out[len(points):], p[1:])
	}}, 40, 1e-4)
	if err != nil || !f.Converged {
		b.load.Remarks = append(b.load.Remarks, "The heat that the engine takes could not be fitted to this log.")
		return
	}
	// The uncertainties of what is believed beforehand are known, and so is the
	// noise; where the stretches scatter by more, the larger counts.
	width := func(i int) float64 {
		return f.StandardError(i) / math.Sqrt(f.Variance) * math.Sqrt(math.Max(f.Variance, 1))
	}
	k := startStill * math.Exp(f.Parameters[0])
	b.load.Still = Estimate{k, k * math.Hypot(width(0), ringShare)}
	b.load.Remarks = append(b.load.Remarks, "What the ring wall gives to the room on its way up is not weighed: the conductance may read low by some hundredths.")
	if !speeds {
		b.load.Remarks = append(b.load.Remarks, "No speed was logged: the intake per cycle is taken from the design, and the still conductance with it.")
		return
	}
	for i := range beliefs {
		if u := &beliefs[i]; u.Input().Path == cyclePath {
			z, w := f.Parameters[1+i], width(1+i)
			b.load.Cycle = Estimate{u.At(z), (u.At(z+w) - u.At(z-w)) / 2}
		}
	}
}

// ringShare is the part of the conductance, relative, that heat lost from the
// ring wall makes uncertain (judgement).
const ringShare = 0.05

const cyclePath = "load.engine.intake_per_cycle"

// beliefs are the inputs that the heat balance rests on.
func (b *bench) beliefs() ([]predict.Unknown, error) {
	all, err := predict.Unknowns(b.d)
	if err != nil {
		return nil, err
	}
	var out []predict.Unknown
	for _, u := range all {
		switch u.Input().Path {
		case cyclePath, "model.top_film", "model.radiation", "load.top_plate.emissivity", "load.top_plate.thickness", "room.air_speed":
			out = append(out, u)
		}
	}
	return out, nil
}

// startStill is where the fit of the conductance at rest begins, W/K.
const startStill = 0.1

// turning is a stretch's speed, or the design's where it was not logged.
func (b *bench) turning(p IntakePoint) float64 {
	switch {
	case !p.Running:
		return 0
	case !math.IsNaN(p.Speed):
		return p.Speed
	}
	e := b.d.Load.Engine
	stall := e.StallDifference.SI
	if !math.IsNaN(b.load.Stall.Value) {
		stall = b.load.Stall.Value
	}
	return math.Max(0, e.StallSpeed.SI+e.SpeedSlope.SI*(p.Difference-stall))
}
