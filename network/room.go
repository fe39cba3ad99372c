package network

import (
	"math"

	"meltspan/design"
	"meltspan/matter"
)

// room is the course of the air and its surroundings.
type room struct {
	temperature   float64 // K
	humidity      float64
	radiantOffset float64 // of surroundings over air, K
	swing         float64
	warmest       float64 // s
	series        []design.RoomSample
	vapour        float64 // Pa, when constant
	forced        float64 // air speed, m/s
	sun           float64 // W/m2 taken in by the upper plate
}

func newRoom(d *design.Design) room {
	r := room{
		temperature: d.Room.Temperature.SI,
		humidity:    d.Room.Humidity.SI,
		forced:      d.Room.AirSpeed.SI,
		sun:         d.Room.Sun.SI * d.Room.Absorptivity.SI,
		series:      d.Room.Series,
	}
	if d.Room.Radiant.Present() {
		r.radiantOffset = d.Room.Radiant.SI - r.temperature
	}
	if d.Room.Daily != nil {
		r.swing, r.warmest = d.Room.Daily.Swing.SI, d.Room.Daily.Warmest.SI
	}
	r.vapour = r.humidity * matter.SaturationPressureWater(r.temperature)
	return r
}

func (r *room) constant() bool { return r.swing == 0 && len(r.series) == 0 }

// at gives air temperature, radiant temperature (K) and vapour pressure (Pa).
// A daily swing keeps the moisture of the mean hour, as a closed room does. A
// logged series is followed by straight lines and held at its ends; a
// calibrated offset of the stated mean shifts it as a whole.
func (r *room) at(time float64) (air, radiant, vapour float64) {
	switch {
	case len(r.series) > 0:
		t, h := r.sample(time)
		return t, t + r.radiantOffset, h * matter.SaturationPressureWater(t)
	case r.swing != 0:
		t := r.temperature + r.swing*math.Cos(2*math.Pi*(time-r.warmest)/86400)
		limit := matter.SaturationPressureWater(t)
		return t, t + r.radiantOffset, math.Min(r.vapour, limit)
	}
	return r.temperature, r.temperature + r.radiantOffset, r.vapour
}

func (r *room) sample(time float64) (temperature, humidity float64) {
	s := r.series
	low, high := 0, len(s)-1
	if time <= s[0].Time {
		return s[0].Temperature, s[0].Humidity
	}
	if time >= s[high].Time {
		return s[high].Temperature, s[high].Humidity
	}
	for high-low > 1 {
		if mid := (low + high) / 2; s[mid].Time <= time {
			low = mid
		} else {
			high = mid
		}
	}
	w := (time - s[low].Time) / (s[high].Time - s[low].Time)
	return s[low].Temperature + w*(s[high].Temperature-s[low].Temperature),
		s[low].Humidity + w*(s[high].Humidity-s[low].Humidity)
}
