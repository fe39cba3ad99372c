package synthetic

import (
	"context"
	"math"
	"math/rand/v2"

	"meltspan/design"
	"meltspan/matter"
	"meltspan/network"
	"meltspan/quantity"
	"meltspan/transfer"
	"meltspan/trial"
)

// WarmPlate makes a bench log of the design's engine on a plate whose
// temperature goes down and up again three times, slowly past the stall. The
// design must state its still conductance. Sensors, noise and interval are those
// of the world.
func WarmPlate(name string, d *design.Design, w World, source *rand.Rand) *trial.Trial {
	e, p := d.Load.Engine, d.Load.TopPlate
	material := d.MaterialByName(p.Material)
	area := math.Pi / 4 * p.Diameter.SI * p.Diameter.SI
	capacity := area * p.Thickness.SI * material.Density.SI * material.SpecificHeat.SI
	room := d.Room.Temperature.SI
	air := matter.DryAir(room, d.Room.Pressure.SI)
	length := p.Diameter.SI / 4
	film := func(plate float64) float64 {
		free := d.Model.TopFilm.SI * transfer.NusseltHorizontalUnstable(transfer.Rayleigh(air, math.Max(plate-room, 0.01), length)) * air.Conductivity / length
		chord := math.Pi / 4 * p.Diameter.SI
		forced := transfer.NusseltForcedPlate(d.Room.AirSpeed.SI*chord/air.KinematicViscosity(), air.Prandtl()) * air.Conductivity / chord
		radiation := p.Emissivity.SI * d.Model.Radiation.SI * transfer.RadiationCoefficient(plate, room)
		face := area + math.Pi*p.Diameter.SI*p.Thickness.SI
		if ring := e.ChamberDiameter.SI + 2*e.RingWall.SI; ring < p.Diameter.SI {
			face += math.Pi / 4 * (p.Diameter.SI*p.Diameter.SI - ring*ring)
		}
		return face * (transfer.Mixed(free, forced) + radiation)
	}
	t := &trial.Trial{Name: name, Kind: trial.WarmPlate, Design: d.Name, Start: math.NaN(), Note: "invented"}
	bottom := trial.Series{Quantity: trial.BottomPlate, Source: "invented", Uncertainty: w.Sensor}
	top := trial.Series{Quantity: trial.TopPlate, Source: "invented", Uncertainty: w.Sensor}
	speed := trial.Series{Quantity: trial.Speed, Source: "invented"}
	ambient := trial.Series{Quantity: trial.Room, Source: "invented", Uncertainty: w.Sensor}
	biasBottom, biasTop, biasRoom := w.Sensor*source.NormFloat64(), w.Sensor*source.NormFloat64(), w.Sensor*source.NormFloat64()

	upper := room + 4
	running := true
	stall := e.StallDifference.SI + 0.3*source.NormFloat64()
	const step = 2.0
	for at := 0.0; at <= 3*cycleLength; at += step {
		lower := room + plateOver(math.Mod(at, cycleLength), e.StallDifference.SI)
		difference := lower - upper
		switch {
		case running && difference < stall:
			running = false
			stall = e.StallDifference.SI + 0.3*source.NormFloat64()
		case !running && difference > e.StartDifference.SI+1:
			running = true
		}
		turns := 0.0
		if running {
			turns = math.Max(0, e.StallSpeed.SI+e.SpeedSlope.SI*(difference-e.StallDifference.SI))
		}
		heat := (e.StillConductance.SI + e.IntakePerCycle.SI*turns) * difference
		upper += step * (heat - film(upper)*(upper-room)) / capacity
		if math.Mod(at, w.Interval) < step {
			add := func(s *trial.Series, value, noise float64) {
				s.Samples = append(s.Samples, trial.Sample{Time: at, Value: value + noise*source.NormFloat64()})
			}
			add(&bottom, lower+biasBottom, w.Noise)
			add(&top, upper+biasTop, w.Noise)
			add(&ambient, room+biasRoom, w.Noise)
			add(&speed, turns, 0.005*turns)
		}
	}
	t.Series = []trial.Series{bottom, top, ambient, speed}
	return t
}

// cycleLength of the warm plate's course, s: two hours and more down, a quarter up.
const cycleLength = 9000.0

// plateOver is how far the warm plate is over the room, K. The engine's share of
// it is about half.
func plateOver(at, stall float64) float64 {
	const down = 8100
	high, low := 4.2*stall, 1.3*stall
	if at < down {
		return high + (low-high)*at/down
	}
	return low + (high-low)*math.Min((at-down)/600, 1)
}

// Heated makes a log with a heater of a power, W, on the upper plate, the engine
// held still.
func Heated(name string, d *design.Design, power, hours float64, w World, source *rand.Rand) (*trial.Trial, error) {
	d = d.Clone()
	area := math.Pi / 4 * d.Load.TopPlate.Diameter.SI * d.Load.TopPlate.Diameter.SI
	d.Room.Sun = quantity.Value{SI: power / area, Origin: quantity.Stated}
	d.Room.Absorptivity = quantity.Value{SI: 1, Origin: quantity.Stated}
	d.Load.Engine.StallDifference.SI, d.Load.Engine.StartDifference.SI = 79, 80
	m, err := model(d, w.Section)
	if err != nil {
		return nil, err
	}
	run, err := m.Run(context.Background(), network.Options{Course: true, Horizon: 3600 * hours})
	if err != nil {
		return nil, err
	}
	t := &trial.Trial{Name: name, Kind: trial.PlateHeater, Design: d.Name, Start: math.NaN(), Note: "invented"}
	w.Turning, w.Tail = false, 0
	w.log(t, d, run, Truth{RunTime: 3600 * hours}, source)
	meter := 1 + 0.01*source.NormFloat64()
	t.Series = append(t.Series, trial.Series{Quantity: trial.HeaterPower, Source: "invented", Uncertainty: 0.01 * power,
		Samples: []trial.Sample{{Time: 0, Value: power * meter}, {Time: 3600 * hours, Value: power * meter}}})
	return t, nil
}

// Blank makes a weighed melt of the stand without its load, under a lid of a
// conductance, W/K: a weighing every half hour.
func Blank(name string, d *design.Design, lid, hours float64, w World, source *rand.Rand) (*trial.Trial, error) {
	d = d.Clone()
	d.Load = design.Load{BottomPlate: d.Load.BottomPlate, Leak: &design.Leak{
		Power: quantity.Value{SI: lid * (d.Room.Temperature.SI - d.Store.MeltingPoint.SI), Origin: quantity.Stated},
		Limit: quantity.Value{SI: d.Room.Temperature.SI + 100, Origin: quantity.Stated},
	}}
	m, err := model(d, w.Section)
	if err != nil {
		return nil, err
	}
	run, err := m.Run(context.Background(), network.Options{Course: true, Horizon: 3600 * hours})
	if err != nil {
		return nil, err
	}
	t := &trial.Trial{Name: name, Kind: trial.BlankMelt, Design: d.Name, Start: math.NaN(), Note: "invented"}
	room := w
	room.Turning, room.Tail = false, 0
	room.log(t, d, run, Truth{RunTime: 3600 * hours}, source)
	kept := t.Series[:0]
	for _, s := range t.Series {
		if s.Quantity != trial.BottomPlate {
			kept = append(kept, s)
		}
	}
	weight := trial.Series{Quantity: trial.Weight, Source: "invented", Uncertainty: 0.3e-3}
	solid := run.Channel("solid")
	for at := 3600.0; at <= 3600*hours; at += 1800 {
		melted := d.Store.Mass.SI - interpolate(run.Times, solid.Values, at)
		weight.Samples = append(weight.Samples, trial.Sample{Time: at, Value: melted + 0.3e-3*source.NormFloat64()})
	}
	t.Series = append(kept, weight)
	return t, nil
}
