package calibrate

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"meltspan/calibrate/internal/synthetic"
	"meltspan/design"
	"meltspan/network"
	"meltspan/trial"
)

// measuredEngine is the demo design with a conductance of its engine stated.
func measuredEngine(t testing.TB) *design.Design {
	t.Helper()
	text := strings.Replace(string(design.Demo()), "    chamber_height:", "    still_conductance: 0.11 W/K +- 40 %\n    chamber_height:", 1)
	d, err := design.Parse("demo.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func bare(sensor float64) synthetic.World {
	return synthetic.World{Pace: 1, Length: 7000, Sensor: sensor, Noise: 0.05, Interval: 10, Room: true}
}

// An engine simulated by its heat balance alone, on truths drawn near the
// design: what the log says of it lies within the stated uncertainties as often
// as it should.
func TestCharacteriseFindsTheEngine(t *testing.T) {
	d := measuredEngine(t)
	held, of := map[string]int{}, 30
	for seed := range of {
		source := rand.New(rand.NewPCG(uint64(seed), 12))
		truth, _ := drawnTruth(t, d, source)
		e := truth.Load.Engine
		e.StartDifference.SI = 1.15 * e.StallDifference.SI
		log := synthetic.WarmPlate("bench", truth, bare(0.25), source)
		l, err := Characterise(d, log, DefaultDiscrepancy())
		if err != nil {
			t.Fatal(err)
		}
		for what, c := range map[string]struct {
			got  Estimate
			want float64
		}{
			"stall difference": {l.Stall, e.StallDifference.SI}, "still conductance": {l.Still, e.StillConductance.SI},
			"intake per cycle": {l.Cycle, e.IntakePerCycle.SI},
		} {
			if c.got.Interval().Holds(c.want) {
				held[what]++
			}
		}
		if seed == 0 {
			if l.Stalls != 3 || !l.Enough || len(l.Settings) != 5 {
				t.Errorf("%d stalls, enough %v, settings %v, remarks %q", l.Stalls, l.Enough, l.Settings, l.Remarks)
			}
		}
	}
	for what, n := range held {
		if n < 23 { // of 30 with a chance of 0.9 each: fewer than 23 come once in a hundred times
			t.Errorf("%s: %d of %d 90 %% intervals hold the truth", what, n, of)
		}
		t.Log(what, n)
	}
}

// By hand: 2 W with the plate at the room's temperature, 16 K over the other,
// make 0.125 W/K; the film passes nothing. What the network adds for the ring wall
// stays within a tenth.
func TestHeaterByHand(t *testing.T) {
	d := measuredEngine(t)
	log := steady(trial.PlateHeater, map[trial.Quantity]float64{trial.TopPlate: 295.15, trial.BottomPlate: 279.15, trial.Room: 295.15, trial.HeaterPower: 2})
	h, err := Heater(d, log, DefaultDiscrepancy())
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(h.Still.Value/h.Ring-0.125) > 1e-6 || !(h.Still.Uncertainty < 0.015) || !h.Steady || math.Abs(h.Ring-1) > 0.1 {
		t.Errorf("%+v", *h)
	}
}

// By hand: 40 g of ice melted in 5 h take up 13.337 kJ, 0.741 W in the mean;
// over 22 K, less 0.006 W/K of lid, 0.0277 W/K.
func TestMeltByHand(t *testing.T) {
	d := demo(t)
	log := steady(trial.BlankMelt, map[trial.Quantity]float64{trial.Room: 295.15})
	log.Series = append(log.Series, trial.Series{Quantity: trial.Weight, Samples: []trial.Sample{{Time: 3600, Value: 0.005}, {Time: 6 * 3600, Value: 0.045}}})
	b, err := Melt(d, log, DefaultDiscrepancy())
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(b.Heat.Value-0.741) > 0.001 || math.Abs(b.Leak.Value-(0.741/22-0.006)) > 2e-4 {
		t.Errorf("%+v", *b)
	}
}

// steady is a log of constant values over six hours.
func steady(kind trial.Kind, values map[trial.Quantity]float64) *trial.Trial {
	t := &trial.Trial{Name: "steady", Kind: kind}
	for q, v := range values {
		s := trial.Series{Quantity: q}
		for at := 0.0; at <= 6*3600; at += 60 {
			s.Samples = append(s.Samples, trial.Sample{Time: at, Value: v})
		}
		t.Series = append(t.Series, s)
	}
	return t
}

// A stand melted without its load: the network's own leak is found from the
// weighings alone, and both heater and blank melt can be calibrated on.
func TestHeaterAndMeltOfTheNetwork(t *testing.T) {
	d := measuredEngine(t)
	source := rand.New(rand.NewPCG(4, 4))
	heated, err := synthetic.Heated("heater", d, 1.2, 3, bare(0.01), source)
	if err != nil {
		t.Fatal(err)
	}
	h, err := Heater(d, heated, DefaultDiscrepancy())
	if err != nil {
		t.Fatal(err)
	}
	if got := h.Still.Value / d.Load.Engine.StillConductance.SI; math.Abs(got-1) > 0.04 {
		t.Errorf("conductance %.4f W/K, the network has %.4f; %+v", h.Still.Value, d.Load.Engine.StillConductance.SI, *h)
	}
	blank, err := synthetic.Blank("blank", d, 0.006, 5, bare(0.01), source)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Melt(d, blank, DefaultDiscrepancy())
	if err != nil {
		t.Fatal(err)
	}
	// The same from the budget of the run that made the weighings: all heat but
	// the lid's, from the first hour, in which ice and stand warm up, to the end.
	alone := d.Clone()
	lidded(alone, 0.006)
	m, err := network.Build(alone)
	if err != nil {
		t.Fatal(err)
	}
	heat := func(hours float64) (sum float64) {
		run, err := m.Run(t.Context(), network.Options{Horizon: 3600 * hours})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range run.Budget {
			if p.ID != "load heat" {
				sum += p.Energy
			}
		}
		return sum
	}
	if leak := (heat(5) - heat(1)) / (4 * 3600) / b.Drive; math.Abs(b.Leak.Value/leak-1) > 0.1 {
		t.Errorf("leak %.4f W/K by melt, %.4f W/K by the budget", b.Leak.Value, leak)
	}
	p, err := Calibrate(t.Context(), []Case{{d, heated}, {d, blank}}, Options{Draws: 200, Unknowns: []string{"load.engine.still_conductance"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, u := range p.Unknowns {
		if u.Path == "load.engine.still_conductance" && (u.Spread > 0.4 || math.Abs(u.Shift) > 2*u.Spread+0.3) {
			t.Errorf("the heater leaves the conductance at %+v", u)
		}
	}
	for _, f := range p.Trials {
		if f.Chance < 0.01 {
			t.Errorf("%s does not fit what made it: %+v", f.Name, f)
		}
	}
}

// lidded is the stand without its load under a lid of a conductance, W/K.
func lidded(d *design.Design, conductance float64) {
	a := DefaultDiscrepancy()
	a.Lid = conductance
	blank(d, a)
}
