package predict

import (
	"math"
	"testing"

	"meltspan/design"
	"meltspan/internal/designtest"
)

// 30 g of ice at 0 degC under 1 W: 2.77855 h (333.4265 kJ/kg, IAPWS). With a
// limit of 0.001 degC nothing else counts.
func TestCeilingOfALeakOnIce(t *testing.T) {
	text := `
meltspan: 1
name: leak
load: {bottom_plate: {diameter: 60 mm}, leak: {power: 1 W, limit: 0.001 degC}}
store: {substance: ice, mass: 30 g, temperature: 0 degC}
stand: {outer_diameter: 100 mm, height: 40 mm, cup: {diameter: 50 mm, depth: 25 mm}}
room: {temperature: 20 degC}
`
	d, err := design.Parse("leak", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	a := predict(t, d, Options{Samples: 20})
	if hours := a.Ceiling.NoLeak / 3600; math.Abs(hours-2.77855) > 1e-3 {
		t.Errorf("%.5f h", hours)
	}
}

// Common practice: melting 130 g of ice takes about 43 kJ or 12 Wh, which over
// 6 h 17 min is about 2 W.
func TestMeltingEnergyOfTheBlindPair(t *testing.T) {
	const joule = 0.130 * 333426.5 // IAPWS
	if kilojoule, wattHour, watt := joule/1e3, joule/3600, joule/(6*3600+17*60); math.Abs(kilojoule-43) > 0.5 ||
		math.Abs(wattHour-12) > 0.1 || math.Abs(watt-2) > 0.1 {
		t.Errorf("%.1f kJ, %.2f Wh, %.2f W", kilojoule, wattHour, watt)
	}
	d := designtest.Demo(t, "engine-on-ice", func(d *design.Design) { d.Store.Mass.SI, d.Store.Temperature.SI = 0.130, 273.15 })
	m := predict(t, d, Options{Samples: 20})
	latent := 0.0
	for _, f := range m.Nominal.Flows {
		if f.Mechanism == "melting" {
			latent += f.Energy
		}
	}
	if latent > joule*1.001 || m.Ceiling.Capacity < joule {
		t.Errorf("melted %.0f J, capacity %.0f J, by hand %.0f J", latent, m.Ceiling.Capacity, joule)
	}
}

// The edge and shell terms of still air against a closed form: a shell whose
// wall is thin against its radius conducts like a plane wall of the same area.
func TestStillAirConductanceOfAThinShell(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	d.Stand.Cup.Diameter.SI, d.Stand.Cup.Depth.SI = 1.000, 1.000
	d.Stand.OuterDiameter.SI, d.Stand.Height.SI = 1.002, 1.001
	d.Envelope.Diameter.SI, d.Envelope.Height.SI = 1.002, 1.001
	plane := stillAir * (math.Pi*1.001*1.0 + math.Pi/4) / 0.001
	if got := stillAirConductance(d); math.Abs(got/plane-1) > 5e-3 {
		t.Errorf("%.3f W/K, plane wall %.3f W/K", got, plane)
	}
}

// Ice stands 9.07 % higher than the water it was poured as (IAPWS densities of
// ice and water at 0 degC), and headroom counts from the frozen height.
func TestFreezingHeadroom(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	f := predict(t, d, Options{Samples: 20}).Freezing
	if f == nil {
		t.Fatal("no freezing")
	}
	if growth := f.Frozen/f.Poured - 1; math.Abs(growth-0.09067) > 2e-4 {
		t.Errorf("grows by %.5f", growth)
	}
	if math.Abs(f.Headroom+f.Frozen-d.Stand.Cup.Depth.SI) > 1e-9 || f.InMould {
		t.Errorf("headroom %g m above %g m in a cup of %g m, in mould %v", f.Headroom, f.Frozen, d.Stand.Cup.Depth.SI, f.InMould)
	}
	if !(f.Low < f.Time && f.Time < f.High) || f.Time < 3600 || f.Time > 24*3600 {
		t.Errorf("freezes in %g s [%g, %g]", f.Time, f.Low, f.High)
	}
}

// The books of a run: the parts of both splits add up to the capacity, the
// first is the run time over the ceiling, and a device all of whose heat comes
// by its load at its least intake, in a stand that leaks next to nothing, has
// nearly all of its ceiling (the edge of its plate leaks on).
func TestSplitOfTheCeiling(t *testing.T) {
	for _, name := range design.DemoNames() {
		c := predict(t, designtest.Demo(t, name), Options{Samples: 20}).Ceiling
		for _, s := range []struct {
			parts []Loss
			first float64
		}{{c.Split, c.Reached}, {c.SplitAir, c.ReachedAir}} {
			if len(s.parts) == 0 {
				continue
			}
			sum := 0.0
			for _, l := range s.parts {
				sum += l.Share
			}
			if math.Abs(sum-1) > 1e-9 || math.Abs(s.parts[0].Share-s.first) > 1e-9 {
				t.Errorf("%s: shares add up to %.12f, reached %.6f of %.6f", name, sum, s.parts[0].Share, s.first)
			}
		}
	}
	text := `
meltspan: 1
name: tight
load: {bottom_plate: {diameter: 60 mm}, leak: {power: 0.2 W, limit: 2 degC}}
store: {substance: ice, mass: 30 g, temperature: 0 degC}
stand:
  material: nothing
  outer_diameter: 100 mm
  height: 95 mm
  cup: {diameter: 70 mm, depth: 70 mm}
  wall: {cavities: 0, infill: 0 %}
  base: {cavities: 0, infill: 0 %}
  contact: {mode: pressed}
room: {temperature: 3 degC, humidity: 1 %}
materials: [{name: nothing, conductivity: 0.0001 W/(m K), density: 1 kg/m3, specific_heat: 1 J/(kg K)}]
`
	d, err := design.Parse("tight", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	c := predict(t, d, Options{Samples: 20}).Ceiling
	if c.Reached < 0.94 || c.Reached > 1.001 {
		t.Errorf("reached %.4f: %+v", c.Reached, c.Split)
	}
}
