// Package synthetic makes trials whose truth is known: a course by the network
// or by its fine section, with the deviations that a bench would add. The data
// are invented; they serve tests and the examples.
package synthetic

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"

	"meltspan/design"
	"meltspan/network"
	"meltspan/result"
	"meltspan/trial"
)

// World is what lies between a model's course and a bench's log. Sizes are
// standard deviations.
type World struct {
	Section     float64 // m, cells of the section that makes the course; 0: the network
	Pace        float64 // factor on all times
	Stall       float64 // K, by how much its load stalls above the design's difference
	LastIce     float64 // relative, of that moment
	Temperature float64 // K, slowly varying
	Speed       float64 // relative, slowly varying
	Length      float64 // s, over which these vary
	Sensor      float64 // K, constant for each sensor
	Tachometer  float64 // relative, constant
	Noise       float64 // K, from sample to sample
	Interval    float64 // s between samples
	Stopwatch   float64 // s
	Turning     bool    // log the speed
	Room        bool    // log room and humidity
	Tail        float64 // s, logged after the stall
}

// Truth is what really happened.
type Truth struct {
	RunTime float64 // s
	LastIce float64 // s; NaN when not reached
	Run     *result.Run
}

// Run makes a trial of a design whose values are the true ones. The events are
// in it; a design that does not run gives a trial without a stall.
func Run(name string, d *design.Design, w World, source *rand.Rand) (*trial.Trial, Truth, error) {
	m, err := model(d, w.Section)
	if err != nil {
		return nil, Truth{}, err
	}
	run, err := m.Run(context.Background(), network.Options{Course: true, Beyond: -w.Stall})
	if err != nil {
		return nil, Truth{}, err
	}
	truth := Truth{RunTime: run.FirstStall() * w.Pace, LastIce: run.LastIce * w.Pace, Run: run}
	t := &trial.Trial{Name: name, Kind: trial.Run, Design: d.Name, Revision: d.Revision(), Start: math.NaN()}
	t.Events = append(t.Events, trial.Event{Kind: trial.LoadSet, Source: "by hand"})
	if run.End == result.EndStalled || run.End == result.EndLimit {
		t.Events = append(t.Events, trial.Event{Kind: trial.Stalled, Time: truth.RunTime + w.Stopwatch*source.NormFloat64(), Uncertainty: w.Stopwatch, Source: "by hand"})
	}
	if !math.IsNaN(truth.LastIce) {
		truth.LastIce *= math.Exp(w.LastIce * source.NormFloat64())
		t.Events = append(t.Events, trial.Event{Kind: trial.IceGone, Time: truth.LastIce + w.Stopwatch*source.NormFloat64(), Uncertainty: w.Stopwatch, Source: "by hand"})
	}
	if w.Interval > 0 {
		w.log(t, d, run, truth, source)
	}
	return t, truth, nil
}

func model(d *design.Design, spacing float64) (*network.Model, error) {
	if spacing > 0 {
		return network.BuildSection(d, spacing)
	}
	return network.Build(d)
}

func (w World) log(t *trial.Trial, d *design.Design, run *result.Run, truth Truth, source *rand.Rand) {
	end := truth.RunTime + w.Tail
	if !(truth.RunTime > 0) {
		end = run.Simulated
	}
	add := func(q trial.Quantity, channel string, sensor, noise, uncertainty float64, change func(value, deviation, time float64) float64) {
		c := run.Channel(channel)
		if c == nil {
			return
		}
		deviation := Slow(end, w.Length, source)
		bias := sensor * source.NormFloat64()
		s := trial.Series{Quantity: q, Source: "invented", Uncertainty: uncertainty}
		for at := 0.0; at <= end; at += w.Interval {
			value := change(interpolate(run.Times, c.Values, at/w.Pace), deviation(at), at) + bias
			s.Samples = append(s.Samples, trial.Sample{Time: at, Value: value + noise*source.NormFloat64()})
		}
		t.Series = append(t.Series, s)
	}
	plate := func(value, deviation, time float64) float64 { return value + w.Temperature*deviation }
	add(trial.BottomPlate, "bottom_plate", w.Sensor, w.Noise, w.Sensor, plate)
	add(trial.TopPlate, "top_plate", w.Sensor, w.Noise, w.Sensor, plate)
	if w.Turning {
		factor := math.Exp(w.Tachometer * source.NormFloat64())
		add(trial.Speed, "speed", 0, 0, 0, func(value, deviation, time float64) float64 {
			if value <= 0 || time > truth.RunTime {
				return 0
			}
			return value * factor * math.Exp(w.Speed*deviation+0.02*source.NormFloat64())
		})
	}
	if w.Room {
		same := func(value, deviation, time float64) float64 { return value }
		add(trial.Room, "room", w.Sensor, w.Noise, w.Sensor, same)
		s := trial.Series{Quantity: trial.Humidity, Source: "invented", Uncertainty: 0.03}
		bias := 0.02 * source.NormFloat64()
		for at := 0.0; at <= end; at += w.Interval {
			s.Samples = append(s.Samples, trial.Sample{Time: at, Value: humidity(d, at) + bias})
		}
		t.Series = append(t.Series, s)
	}
}

func humidity(d *design.Design, at float64) float64 {
	if len(d.Room.Series) == 0 {
		return d.Room.Humidity.SI
	}
	times, values := make([]float64, len(d.Room.Series)), make([]float64, len(d.Room.Series))
	for i, s := range d.Room.Series {
		times[i], values[i] = s.Time, s.Humidity
	}
	return interpolate(times, values, at)
}

// Slow draws a slowly varying function of unit variance: a Gaussian process with
// the Matérn 3/2 correlation.
func Slow(end, length float64, source *rand.Rand) func(at float64) float64 {
	n := int(math.Min(math.Max(8*end/length, 8), 120))
	times, values := make([]float64, n), make([]float64, n)
	c := mat.NewSymDense(n, nil)
	for i := range n {
		times[i] = end * float64(i) / float64(n-1)
		for j := range i + 1 {
			r := math.Sqrt(3) * (times[i] - times[j]) / length
			c.SetSym(i, j, (1+r)*math.Exp(-r))
		}
		c.SetSym(i, i, 1+1e-8)
	}
	var chol mat.Cholesky
	chol.Factorize(c)
	var l mat.TriDense
	chol.LTo(&l)
	normal := make([]float64, n)
	for i := range normal {
		normal[i] = source.NormFloat64()
	}
	mat.NewVecDense(n, values).MulVec(&l, mat.NewVecDense(n, normal))
	return func(at float64) float64 { return interpolate(times, values, at) }
}

func interpolate(times, values []float64, at float64) float64 {
	for i := 1; i < len(times); i++ {
		if at <= times[i] {
			w := math.Max((at-times[i-1])/(times[i]-times[i-1]), 0)
			return values[i-1]*(1-w) + values[i]*w
		}
	}
	return values[len(values)-1]
}
