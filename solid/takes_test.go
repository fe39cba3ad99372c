package solid

import (
	"math"
	"testing"

	"meltspan/printing"
)

// The slabs that estimates are made from hold the volume of the section in
// closed form (Pappus).
func TestSlabsHoldTheVolumeOfTheSection(t *testing.T) {
	for name, d := range demos(t) {
		for _, p := range sections(t, d) {
			e := p.slabs().Estimate(p.Name, 1, 1000, &d.Print)
			if want := p.Volume(); math.Abs(e.Volume/want-1) > 1e-4 {
				t.Errorf("%s, %s: slabs hold %g ml, the section %g ml", name, p.Name, 1e6*e.Volume, 1e6*want)
			}
			if want := p.Solid(); math.Abs(e.Plastic.Value/want-1) > 1e-4 {
				t.Errorf("%s, %s: slabs hold %g ml of plastic, the bill of parts %g ml", name, p.Name, 1e6*e.Plastic.Value, 1e6*want)
			}
			if !(e.Surface > 0) || !(e.Plastic.Value <= e.Volume*(1+1e-12)) {
				t.Errorf("%s, %s: %+v", name, p.Name, e)
			}
		}
	}
}

// The pieces of the body together take about what the body in one piece does:
// joints and chamfers are small.
func TestPiecesTakeAboutWhatTheBodyDoes(t *testing.T) {
	for name, d := range demos(t) {
		takes, err := Takes(d)
		if err != nil {
			t.Fatal(err)
		}
		mass := 0.0
		for i, p := range sections(t, d) {
			if p.Simulated {
				mass += takes[i].Mass.Value
			}
			if !(takes[i].Mass.Spread > 0 && takes[i].Time.Spread > 0 && takes[i].Time.Value > d.Print.Preparation.SI) {
				t.Errorf("%s: %+v", name, takes[i])
			}
		}
		if whole := printing.Nominal(d).Mass.Value; math.Abs(mass/whole-1) > 0.04 {
			t.Errorf("%s: the pieces weigh %.1f g, the body %.1f g", name, 1e3*mass, 1e3*whole)
		}
	}
}

// A foot is a plain cylinder: 7 mm and 12 mm, three of them (mm).
func TestFeetAreCylinders(t *testing.T) {
	d := demos(t)["generator-on-ice"]
	for _, p := range sections(t, d) {
		if p.Name != "foot" {
			continue
		}
		e := p.slabs().Estimate(p.Name, p.Count, 1270, &d.Print)
		if want := 3 * math.Pi * 7 * 7 * 12; math.Abs(e.Volume*1e9/want-1) > 1e-9 {
			t.Errorf("volume %g mm3, want %g", e.Volume*1e9, want)
		}
		if want := 3 * 2 * math.Pi * 7 * (7 + 12); math.Abs(e.Surface*1e6/want-1) > 1e-9 {
			t.Errorf("surface %g mm2, want %g", e.Surface*1e6, want)
		}
	}
}
