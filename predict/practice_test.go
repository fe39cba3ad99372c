package predict

import (
	"testing"

	"meltspan/design"
	"meltspan/matter"
)

// Common practice: solid print polymer conducts about six times better than
// still air. The handbook's span of PLA holds that, and its middle is not far.
func TestPolymerConductsAboutSixTimesBetterThanAir(t *testing.T) {
	pla, ok := matter.FindSolid("pla")
	if !ok {
		t.Fatal("the handbook has no PLA")
	}
	air := matter.DryAir(285, matter.StandardPressure).Conductivity
	k := pla.Conductivity
	if k.Low/air > 6 || k.High/air < 6 || k.Value/air < 4 || k.Value/air > 9 {
		t.Errorf("PLA over air: %.1f, span %.1f to %.1f", k.Value/air, k.Low/air, k.High/air)
	}
}

// Common practice: an engine of palm size stalls near 6.5 K and runs well at
// 10 K. The defaults say so: at 10 K it turns at least twice as fast as when it
// stalls.
func TestDefaultEngineStallsNear6K5AndRunsWellAt10K(t *testing.T) {
	text := `
meltspan: 1
name: all defaults
load: {bottom_plate: {diameter: 100 mm}, top_plate: {diameter: 100 mm}, engine: {}}
store: {substance: ice, mass: 120 g, temperature: -5 degC}
stand: {outer_diameter: 120 mm, height: 40 mm, cup: {diameter: 86 mm, depth: 28 mm}}
room: {temperature: 24 degC}
`
	d, err := design.Parse("defaults", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	e := d.Load.Engine
	if e.StallDifference.SI != 6.5 {
		t.Errorf("stalls at %g K", e.StallDifference.SI)
	}
	if at10 := e.StallSpeed.SI + e.SpeedSlope.SI*(10-e.StallDifference.SI); at10 < 2*e.StallSpeed.SI {
		t.Errorf("at 10 K it turns at %g Hz, stalling at %g Hz", at10, e.StallSpeed.SI)
	}
}
