package network

import (
	"math"
	"slices"

	"meltspan/matter"
	"meltspan/quantity"
	"meltspan/result"
)

// course records what a chart shows.
type course struct {
	times    []float64
	channels []result.Channel
	probes   []func(r *runner) float64
}

func newCourse(m *Model) *course {
	c := &course{times: make([]float64, 0, 256)}
	add := func(id, label string, kind quantity.Kind, probe func(r *runner) float64) {
		c.channels = append(c.channels, result.Channel{ID: id, Label: label, Kind: kind, Values: make([]float64, 0, 256)})
		c.probes = append(c.probes, probe)
	}
	temperature := func(p *plate) func(*runner) float64 {
		return func(r *runner) float64 { return p.temperature(r.m.work.temperature) }
	}
	if !m.load.upper.none() {
		label := "upper plate"
		if m.load.kind == loadSample {
			label = "sample"
		}
		add("top_plate", label, quantity.Temperature, temperature(&m.load.upper))
	}
	add("bottom_plate", "lower plate", quantity.Temperature, temperature(&m.load.lower))
	add("store", "store, mean", quantity.Temperature, func(r *runner) float64 {
		return r.m.storeTemperature()
	})
	add("outside", "outside of the stand, coldest", quantity.Temperature, func(r *runner) float64 {
		coldest := math.Inf(1)
		r.m.eachFace(func(f *face) {
			if r.m.nodes[f.node].group == groupWall {
				coldest = min(coldest, r.m.work.temperature[f.node])
			}
		})
		return coldest
	})
	add("room", "room air", quantity.Temperature, func(r *runner) float64 {
		t, _, _ := r.m.room.at(r.time)
		return t
	})
	add("dew_point", "dew point", quantity.Temperature, func(r *runner) float64 {
		_, _, vapour := r.m.room.at(r.time)
		if vapour <= 0 {
			return math.NaN()
		}
		return matter.DewPointAtVapourPressure(vapour)
	})
	if !m.load.upper.none() && m.load.kind != loadSample {
		add("difference", "plate difference", quantity.TemperatureDifference, func(r *runner) float64 {
			return r.m.load.difference(r.m.work.temperature)
		})
	}
	if m.load.kind == loadEngine {
		add("speed", "speed", quantity.Frequency, func(r *runner) float64 {
			if !r.m.running {
				return 0
			}
			return r.m.load.turning(r.m.load.difference(r.m.work.temperature))
		})
	}
	if m.store.changesPhase {
		add("solid", m.store.solidName, quantity.Mass, func(r *runner) float64 {
			return max(r.m.work.y[len(r.m.nodes)+stateSolid], 0)
		})
	}
	add("gap", "gap under the plate", quantity.Length, func(r *runner) float64 { return r.m.work.geometry.plateGap() })
	add("level", "liquid level in the cup", quantity.Length, func(r *runner) float64 { return r.m.work.geometry.level })
	add("tray", "tray fill", quantity.Volume, func(r *runner) float64 { return r.m.trayFill() })
	if m.load.kind != loadLeak {
		add("intake", "heat into the load", quantity.Power, func(r *runner) float64 {
			return r.m.load.intake(r.m.work.q)
		})
	}
	return c
}

// storeTemperature is the mean of solid and liquid, K.
func (m *Model) storeTemperature() float64 {
	masses := m.work.y[len(m.nodes):]
	solid, liquid := max(masses[stateSolid], 0), max(masses[stateLiquid], 0)
	temperature := m.work.temperature[m.store.node]
	switch {
	case m.phase == phaseFreezing:
		return m.store.melting
	case m.phase == phaseMelting && solid+liquid > 0:
		return (solid*m.store.melting + liquid*temperature) / (solid + liquid)
	}
	return temperature
}

// plateGap is the distance from plate to whatever of the store is nearest.
func (g *geometry) plateGap() float64 {
	if g.areaSolid > 0 {
		return g.gapSolid
	}
	return g.gapLiquid
}

func (c *course) sample(r *runner, time float64) {
	if n := len(c.times); n > 0 && c.times[n-1] == time {
		return
	}
	c.times = append(c.times, time)
	for i := range c.channels {
		c.channels[i].Values = append(c.channels[i].Values, c.probes[i](r))
	}
}

// shown leaves out the course of a solid that never was.
func (c *course) shown() []result.Channel {
	out := make([]result.Channel, 0, len(c.channels))
	for _, channel := range c.channels {
		if channel.ID == "solid" && !slices.ContainsFunc(channel.Values, func(v float64) bool { return v > 0 }) {
			continue
		}
		out = append(out, channel)
	}
	return out
}
