package next

import (
	"context"
	"fmt"
	"math"

	"meltspan/design"
	"meltspan/network"
	"meltspan/predict"
	"meltspan/printing"
	"meltspan/quantity"
	"meltspan/result"
)

// Cost is what a trial takes, s.
type Cost struct {
	Print    float64 `json:"print_s"`
	Freeze   float64 `json:"freeze_s"`
	Run      float64 `json:"run_s"`
	Handling float64 `json:"handling_s"` // setting up and clearing away: a guess
}

// Total is all of it, one after the other.
func (c Cost) Total() float64 { return c.Print + c.Freeze + c.Run + c.Handling }

// Errors of reading, one standard uncertainty, and other habits of a bench; all
// common practice.
const (
	clockError   = 120.0      // s, of the moment at which it stalls
	thermometer  = 0.3        // K, of two thermometers checked against each other
	scaleError   = 0.001      // kg, of melt that is poured off and weighed
	benchStill   = 0.10       // of a conductance between two baths
	benchStall   = 0.2        // K
	heaterPower  = 0.5        // W
	heaterError  = 0.02       // of the power, by volts and amperes
	handling     = 1800.0     // s
	benchTime    = 3 * 3600.0 // s
	logMoments   = 3          // of a logged run that are looked at
	blankMoments = 2          // at which the melt is weighed
)

// benchID is the trial that needs neither stand nor charge.
const benchID = "bench"

// plan is a candidate trial and how it is simulated.
type plan struct {
	Trial
	design  *design.Design
	horizon float64 // s; 0: as the options say
	moments []float64
	read    func(d *design.Design, run *result.Run, moments []float64) []float64
	errors  []float64 // of each reading; negative: relative to it
}

// plans lists the candidate trials that make sense for a design and its
// revisions. run is the design's nominal run.
func plans(d *design.Design, revisions []*design.Design, run *result.Run, o *Options) []plan {
	var out []plan
	add := func(p plan) {
		if p.ID != benchID {
			p.Cost.Freeze = freezing(p.design)
		}
		out = append(out, p)
	}
	moments := evenly(run.RunTime, 0.15, 0.85, logMoments)
	logged := "both plates logged"
	if d.Load.TopPlate == nil {
		logged = "the lower plate logged"
	}
	print := 0.0
	if !o.Printed {
		print = printing.Nominal(d).Time.Value
	}
	cost := Cost{Print: print, Run: run.RunTime, Handling: handling}
	add(plan{Trial: Trial{ID: "clock", Name: "run it again with a clock only", Cost: cost}, design: d, read: readClock, errors: []float64{clockError}})
	add(plan{Trial: Trial{ID: "logged", Name: "run it again with " + logged, Cost: cost}, design: d, moments: moments, read: readPlates, errors: plateErrors(d, logMoments)})
	if d.ColdStore() && d.Load.TopPlate != nil && d.Load.Sample == nil {
		add(plan{Trial: Trial{ID: "heater", Name: fmt.Sprintf("run it with a heater of %s on the top plate, %s", quantity.Format(heaterPower, quantity.Power, 2), logged), Cost: cost},
			design: heated(d), moments: moments, read: readPlates, errors: plateErrors(d, logMoments)})
	}
	if d.Load.Engine != nil {
		add(plan{Trial: Trial{ID: benchID, Name: "characterise the engine on the bench, between two baths", Cost: Cost{Run: benchTime, Handling: handling}},
			read: readBench, errors: []float64{-benchStill, benchStall}, design: d})
	}
	if melts(d, run) {
		blankTime := 0.8 * run.RunTime
		blankCost := Cost{Print: print, Run: blankTime, Handling: handling}
		add(plan{Trial: Trial{ID: "blank", Name: "let it melt without its load under a foam lid, and weigh the melt", Cost: blankCost},
			design: lidded(d, 0), horizon: blankTime, moments: evenly(blankTime, 0.5, 1, blankMoments), read: readMelt, errors: meltErrors(blankMoments, 0)})
		add(plan{Trial: Trial{ID: "dummy", Name: fmt.Sprintf("run it with a resistor of %s in place of its load, weigh the melt and log the plate", quantity.Format(heaterPower, quantity.Power, 2)), Cost: blankCost},
			design: lidded(d, heaterPower), horizon: blankTime, moments: evenly(blankTime, 0.5, 1, blankMoments), read: readMeltAndPlate, errors: meltErrors(blankMoments, blankMoments)})
	}
	for i, r := range revisions {
		own := Cost{Print: printing.Nominal(r).Time.Value, Handling: handling}
		add(plan{Trial: Trial{ID: fmt.Sprintf("revision-%d", i+1), Name: "print and run " + r.Name + ", " + logged, Revision: i + 1, Cost: own},
			design: r, moments: moments, read: readPlates, errors: plateErrors(r, logMoments)})
	}
	return out
}

// paced reports whether a reading is a time or a melted mass, which the model
// may get wrong as a whole.
func (p *plan) paced(reading int) bool {
	return p.errors[reading] == clockError || p.errors[reading] == scaleError
}

// evenly spreads n moments over a run.
func evenly(time, from, to float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		share := 0.0
		if n > 1 {
			share = float64(i) / float64(n-1)
		}
		out[i] = time * (from + share*(to-from))
	}
	return out
}

func freezing(d *design.Design) float64 {
	if f := predict.FreezingNominal(d); f != nil && !math.IsNaN(f.Time) {
		return f.Time
	}
	return 0
}

// melts reports whether the store is solid at the start and melts in the run.
func melts(d *design.Design, run *result.Run) bool {
	solid := run.Channel("solid")
	return d.ColdStore() && d.Store.Form != design.FormLiquid && solid != nil && len(solid.Values) > 1
}

// heated is the design with a heater of known power on its upper plate: heat
// that comes in there as sun would.
func heated(d *design.Design) *design.Design {
	h := d.Clone()
	area := math.Pi / 4 * h.Load.TopPlate.Diameter.SI * h.Load.TopPlate.Diameter.SI
	flux := heaterPower / area
	h.Room.Sun = quantity.Value{SI: flux, Spread: heaterError * flux, Origin: quantity.Measured}
	h.Room.Absorptivity = quantity.Value{SI: 1, Origin: quantity.Stated}
	h.Rederive()
	return h
}

// lidded is the stand with its lower plate under a lid that lets nothing
// through, and a resistor in it.
func lidded(d *design.Design, power float64) *design.Design {
	l := d.Clone()
	l.Load.Engine, l.Load.Generator, l.Load.Sample, l.Load.TopPlate = nil, nil, nil, nil
	l.Load.Leak = &design.Leak{
		Power: quantity.Value{SI: power, Spread: heaterError * power, Origin: quantity.Measured},
		Limit: quantity.Value{SI: l.Room.Temperature.SI - 0.5, Origin: quantity.Stated},
	}
	l.Rederive()
	return l
}

func readClock(_ *design.Design, run *result.Run, _ []float64) []float64 {
	return []float64{run.RunTime}
}

func readPlates(_ *design.Design, run *result.Run, moments []float64) []float64 {
	out := []float64{run.RunTime}
	for _, id := range []string{"bottom_plate", "top_plate"} {
		if c := run.Channel(id); c != nil {
			for _, t := range moments {
				out = append(out, at(run.Times, c.Values, t))
			}
		}
	}
	return out
}

func plateErrors(d *design.Design, moments int) []float64 {
	out := []float64{clockError}
	plates := 1
	if d.Load.TopPlate != nil || d.Load.Sample != nil {
		plates = 2
	}
	for range plates * moments {
		out = append(out, thermometer)
	}
	return out
}

// readBench is what two baths and a clock tell about an engine: its conductance
// when it stands still, and the difference at which it stalls.
func readBench(d *design.Design, _ *result.Run, _ []float64) []float64 {
	e := d.Load.Engine
	still := d.Model.Still.SI
	if e.StillConductance.Present() {
		still = e.StillConductance.SI
	}
	return []float64{still, e.StallDifference.SI}
}

func readMelt(d *design.Design, run *result.Run, moments []float64) []float64 {
	var out []float64
	for _, t := range moments {
		left := 0.0
		if c := run.Channel("solid"); c != nil {
			left = at(run.Times, c.Values, t)
		}
		out = append(out, d.Store.Mass.SI-left)
	}
	return out
}

func readMeltAndPlate(d *design.Design, run *result.Run, moments []float64) []float64 {
	out := readMelt(d, run, moments)
	plate := run.Channel("bottom_plate")
	for _, t := range moments {
		out = append(out, at(run.Times, plate.Values, t))
	}
	return out
}

func meltErrors(weighings, logs int) []float64 {
	var out []float64
	for range weighings {
		out = append(out, scaleError)
	}
	for range logs {
		out = append(out, thermometer)
	}
	return out
}

// at is the value of a course at a moment, by straight lines, held at the ends.
func at(times, values []float64, moment float64) float64 {
	for i := 1; i < len(times); i++ {
		if times[i] >= moment {
			w := (moment - times[i-1]) / (times[i] - times[i-1])
			return values[i-1] + w*(values[i]-values[i-1])
		}
	}
	return values[len(values)-1]
}

// simulate reads what a plan would show on a design drawn.
func (p *plan) simulate(ctx context.Context, d *design.Design, cold bool, horizon float64) ([]float64, error) {
	if p.ID == benchID {
		return p.read(d, nil, nil), nil
	}
	m, err := network.BuildDraw(d, cold)
	if err != nil { // its drawn sizes leave no room: nothing to read
		out := make([]float64, len(p.errors))
		for i := range out {
			out[i] = math.NaN()
		}
		return out, nil
	}
	if p.horizon > 0 {
		horizon = p.horizon
	}
	run, err := m.Run(ctx, network.Options{Horizon: horizon, Course: true})
	if err != nil {
		return nil, err
	}
	return p.read(d, run, p.moments), nil
}
