package predict

import (
	"math"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/network"
	"meltspan/result"
)

// CeilingOf works out the ceilings of a design for a run of it.
func CeilingOf(d *design.Design, run *result.Run) (Ceiling, error) {
	m, err := network.Build(d)
	if err != nil {
		return Ceiling{}, err
	}
	return ceilingOf(d, m, run), nil
}

// stillAir is the conductivity of still air, W/(m K), at some 12 degC.
var stillAir = matter.DryAir(285, matter.StandardPressure).Conductivity

// substanceOf is the store's substance with the melting point and latent heat
// that the design gives it.
func substanceOf(d *design.Design) (matter.Substance, bool) {
	s, ok := matter.FindSubstance(d.Store.Substance)
	if d.Store.MeltingPoint.Present() {
		s.Melting.Value = d.Store.MeltingPoint.SI
	}
	if d.Store.LatentHeat.Present() {
		s.Latent.Value = d.Store.LatentHeat.SI
	}
	return s, ok
}

// storeLevel is the temperature, K, at which the store does most of its work:
// its melting point when it changes phase in the run, else where it starts.
func storeLevel(d *design.Design) float64 {
	s, ok := substanceOf(d)
	if !ok || !s.HasPhaseChange {
		return d.Store.Temperature.SI
	}
	start, room := d.Store.Temperature.SI, d.Room.Temperature.SI
	between := start < s.Melting.Value != (room < s.Melting.Value)
	if d.Store.Form != design.FormLiquid || between {
		return s.Melting.Value
	}
	return start
}

// enthalpy of one kilogram of the substance at a temperature, J/kg from solid
// at the melting point; solid tells which side the melting point itself is on.
func enthalpy(s matter.Substance, temperature float64) float64 {
	if !s.HasPhaseChange || temperature > s.Melting.Value {
		h := s.LiquidSpecificHeat.Value * (temperature - s.Melting.Value)
		if s.HasPhaseChange {
			h += s.Latent.Value
		}
		return h
	}
	return s.SolidSpecificHeat.Value * (temperature - s.Melting.Value)
}

// ceilingOf works out the best that this charge could do under this load in
// this envelope.
func ceilingOf(d *design.Design, m *network.Model, of *result.Run) Ceiling {
	run := of.RunTime
	substance, ok := substanceOf(d)
	if !ok {
		return Ceiling{}
	}
	start, end := d.Store.Temperature.SI, m.UselessAbove()
	first := enthalpy(substance, start)
	if substance.HasPhaseChange && start == substance.Melting.Value && d.Store.Form == design.FormLiquid {
		first += substance.Latent.Value
	}
	c := Ceiling{
		Capacity:    math.Abs(enthalpy(substance, end)-first) * d.Store.Mass.SI,
		LeastIntake: m.LeastIntake(),
	}
	c.AirLeak = stillAirConductance(d) * math.Abs(d.Room.Temperature.SI-storeLevel(d))
	if !(c.LeastIntake > 0) {
		// Nothing ends the run: what would end it lies beyond the room.
		c.NoLeak, c.StillAir = math.Inf(1), math.Inf(1)
		return c
	}
	c.NoLeak = c.Capacity / c.LeastIntake
	c.StillAir = stillAirTime(d, substance, c, end)
	if c.NoLeak > 0 {
		c.Reached, c.ReachedAir = run/c.NoLeak, run/c.StillAir
		c.Split, c.SplitAir = split(c, of, c.NoLeak), split(c, of, c.StillAir)
	}
	return c
}

// stillAirTime is how long the capacity lasts when the load takes its least
// intake and still air leaks in proportion to the difference to the room: at
// the melting point capacity over power, and while the store warms (or cools)
// the closed form of C dT/dt = Q + G (room - T).
func stillAirTime(d *design.Design, s matter.Substance, c Ceiling, end float64) float64 {
	if c.Capacity == 0 {
		return 0
	}
	g, mass := stillAirConductance(d), d.Store.Mass.SI
	// Heat flows towards the store's side of the room: a cold store gains it,
	// a hot one loses it, and beyond the room's temperature it turns.
	way := 1.0
	if end < d.Store.Temperature.SI {
		way = -1
	}
	flow := func(t float64) float64 { return c.LeastIntake + way*g*(d.Room.Temperature.SI-t) }
	sensible := func(from, to, heat float64) float64 {
		a, b := flow(from), flow(to)
		if !(a > 0) || !(b > 0) {
			return math.Inf(1)
		}
		if math.Abs(a-b) < 1e-9*a {
			return mass * heat * math.Abs(to-from) / a
		}
		return math.Abs(mass * heat / g * math.Log(a/b))
	}
	start, melting := d.Store.Temperature.SI, s.Melting.Value
	low, high := math.Min(start, end), math.Max(start, end)
	total := 0.0
	if high > melting || !s.HasPhaseChange {
		from := low
		if s.HasPhaseChange {
			from = math.Max(low, melting)
		}
		total += sensible(from, high, s.LiquidSpecificHeat.Value)
	}
	if s.HasPhaseChange && low < melting {
		total += sensible(low, math.Min(high, melting), s.SolidSpecificHeat.Value)
	}
	if latent := c.Capacity - math.Abs(sensibleEnthalpy(s, low, high))*mass; latent > 1e-6*c.Capacity {
		total += latent / flow(melting)
	}
	return total
}

// sensibleEnthalpy is the heat of warming one kilogram without its latent
// heat, J/kg.
func sensibleEnthalpy(s matter.Substance, low, high float64) float64 {
	if !s.HasPhaseChange {
		return s.LiquidSpecificHeat.Value * (high - low)
	}
	melting := s.Melting.Value
	return s.SolidSpecificHeat.Value*(math.Min(high, melting)-math.Min(low, melting)) +
		s.LiquidSpecificHeat.Value*(math.Max(high, melting)-math.Max(low, melting))
}

// stillAirConductance is that of still air, without radiation, between cup and
// envelope: the cylinder's side, its floor, and the edge between them (shape
// factor 0.54 per length; Incropera, Fundamentals of Heat and Mass Transfer,
// 7th ed., Table 4.1, case 8).
func stillAirConductance(d *design.Design) float64 {
	cup, depth := d.Stand.Cup.Diameter.SI/2, d.Stand.Cup.Depth.SI
	outer := math.Max(d.Envelope.Diameter.SI, d.Stand.OuterDiameter.SI) / 2
	below := math.Max(d.Envelope.Height.SI, d.Stand.Height.SI) - depth
	side := 2 * math.Pi * depth / math.Log(outer/cup)
	floor := math.Pi * cup * cup / below
	edge := 0.54 * 2 * math.Pi * cup
	return stillAir * (side + floor + edge)
}
