package field

import (
	"math"
	"testing"
)

// freezing is the substance of the published cases: ice and water of one
// density.
func freezing() Material {
	return Material{
		Name: "water", Conductivity: Isotropic(2.22), HeatCapacity: 2100 * 917,
		Phase: &PhaseChange{Melting: celsius, LatentHeat: 333500 * 917, LiquidConductivity: Isotropic(0.56), LiquidHeatCapacity: 4200 * 917},
	}
}

// rod is a slab of n cells with one face, at x = 0, held at a temperature.
func rod(m Material, length float64, n int, face float64) *Problem {
	p := &Problem{
		Grid:       Grid{Planar, [3][]float64{Even(0, length, n), {0, 1}}},
		Materials:  []Material{m},
		Conditions: []Condition{Fixed("face", face)},
	}
	p.Fill(0, nil)
	p.Cover(0, Lower(0), nil)
	return p
}

// Neumann's freezing fronts after one hour. Carslaw and Jaeger, 2nd ed., 11.2;
// fronts by a 30-digit library.
func TestFreezingFronts(t *testing.T) {
	for _, c := range []struct{ face, start, front float64 }{
		{-10, 0, 22.62748e-3}, {-10, 10, 20.29537e-3}, {-18, 20, 25.26657e-3},
	} {
		for name, method := range map[string]Integrator{"SDIRK2": SDIRK2, "backward Euler": BackwardEuler} {
			const length = 0.2 // the far end has not felt it after an hour
			p := rod(freezing(), length, 400, c.face+celsius)
			start := p.Uniform(c.start + celsius)
			for i := range start.Liquid {
				start.Liquid[i] = 1
			}
			f := transient(t, p, start, TransientOptions{End: 3600, Step: 0.1, Tolerance: 0.01, Method: method})
			near(t, "front, "+name, length-f.LiquidVolume(), c.front, 2e-3*c.front)
		}
	}
}

// One-phase melting at a wall of 20 degC. As above.
func TestMeltingFront(t *testing.T) {
	m := Material{
		Name: "water", Conductivity: Isotropic(2.2), HeatCapacity: 2e6,
		Phase: &PhaseChange{Melting: celsius, LatentHeat: 333.5e6, LiquidConductivity: Isotropic(0.57), LiquidHeatCapacity: 4.21e6},
	}
	p := rod(m, 0.02, 200, 20+celsius)
	f := transient(t, p, p.Uniform(celsius), TransientOptions{End: 3600, Step: 0.1, Tolerance: 0.02})
	near(t, "front", f.LiquidVolume(), 15.08495e-3, 2e-3*15e-3)
}

// A cylinder freezing under a film takes Plank's time when sensible heat is
// small: rho L/dT (R/(2h) + R^2/(4k)) = 13172.97 s for these values. Plank
// (1913) as in Singh and Heldman, Introduction to Food Engineering, freezing
// chapter, from memory; the number by hand from the formula.
func TestPlankCylinder(t *testing.T) {
	m := freezing()
	const small = 1e-3 // of the true heat capacities
	m.HeatCapacity *= small
	m.Phase.LiquidHeatCapacity *= small
	p := &Problem{
		Grid:       Grid{Axisymmetric, [3][]float64{Even(0, 0.015, 60), {0, 1}}},
		Materials:  []Material{m},
		Conditions: []Condition{Film("air", 10, celsius-18)},
	}
	p.Fill(0, nil)
	p.Cover(0, Upper(0), nil)
	start := p.Uniform(celsius)
	for i := range start.Liquid {
		start.Liquid[i] = 1
	}
	frozen, before := 0.0, Progress{Liquid: math.Inf(1)}
	_, err := Transient(t.Context(), p, start, TransientOptions{End: 15000, Step: 1, Longest: 20, Tolerance: 0.05, Progress: func(now Progress) {
		if now.Liquid == 0 && frozen == 0 {
			frozen = now.Time
		}
		before = now
	}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "s", frozen, 13172.97, 2e-3*13172.97)
	near(t, "liquid at the end", before.Liquid, 0, 0)
}

// A slab that the melting point crosses conducts as two layers: the front
// stands where ks (Tm - T1)/s = kl (T2 - Tm)/(d - s). By hand.
func TestSteadyFront(t *testing.T) {
	p := rod(freezing(), 0.1, 101, celsius-5)
	p.Conditions = append(p.Conditions, Fixed("warm", celsius+10))
	p.Cover(1, Upper(0), nil)
	f := steady(t, p)
	flow := (2.22*5 + 0.56*10) / 0.1
	near(t, "W", f.Ledger.Conditions[1], flow, 2e-3*flow)
	front := 2.22 * 5 / flow
	near(t, "liquid", f.LiquidVolume(), 0.1-front, 1e-3)
	near(t, "at the front", f.read(t, front, 0.5, 0)-celsius, 0, 0.1)
}

// A melting slab tends to the steady state of its two layers, to half a cell.
func TestMeltingTendsToSteady(t *testing.T) {
	p := rod(freezing(), 0.01, 20, celsius-5)
	p.Conditions = append(p.Conditions, Fixed("warm", celsius+10))
	p.Cover(1, Upper(0), nil)
	f := transient(t, p, p.Uniform(celsius-5), TransientOptions{End: 20000, Step: 1, Tolerance: 0.02})
	near(t, "liquid", f.LiquidVolume(), 0.01*(1-2.22*5/(2.22*5+0.56*10)), 0.25e-3)
}

// What has molten is the heat that came in, over the latent heat: 30 g of ice
// at 0 degC take 10.00280 kJ (latent heat 333.4265 kJ/kg, IAPWS-95 and R10-06
// by a public implementation), so 1 W melts them in 2.77855 h.
func TestMeltingEnergyBudget(t *testing.T) {
	m := freezing()
	m.Phase.LatentHeat = 333426.5 * 917
	const volume = 0.030 / 917
	p := &Problem{
		Grid:       Grid{Box, [3][]float64{Even(0, 0.03, 4), Even(0, 0.03, 4), Even(0, volume/9e-4, 4)}},
		Materials:  []Material{m},
		Conditions: []Condition{Flux("heater", 1/9e-4)},
	}
	p.Fill(0, nil)
	p.Cover(0, Lower(2), nil)
	near(t, "m3", transient(t, p, p.Uniform(celsius), TransientOptions{End: 2.77855 * 3600, Step: 10, Tolerance: 0.05}).Ledger.Stored,
		10002.80, 0.02)
}
