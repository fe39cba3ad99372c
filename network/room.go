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
	shift, scale  float64 // of the series to the stated mean
	vapour        float64 // Pa, when constant
	dew           float64 // K, when constant
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
	r.centreSeries()
	if d.Room.Daily != nil {
		r.swing, r.warmest = d.Room.Daily.Swing.SI, d.Room.Daily.Warmest.SI
	}
	r.vapour = r.humidity * matter.SaturationPressureWater(r.temperature)
	r.dew = matter.DewPointAtVapourPressure(r.vapour)
	return r
}

// centreSeries notes how far the stated mean temperature and humidity lie from
// those of the logged series: a draw of the mean shifts the series as a whole.
func (r *room) centreSeries() {
	s := r.series
	if len(s) == 0 {
		return
	}
	temperature, humidity, span := s[0].Temperature, s[0].Humidity, 0.0
	for i := 1; i < len(s); i++ {
		dt := s[i].Time - s[i-1].Time
		if span == 0 {
			temperature, humidity = 0, 0
		}
		temperature += dt * (s[i].Temperature + s[i-1].Temperature) / 2
		humidity += dt * (s[i].Humidity + s[i-1].Humidity) / 2
		span += dt
	}
	if span > 0 {
		temperature, humidity = temperature/span, humidity/span
	}
	r.shift = r.temperature - temperature
	r.scale = 1
	if humidity > 0 {
		r.scale = r.humidity / humidity
	}
}

func (r *room) constant() bool { return r.swing == 0 && len(r.series) == 0 }

// at gives air temperature, radiant temperature (K) and vapour pressure (Pa).
// A daily swing keeps the moisture of the mean hour, as a closed room does. A
// logged series is followed by straight lines and held at its ends, shifted to
// the stated mean.
func (r *room) at(time float64) (air, radiant, vapour float64) {
	switch {
	case len(r.series) > 0:
		t, h := r.sample(time)
		t, h = t+r.shift, min(h*r.scale, 1)
		return t, t + r.radiantOffset, h * matter.SaturationPressureWater(t)
	case r.swing != 0:
		t := r.temperature + r.swing*math.Cos(2*math.Pi*(time-r.warmest)/86400)
		limit := matter.SaturationPressureWater(t)
		return t, t + r.radiantOffset, min(r.vapour, limit)
	}
	return r.temperature, r.temperature + r.radiantOffset, r.vapour
}

// dewPoint is that of the room's vapour, K. A constant room's is kept.
func (r *room) dewPoint(vapour float64) float64 {
	if vapour == r.vapour {
		return r.dew
	}
	return matter.DewPointAtVapourPressure(vapour)
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
