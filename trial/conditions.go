package trial

import (
	"fmt"
	"math"

	"meltspan/design"
	"meltspan/quantity"
)

// Arranged returns the design as it was in this trial: with the trial's
// settings, and in the room that was measured where it was. The design that is
// passed in stays as it was. The error is a design.Problem, or design.Problems
// when the whole cannot be.
func (t *Trial) Arranged(d *design.Design) (*design.Design, error) {
	d = d.Clone()
	for _, s := range t.Settings {
		if err := d.State(s.Path, s.Value, quantity.Measured); err != nil {
			return nil, err
		}
	}
	t.arrangeRoom(d)
	d.Rederive()
	if problems := d.Check(); len(problems) > 0 {
		for i := range problems {
			problems[i].File = "with the settings of the trial"
		}
		return nil, problems
	}
	return d, nil
}

// mostRoomSamples bounds the room series that a model follows: a room changes
// over minutes.
const mostRoomSamples = 1500

// Half of the last digit of household sensors stands in for an uncertainty
// that is not stated: 0.5 K and 3 % relative humidity, as for readings in a
// design file (common practice).
const (
	roomSpread     = 0.5
	humiditySpread = 0.03
)

// arrangeRoom lets the logged room take the place of the design's. Where only
// the temperature was logged, humidity stays as stated, and the other way
// round.
func (t *Trial) arrangeRoom(d *design.Design) {
	temperature, humidity := t.course(Room), t.course(Humidity)
	if temperature == nil && humidity == nil {
		return
	}
	lead := temperature
	if lead == nil {
		lead = humidity
	}
	d.Room.Daily = nil
	d.Room.Log, d.Room.Series = "", nil
	for _, at := range lead.times {
		row := design.RoomSample{Time: at, Temperature: d.Room.Temperature.SI, Humidity: d.Room.Humidity.SI}
		if temperature != nil {
			row.Temperature = temperature.at(at)
		}
		if humidity != nil {
			row.Humidity = math.Min(math.Max(humidity.at(at), 0), 1)
		}
		d.Room.Series = append(d.Room.Series, row)
	}
	meanT, meanH := means(d.Room.Series)
	if temperature != nil {
		d.Room.Temperature = quantity.Value{SI: meanT, Spread: t.spread(Room, roomSpread), Origin: quantity.Measured, Source: "mean over time of the trial's log"}
	}
	if humidity != nil {
		d.Room.Humidity = quantity.Value{SI: meanH, Spread: t.spread(Humidity, humiditySpread), Origin: quantity.Measured, Source: "mean over time of the trial's log"}
	}
}

// spread is the uncertainty stated of a series, or what is usual.
func (t *Trial) spread(q Quantity, usual float64) float64 {
	if u := t.Find(q).Uncertainty; u > 0 {
		return u
	}
	return usual
}

// course is a series to be read at any time.
type course struct{ times, values []float64 }

// course takes the good samples of a quantity, thinned to means over stretches
// of equal numbers; nil when there are fewer than two.
func (t *Trial) course(q Quantity) *course {
	s := t.Find(q)
	if s == nil {
		return nil
	}
	times, values := s.Good()
	if len(times) < 2 {
		return nil
	}
	size := (len(times) + mostRoomSamples - 1) / mostRoomSamples
	var c course
	for from := 0; from < len(times); from += size {
		to := min(from+size, len(times))
		c.times = append(c.times, mean(times[from:to]))
		c.values = append(c.values, mean(values[from:to]))
	}
	return &c
}

// at follows the course by straight lines and holds its ends.
func (c *course) at(time float64) float64 {
	low, high := 0, len(c.times)-1
	switch {
	case time <= c.times[low]:
		return c.values[low]
	case time >= c.times[high]:
		return c.values[high]
	}
	for high-low > 1 {
		if middle := (low + high) / 2; c.times[middle] <= time {
			low = middle
		} else {
			high = middle
		}
	}
	w := (time - c.times[low]) / (c.times[high] - c.times[low])
	return c.values[low] + w*(c.values[high]-c.values[low])
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

// means integrates a room over time, by trapezoids.
func means(rows []design.RoomSample) (temperature, humidity float64) {
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1], rows[i]
		half := (b.Time - a.Time) / 2
		temperature += half * (a.Temperature + b.Temperature)
		humidity += half * (a.Humidity + b.Humidity)
	}
	span := rows[len(rows)-1].Time - rows[0].Time
	return temperature / span, humidity / span
}

// Check looks for what cannot be meant in a trial, but for its settings,
// which Arranged checks against a design.
func (t *Trial) Check() error {
	for _, e := range t.Events {
		if e.Kind != LoadSet && e.Time < 0 {
			return fmt.Errorf("%s cannot be %s before the load was set on", e.Kind, quantity.FormatDuration(-e.Time))
		}
	}
	stalled, first := t.Event(Stalled), math.Inf(1)
	for _, e := range t.Events {
		if e.Kind == Started { // it may start more than once
			first = min(first, e.Time)
		}
	}
	if stalled != nil && stalled.Time < first && !math.IsInf(first, 1) {
		return fmt.Errorf("the load stalled after %s, but started only after %s",
			quantity.FormatDuration(stalled.Time), quantity.FormatDuration(first))
	}
	return nil
}

// StallingOf is what a design says of when its load starts and stalls; the
// zero value for a load that does neither.
func StallingOf(d *design.Design) Stalling {
	s := Stalling{Hot: !d.ColdStore()}
	switch {
	case d.Load.Engine != nil:
		stall := d.Load.Engine.StallDifference
		s.Difference, s.Uncertainty, s.Starting = stall.SI, stall.Spread, d.Load.Engine.StartDifference.SI
	case d.Load.Generator != nil:
		least := d.Load.Generator.LeastDifference
		s.Difference, s.Uncertainty = least.SI, least.Spread
	}
	return s
}
