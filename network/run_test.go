package network

import (
	"context"
	"errors"
	"math"
	"testing"

	"meltspan/design"
	"meltspan/result"
)

// 30 g of ice at 0 degC last 2.77855 h under 1 W (333.4265 kJ/kg, IAPWS R10-06
// and IAPWS-95; energy budget computed independently). The room is at 0 degC
// too, so that only the leak melts; what the warmed plate gives back to the
// room and the water's own warmth leave a per cent or two.
func TestKnownLeakMeltsKnownMass(t *testing.T) {
	text := `
meltspan: 1
name: known leak
load:
  bottom_plate: {diameter: 40 mm, thickness: 1 mm}
  leak: {power: 1 W, limit: 40 degC}
store: {substance: ice, mass: 30 g, temperature: 0 degC, diameter: 50 mm, support: rests}
stand:
  outer_diameter: 120 mm
  height: 60 mm
  cup: {diameter: 51 mm, depth: 30 mm}
  wall: {filling: pu_foam}
  base: {filling: pu_foam}
  contact: {mode: pressed, wet_coefficient: 5000 W/(m2 K)}
room: {temperature: 0 degC, humidity: 0 %, air_speed: 0 m/s}
`
	m := built(t, "leak.yaml", []byte(text), nil)
	run, err := m.Run(context.Background(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if hours := run.LastIce / 3600; math.Abs(hours/2.77855-1) > 0.03 {
		t.Errorf("last ice after %.4f h", hours)
	}
}

// The engine stalls at its stall difference, not a step later.
func TestStallIsLocated(t *testing.T) {
	m := blind(t, "hollow")
	run, err := m.Run(context.Background(), Options{Course: true})
	if err != nil {
		t.Fatal(err)
	}
	difference := run.Channel("difference")
	for i, at := range run.Times {
		if at == run.RunTime {
			if math.Abs(difference.Values[i]-6.5) > 1e-3 {
				t.Errorf("stalls at %g K", difference.Values[i])
			}
			return
		}
	}
	t.Errorf("no sample at the stall, %g s", run.RunTime)
}

// A start difference below the stall difference, as a draw near a design's values
// may have it, starts the load earlier and lets it run no longer.
func TestStartBelowStallDoesNotKeepTheLoadRunning(t *testing.T) {
	normal := demo(t, "engine-on-ice").Time(Options{})
	low := demo(t, "engine-on-ice", func(d *design.Design) {
		d.Load.Engine.StartDifference.SI = d.Load.Engine.StallDifference.SI - 1
	}).Time(Options{})
	if !(low.Start < normal.Start) || math.Abs(low.RunTime/normal.RunTime-1) > 0.01 {
		t.Errorf("started at %.0f s and ran %.0f s; with a start above the stall at %.0f s, %.0f s", low.Start, low.RunTime, normal.Start, normal.RunTime)
	}
}

// A load that goes on 1 K below its stall difference runs as one whose stall
// difference is 1 K lower and whose speed at any difference is the same; one that
// stops 1 K above it as one whose stall difference is that much higher.
func TestBeyondMovesTheStallAlone(t *testing.T) {
	for _, beyond := range []float64{1, -1} {
		got := demo(t, "engine-on-ice").Time(Options{Beyond: beyond})
		want := demo(t, "engine-on-ice", func(d *design.Design) {
			e := d.Load.Engine
			e.StallSpeed.SI -= beyond * e.SpeedSlope.SI
			e.StallDifference.SI -= beyond
			e.StartDifference.SI -= min(beyond, 0)
		}).Time(Options{})
		if math.Abs(got.RunTime/want.RunTime-1) > 0.002 || math.Abs(got.Start-want.Start) > 1 {
			t.Errorf("beyond by %+g K: started at %.0f s, ran %.0f s; want %.0f s, %.0f s", beyond, got.Start, got.RunTime, want.Start, want.RunTime)
		}
	}
}

// Standard accuracy gives run times to some tenths of a per cent: a hundred
// times finer steps change them by less than half a per cent.
func TestRunTimeHardlyDependsOnTolerance(t *testing.T) {
	for _, name := range design.DemoNames() {
		m := demo(t, name)
		coarse, fine := m.Time(Options{}), m.Time(Options{Tolerance: 0.01})
		if math.Abs(coarse.RunTime/fine.RunTime-1) > 5e-3 {
			t.Errorf("%s: %.0f s, finely %.0f s", name, coarse.RunTime, fine.RunTime)
		}
	}
}

// A cancelled run returns what it has.
func TestInterruptKeepsWhatWasComputed(t *testing.T) {
	m := demo(t, "engine-on-ice")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	run, err := m.Run(ctx, Options{Course: true})
	if !errors.Is(err, context.Canceled) || run == nil || run.Simulated <= 0 || len(run.Times) < 2 {
		t.Fatalf("err %v, run %+v", err, run)
	}
	if math.Abs(run.Energy.Residual) > 1e-9 {
		t.Errorf("energy residual %g", run.Energy.Residual)
	}
}

// The same model gives the same answer twice, with nothing allocated.
func TestTimeRepeatsWithoutAllocation(t *testing.T) {
	m := demo(t, "engine-on-ice")
	first := m.Time(Options{})
	if again := m.Time(Options{}); again.RunTime != first.RunTime || again.Steps != first.Steps {
		t.Errorf("first %+v, then %+v", first, again)
	}
	if n := testing.AllocsPerRun(3, func() { m.Time(Options{}) }); n > 0 {
		t.Errorf("%g allocations a run", n)
	}
}

// What a heat transfer engineer expects of a change, by sign.
func TestTrends(t *testing.T) {
	engine := func(edit func(*design.Design)) float64 {
		return demo(t, "engine-on-ice", edit).Time(Options{}).RunTime
	}
	base := engine(func(*design.Design) {})
	for _, c := range []struct {
		name   string
		longer bool
		edit   func(*design.Design)
	}{
		{"ten per cent more ice", true, func(d *design.Design) { d.Store.Mass.SI *= 1.1 }},
		{"warmer room", false, func(d *design.Design) { d.Room.Temperature.SI += 3 }},
		{"foil in the wall", true, func(d *design.Design) { d.Stand.Wall.Emissivity.SI, d.Stand.Wall.Emissivity.Origin = 0.05, "stated" }},
		{"solid walls", false, func(d *design.Design) { d.Stand.Wall.Cavities, d.Stand.Wall.Infill.SI = 0, 1 }},
		{"ribs across the cavities", false, func(d *design.Design) { d.Stand.Ribs.Count = 24 }},
		{"colder ice", true, func(d *design.Design) { d.Store.Temperature.SI -= 10 }},
		{"higher stall difference", false, func(d *design.Design) { d.Load.Engine.StallDifference.SI += 0.5 }},
		{"thicker rim", false, func(d *design.Design) { d.Stand.Rim.Thickness.SI = 6e-3 }},
	} {
		if got := engine(c.edit); (got > base) != c.longer {
			t.Errorf("%s: %.2f h, before %.2f h", c.name, got/3600, base/3600)
		}
	}
}

// A hot store works the other way up: heat leaves it, the lower plate is the
// hot one, and the vapour that crosses the gap is a large part of it.
func TestHotStoreRunsTheOtherWay(t *testing.T) {
	m := demo(t, "engine-on-hot-water")
	run, err := m.Run(context.Background(), Options{Course: true})
	if err != nil {
		t.Fatal(err)
	}
	middle := len(run.Times) / 4
	if top, bottom := run.Channel("top_plate").Values[middle], run.Channel("bottom_plate").Values[middle]; bottom <= top {
		t.Errorf("lower plate %.1f K, upper plate %.1f K", bottom, top)
	}
	if run.End != result.EndStalled || run.MeanIntake <= 0 || run.MeanStoreHeat <= run.MeanIntake {
		t.Errorf("end %q, intake %g W of %g W", run.End, run.MeanIntake, run.MeanStoreHeat)
	}
}

// A run ends on states that it reached, not on trial steps that it rejected: a
// heated hot store freezes at its walls while its plate is far above the room,
// and nothing in the device is colder than the room.
func TestRejectedStepsDoNotEndARun(t *testing.T) {
	text := `
meltspan: 1
name: heated wax
load:
  bottom_plate: {diameter: 38 mm, thickness: 0.5 mm}
  leak: {power: 2.6 W, limit: 0 degC}
store: {substance: paraffin, form: liquid, mass: 30 g, temperature: 65 degC}
stand:
  outer_diameter: 43.6 mm
  height: 34.9 mm
  cup: {diameter: 40 mm, depth: 33.1 mm}
  wall: {cavities: 0, skin: 0.4 mm, infill: 0 %}
  base: {cavities: 0, skin: 0.4 mm, infill: 0 %}
  contact: {mode: pressed}
room: {temperature: 12 degC, humidity: 10 %, air_speed: 0 m/s}
`
	m := built(t, "wax.yaml", []byte(text), nil)
	run, err := m.Run(context.Background(), Options{Horizon: 3600, Course: true})
	if err != nil {
		t.Fatal(err)
	}
	if run.Simulated != 3600 {
		t.Errorf("ended after %.0f s: %v", run.Simulated, run.Warnings)
	}
	for _, id := range []string{"bottom_plate", "store"} {
		for i, temperature := range run.Channel(id).Values {
			if temperature < 273.15+12-0.1 {
				t.Fatalf("%s at %.1f K after %.0f s in a room of 285 K", id, temperature, run.Times[i])
			}
		}
	}
}
