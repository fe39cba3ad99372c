package network

import (
	"math"
	"testing"

	"meltspan/design"
	"meltspan/internal/reference"
)

// alone cuts every link of a model but that from the table to the room.
func alone(t *testing.T, conductance float64) *Model {
	m := demo(t, "engine-on-ice", func(d *design.Design) { d.Room.Humidity.SI = 0 })
	for i := range m.fixed {
		m.fixed[i].conductance = 0
	}
	m.films, m.cavities, m.rim = nil, nil, nil
	for i := range m.zones {
		m.zones[i].half = 1e9
	}
	m.floorHalf = 1e9
	m.tableConductance = conductance
	return m
}

// A body with one conductance to its surroundings cools by an exponential: the
// closed form of a lumped body (Incropera, Fundamentals of Heat and Mass
// Transfer, eq. 5.6).
func TestLumpedCoolingFollowsTheClosedForm(t *testing.T) {
	const conductance = 0.5
	m := alone(t, conductance)
	m.Time(Options{Horizon: 1}) // sets the run up
	m.setPhase(m.firstPhase)
	m.start()
	w := m.work
	capacity := m.nodes[m.table].capacity
	room := m.room.temperature
	w.y[m.table] = capacity * (room + 30 - m.store.melting)
	constant := capacity / conductance
	h := constant / 40
	for step := range 80 {
		at := float64(step) * h
		m.prepare(at)
		m.advance(at, h)
		copy(w.y, w.trial)
	}
	got := m.store.melting + w.y[m.table]/capacity - room
	want := 30 * reference.Lumped(80*h/constant)
	if math.Abs(got-want) > 2e-3*30 {
		t.Errorf("%.4f K above the room, closed form %.4f K", got, want)
	}
}

// The integrator's error falls with the square of the step. Between 30 and 90 s
// the ice is still solid and everything is smooth: the order shows.
func TestIntegratorIsOfSecondOrder(t *testing.T) {
	m := blind(t, "solid")
	at := func(steps int) float64 {
		m.Time(Options{Horizon: 1})
		m.setPhase(m.firstPhase)
		m.running = false
		m.start()
		w := m.work
		time, h := 0.0, 0.05
		for time < 30-1e-9 { // the same finely computed start for all
			m.prepare(time)
			m.advance(time, h)
			copy(w.y, w.trial)
			time += h
		}
		h = 60 / float64(steps)
		for range steps {
			m.prepare(time)
			m.advance(time, h)
			copy(w.y, w.trial)
			time += h
		}
		m.setTemperatures(w.y)
		return m.load.lower.temperature(w.temperature)
	}
	exact := at(960)
	coarse, fine := math.Abs(at(15)-exact), math.Abs(at(30)-exact)
	if order := math.Log2(coarse / fine); order < 1.7 || order > 2.6 {
		t.Errorf("errors %.3g and %.3g K: order %.2f", coarse, fine, order)
	}
}
