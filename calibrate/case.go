package calibrate

import (
	"fmt"
	"math"
	"strings"

	"meltspan/design"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/trial"
)

// Case is one trial of one design.
type Case struct {
	Design *design.Design
	Trial  *trial.Trial
}

// subject is a case made ready: the design as it was set up in that trial's
// room, with the deviates' columns of its unknowns.
type subject struct {
	trial                 *trial.Trial
	design                *design.Design
	revision              string // of the design as its file states it
	cold                  bool
	unknowns              []predict.Unknown
	columns               []int // of the deviates, for each unknown
	pace                  [2]int
	paceSize              [2]float64
	shift                 int     // column of the deviate of its stall difference; -1: none
	stallSize             float64 // K, standard deviation of that
	length                float64 // s, over which a course's deviation lasts
	horizon               float64 // s
	anchored              bool    // the stall was seen: courses are compared at the same share of the run
	stallSeen, stallKnown float64 // s, and the relative standard deviation with which it is known
	stalledFirst          float64 // s: the stall, where the ice outlasted it
	features              []feature
	keep                  bool    // keep the runs: their courses are read again
	floor                 float64 // s; the load was still running then. 0: nothing known
}

// arranged is a copy of a design with the settings and the room of a trial.
func arranged(d *design.Design, t *trial.Trial, a Discrepancy) (*design.Design, error) {
	d = d.Clone()
	for _, s := range t.Settings {
		if err := apply(d, s); err != nil {
			return nil, fmt.Errorf("trial %q: %w", t.Name, err)
		}
	}
	useRoom(d, t, a)
	d.Rederive()
	return d, nil
}

// prepared is a copy of the case's design in the state and room of its trial,
// with what its kind of trial changes about the load.
func prepared(c Case, a Discrepancy) (*design.Design, error) {
	if c.Design == nil || c.Trial == nil {
		return nil, fmt.Errorf("calibrate: a case needs a design and a trial")
	}
	d, err := arranged(c.Design, c.Trial, a)
	if err != nil {
		return nil, err
	}
	switch c.Trial.Kind {
	case trial.Run, "":
	case trial.PlateHeater:
		if err := heated(d, c.Trial, a); err != nil {
			return nil, err
		}
	case trial.BlankMelt:
		blank(d, a)
	default:
		return nil, fmt.Errorf("trial %q: a %s is not run on the stand; characterise the load with it and write the settings into the design", c.Trial.Name, c.Trial.Kind)
	}
	return d, nil
}

// apply gives the design one setting of a trial, in the design's notation. A
// setting without a spread keeps the spread that the design has for it.
func apply(d *design.Design, s trial.Setting) error {
	knob, err := d.FindKnob(s.Path)
	if err != nil {
		return err
	}
	if knob.Count {
		return fmt.Errorf("%s is a count and belongs to the design, not to a trial of it", s.Path)
	}
	v, err := quantity.Parse(s.Value, knob.Kind)
	if err != nil {
		return fmt.Errorf("%s: %w", s.Path, err)
	}
	if err := d.Set(s.Path, v.SI); err != nil {
		return err
	}
	get, err := design.Accessor(s.Path)
	if err != nil {
		return err
	}
	value := get(d)
	value.Origin, value.Source = quantity.Measured, "in this trial"
	if strings.ContainsAny(s.Value, "±") || strings.Contains(s.Value, "+-") || strings.Contains(s.Value, "+/-") {
		value.Spread = v.Spread
	}
	return nil
}

// roomPoints is how many points of a logged room are kept: a step of the
// network is six minutes at most.
const roomPoints = 240

// useRoom lets the logged room be the design's.
func useRoom(d *design.Design, t *trial.Trial, a Discrepancy) {
	air := t.Find(trial.Room)
	if air == nil {
		return
	}
	times, temperatures := air.Good()
	if len(times) == 0 {
		return
	}
	humidity := func(float64) float64 { return d.Room.Humidity.SI }
	moist := t.Find(trial.Humidity)
	if moist != nil {
		if ht, hv := moist.Good(); len(ht) > 0 {
			humidity = func(time float64) float64 { return min(max(interpolate(ht, hv, time), 0), 1) }
		}
	}
	series := make([]design.RoomSample, 0, roomPoints+2)
	for first := 0; first < len(times); {
		last := max(first+1, len(times)*(len(series)+1)/roomPoints)
		last = min(last, len(times))
		n := float64(last - first)
		s := design.RoomSample{}
		for i := first; i < last; i++ {
			s.Time += times[i] / n
			s.Temperature += temperatures[i] / n
		}
		s.Humidity = humidity(s.Time)
		series = append(series, s)
		first = last
	}
	mean, moisture := series[0].Temperature, series[0].Humidity
	if len(series) > 1 {
		mean, moisture = 0, 0
		span := series[len(series)-1].Time - series[0].Time
		for i := 1; i < len(series); i++ {
			dt := (series[i].Time - series[i-1].Time) / span / 2
			mean += dt * (series[i].Temperature + series[i-1].Temperature)
			moisture += dt * (series[i].Humidity + series[i-1].Humidity)
		}
		d.Room.Series, d.Room.Daily = series, nil
	}
	d.Room.Temperature = quantity.Value{SI: mean, Spread: stated(air.Uncertainty, a.Sensor), Origin: quantity.Measured, Source: "logged in the trial"}
	if moist != nil {
		d.Room.Humidity = quantity.Value{SI: moisture, Spread: stated(moist.Uncertainty, 0.04), Origin: quantity.Measured, Source: "logged in the trial"}
	}
}

func stated(uncertainty, otherwise float64) float64 {
	if uncertainty > 0 {
		return uncertainty
	}
	return otherwise
}

// heated makes the design one whose engine stands still under a heater: its
// heat enters the upper plate as sunshine does.
func heated(d *design.Design, t *trial.Trial, a Discrepancy) error {
	power := t.Find(trial.HeaterPower)
	var times, watts []float64
	if power != nil {
		times, watts = power.Good()
	}
	if len(times) == 0 || d.Load.TopPlate == nil {
		return fmt.Errorf("trial %q: a plate heater needs an upper plate and the heater's power: a log of it, or meltspan bench TRIAL --heater POWER", t.Name)
	}
	mean := average(watts)
	area := math.Pi / 4 * d.Load.TopPlate.Diameter.SI * d.Load.TopPlate.Diameter.SI
	source := "heater of the trial"
	d.Room.Sun = quantity.Value{SI: mean / area, Spread: stated(power.Uncertainty, a.Heater*mean) / area, Origin: quantity.Measured, Source: source}
	d.Room.Absorptivity = quantity.Value{SI: 1, Origin: quantity.Stated, Source: source}
	if e := d.Load.Engine; e != nil {
		still := quantity.Value{SI: neverTurns, Origin: quantity.Stated, Source: "held still under the heater"}
		e.StallDifference, e.StartDifference = still, still
	}
	return nil
}

// neverTurns is a plate difference, K, that no stand reaches.
const neverTurns = 80

// blank makes the design a stand without its load, its mouth closed by a light
// lid.
func blank(d *design.Design, a Discrepancy) {
	heat := a.Lid * (d.Room.Temperature.SI - d.Store.MeltingPoint.SI)
	limit := d.Room.Temperature.SI + 100
	if heat < 0 {
		limit = d.Room.Temperature.SI - 100
	}
	d.Load = design.Load{BottomPlate: d.Load.BottomPlate, Leak: &design.Leak{
		Power: quantity.Value{SI: heat, Spread: math.Abs(heat) / 2, Origin: quantity.Guessed, Source: "through the lid"},
		Limit: quantity.Value{SI: limit, Origin: quantity.Stated, Source: "none"},
	}}
}

func average(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// interpolate is linear between points and held at the ends.
func interpolate(times, values []float64, at float64) float64 {
	low, high := 0, len(times)-1
	switch {
	case at <= times[low]:
		return values[low]
	case at >= times[high]:
		return values[high]
	}
	for high-low > 1 {
		if middle := (low + high) / 2; times[middle] <= at {
			low = middle
		} else {
			high = middle
		}
	}
	w := (at - times[low]) / (times[high] - times[low])
	return values[low]*(1-w) + values[high]*w
}
