package calibrate

import (
	"context"
	"fmt"
	"math"

	"meltspan/design"
	"meltspan/network"
	"meltspan/quantity"
	"meltspan/trial"
)

// Heated is what a heater of known power on the upper plate says: watts that
// rest on a meter and not on a handbook's film.
type Heated struct {
	Trial      string    `json:"trial"`
	Power      Estimate  `json:"power_W"`
	Difference Estimate  `json:"difference_K"`
	Excess     float64   `json:"plate_over_room_K"` // of the upper plate
	FilmHeat   Estimate  `json:"heat_from_room_W"`  // negative when the plate gives heat away
	Still      Estimate  `json:"still_conductance_W_per_K"`
	Ring       float64   `json:"correction_for_ring_wall"` // factor, by the network
	Steady     bool      `json:"steady"`
	Settings   []Setting `json:"settings"`
	Remarks    []string  `json:"remarks"`
}

// heaterTail is the share of the log, from its end, that is taken: by then the
// plates have settled.
const heaterTail = 0.4

// Heater reads the conductance at rest of a load off a log with a heater on its
// upper plate, the load standing still on its cold store:
//
//	K (Ttop - Tbottom) = P + G (Troom - Ttop) - C dTtop/dt
//
// Where the plate is held near the room, what the film G carries is small and
// with it its uncertainty.
func Heater(d *design.Design, t *trial.Trial, a Discrepancy) (*Heated, error) {
	if t.Kind != trial.PlateHeater {
		return nil, fmt.Errorf("trial %q is a %s, not a %s", t.Name, t.Kind, trial.PlateHeater)
	}
	bottom, top, power := t.Find(trial.BottomPlate), t.Find(trial.TopPlate), t.Find(trial.HeaterPower)
	if d.Load.TopPlate == nil || bottom == nil || top == nil || power == nil {
		return nil, fmt.Errorf("trial %q: a plate heater needs a design with an upper plate, logs of both plates, and the heater's power, as a log or by --heater", t.Name)
	}
	d, err := arranged(d, t, a)
	if err != nil {
		return nil, err
	}
	tt, tv := top.Good()
	bt, bv := bottom.Good()
	_, pv := power.Good()
	if len(tt) < 10 || len(bt) < 10 || len(pv) < 1 {
		return nil, fmt.Errorf("trial %q: too few good samples of plates and power", t.Name)
	}
	end := math.Min(tt[len(tt)-1], bt[len(bt)-1])
	from := end - heaterTail*(end-tt[0])
	warm, _ := meanBetween(tt, tv, from, end)
	cold, _ := meanBetween(bt, bv, from, end)
	film := newPlateFilm(d)
	stored := plateCapacity(d) * slope(tt, tv, from, end)
	room := d.Room.Temperature.SI
	h := &Heated{Trial: t.Name, Excess: warm - room}
	watts := average(pv)
	h.Power = Estimate{watts, stated(power.Uncertainty, a.Heater*watts)}
	sensor := stated(top.Uncertainty, a.Sensor)
	g := film.conductance(warm)
	h.FilmHeat = Estimate{g * (room - warm), math.Hypot(film.uncertainty(warm)*(room-warm), g*math.Hypot(sensor, d.Room.Temperature.Spread))}
	h.Difference = Estimate{warm - cold, math.Hypot(sensor, stated(bottom.Uncertainty, a.Sensor))}
	heat := watts + h.FilmHeat.Value - stored
	if !(h.Difference.Value > 1) || !(heat > 0) {
		return nil, fmt.Errorf("trial %q: the plates differ by %.1f K and pass %.2f W: no conductance follows from that", t.Name, h.Difference.Value, heat)
	}
	still := heat / h.Difference.Value
	// The upper plate's sensor enters twice, by the film and by the difference,
	// both ways making the conductance smaller when it reads high.
	byTop := sensor * (g + still) / h.Difference.Value
	byBottom := stated(bottom.Uncertainty, a.Sensor) * still / h.Difference.Value
	byFilm := film.uncertainty(warm) * (room - warm) / h.Difference.Value
	byRoom := g * d.Room.Temperature.Spread / h.Difference.Value
	h.Still = Estimate{still, math.Sqrt(byTop*byTop + byBottom*byBottom + byFilm*byFilm + byRoom*byRoom + math.Pow(h.Power.Uncertainty/h.Difference.Value, 2))}
	if err := h.correct(d, t, a, from, end); err != nil {
		return nil, err
	}
	h.Steady = math.Abs(stored) < 0.05*heat
	if !h.Steady {
		h.Remarks = append(h.Remarks, "The plate still stores or gives away more than a twentieth of the heat: log for longer at a steady power.")
	}
	if math.Abs(h.FilmHeat.Value) > 0.3*heat {
		h.Remarks = append(h.Remarks, fmt.Sprintf("The air film carries %.2f W of %.2f W. Choose the power so that the upper plate stays within a few kelvins of the room: then the film hardly counts.", math.Abs(h.FilmHeat.Value), heat))
	}
	h.Remarks = append(h.Remarks, "A heater left alone can burn: watch it, keep its power low, keep mains voltage away from water.")
	h.Settings = []Setting{newSetting("load.engine.still_conductance", quantity.ThermalConductance, h.Still.Value, h.Still.Uncertainty, "heater test "+t.Name)}
	if d.Load.Engine == nil {
		h.Settings = nil
	}
	return h, nil
}

// correct takes out what the balance of the upper plate leaves out: the heat that
// the engine's ring wall takes from the room. The network, heated alike and with
// the conductance found, is read by the same balance, and the ratio of what it
// has to what is read off it corrects the conductance; a third of the correction
// stays uncertain (judgement).
func (h *Heated) correct(d *design.Design, t *trial.Trial, a Discrepancy, from, end float64) error {
	if d.Load.Engine == nil {
		return nil
	}
	read := h.Still.Value
	h.Ring = 1
	for range 2 {
		like := d.Clone()
		like.Load.Engine.StillConductance = quantity.Value{SI: h.Still.Value, Origin: quantity.Fitted}
		like.Rederive()
		if err := heated(like, t, a); err != nil {
			return err
		}
		m, err := network.Build(like)
		if err != nil {
			return fmt.Errorf("trial %q: %w", t.Name, err)
		}
		run, err := m.Run(context.Background(), network.Options{Horizon: end, Course: true})
		if err != nil {
			return fmt.Errorf("trial %q: %w", t.Name, err)
		}
		mean := func(channel string) float64 {
			sum := 0.0
			const points = 50
			for i := range points {
				sum += interpolate(run.Times, run.Channel(channel).Values, from+(end-from)*(float64(i)+0.5)/points) / points
			}
			return sum
		}
		top := mean("top_plate")
		film := newPlateFilm(like)
		course := run.Channel("top_plate").Values
		stored := plateCapacity(like) * (interpolate(run.Times, course, end) - interpolate(run.Times, course, from)) / (end - from)
		heat := h.Power.Value + film.between(top, mean("room"))*(mean("room")-top) - stored
		h.Ring = h.Still.Value / (heat / (top - mean("bottom_plate")))
		h.Still.Value = read * h.Ring
	}
	h.Still.Uncertainty = math.Hypot(h.Still.Uncertainty*h.Ring, read*(h.Ring-1)/3)
	return nil
}

// Blank is what a weighed melt says of the stand alone.
type Blank struct {
	Trial    string   `json:"trial"`
	Melted   Estimate `json:"melted_kg"`
	Over     float64  `json:"over_s"`
	Heat     Estimate `json:"mean_heat_W"`
	Lid      Estimate `json:"heat_through_lid_W"` // assumed
	Leak     Estimate `json:"stand_leak_W_per_K"` // of wall, base and rim together, per kelvin of room over ice
	Drive    float64  `json:"room_over_melting_K"`
	Remarks  []string `json:"remarks"`
	Absolute bool     `json:"absolute"`
}

// Melt reads the stand's own leak off a weighed melt: mass melted between two
// weighings times the heat of fusion, over the time between them. The first
// weighing is taken once the ice is at its melting point, so that it stores
// nothing.
func Melt(d *design.Design, t *trial.Trial, a Discrepancy) (*Blank, error) {
	if t.Kind != trial.BlankMelt {
		return nil, fmt.Errorf("trial %q is a %s, not a %s", t.Name, t.Kind, trial.BlankMelt)
	}
	weights := t.Find(trial.Weight)
	if weights == nil {
		return nil, fmt.Errorf("trial %q: the melted water was not weighed", t.Name)
	}
	d, err := arranged(d, t, a)
	if err != nil {
		return nil, err
	}
	times, values := weights.Good()
	if len(times) < 2 {
		return nil, fmt.Errorf("trial %q: two weighings are needed at least, the first once water runs, the last while ice is left", t.Name)
	}
	last := len(times) - 1
	over := times[last] - times[0]
	scale := stated(weights.Uncertainty, a.Scale)
	b := &Blank{Trial: t.Name, Over: over, Absolute: true}
	b.Melted = Estimate{values[last] - values[0], math.Sqrt2 * scale}
	b.Drive = d.Room.Temperature.SI - d.Store.MeltingPoint.SI
	if !(over > 0) || !(b.Melted.Value > 0) || !(math.Abs(b.Drive) > 1) {
		return nil, fmt.Errorf("trial %q: %.1f g melted in %s with the room %.1f K above melting: no leak follows from that", t.Name,
			1000*b.Melted.Value, quantity.FormatDuration(over), b.Drive)
	}
	latent := d.Store.LatentHeat.SI
	b.Heat = Estimate{b.Melted.Value * latent / over, math.Hypot(b.Melted.Uncertainty*latent/over, b.Melted.Value*d.Store.LatentHeat.Spread/over)}
	b.Lid = Estimate{a.Lid * b.Drive, a.Lid * b.Drive / 2}
	leak := (b.Heat.Value - b.Lid.Value) / b.Drive
	drive := d.Room.Temperature.Spread / b.Drive * leak
	b.Leak = Estimate{leak, math.Sqrt(math.Pow(b.Heat.Uncertainty/b.Drive, 2) + math.Pow(b.Lid.Uncertainty/b.Drive, 2) + drive*drive)}
	if values[last] > 0.8*d.Store.Mass.SI {
		b.Remarks = append(b.Remarks, "More than four fifths had melted: late in the melt the ice no longer touches wall and floor as it did, and the leak is less than at first.")
	}
	b.Remarks = append(b.Remarks, fmt.Sprintf("The lid is taken to pass %.3f W, known to half of that; cover it well.", b.Lid.Value))
	return b, nil
}
