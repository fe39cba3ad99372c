package engine

import (
	"testing"

	"pgregory.net/rapid"
)

// parts is a palm-size engine: chamber 80 mm by 14 mm, foam displacer 76 mm by
// 8 mm, acrylic ring 2.5 mm, three steel screws of 3 mm.
var parts = StillParts{
	ChamberDiameter: 0.080, ChamberHeight: 0.014,
	DisplacerDiameter: 0.076, DisplacerThickness: 0.008, DisplacerConductivity: 0.035,
	GasConductivity: 0.0255, PlateEmissivity: 0.1, DisplacerEmissivity: 0.9, MeanTemperature: 286,
	RingThickness: 0.0025, RingConductivity: 0.19,
	ScrewCount: 3, ScrewDiameter: 0.003, ScrewConductivity: 16,
}

// By hand. Black film 4 sigma 286^3 = 5.306; grey exchange 1/(10+1/0.9-1) =
// 0.0989; gap of 3 mm 8.500+0.525 = 9.025; disc 0.008/0.035 = 0.22857; in
// series 0.22857+2/9.025 = 0.45018 m2 K/W over 45.365 cm2: 0.010077 W/K. Gas
// ring 0.0255/0.014*4.901 cm2 = 0.000893. Ring wall 0.19*6.480 cm2/0.014 =
// 0.008794. Screws 3*16*7.0686 mm2/0.014 = 0.024235.
func TestStillConductanceByHand(t *testing.T) {
	total, chamber, ring, screws := StillConductance(parts)
	near(t, "chamber", chamber, 0.010970, 1e-3)
	near(t, "ring", ring, 0.008794, 1e-3)
	near(t, "screws", screws, 0.024235, 1e-3)
	near(t, "total", total, chamber+ring+screws, 1e-14)
}

// A displacer of gas between black plates that sees no radiation is the plain
// gas column.
func TestDisplacerOfGasIsGas(t *testing.T) {
	p := parts
	p.DisplacerConductivity, p.PlateEmissivity = p.GasConductivity, 0
	_, chamber, _, _ := StillConductance(p)
	near(t, "W/K", chamber, 0.0255/0.014*disc(0.080, 0), 1e-12)
}

func TestNoDisplacerIsOneGap(t *testing.T) {
	p := parts
	p.DisplacerDiameter, p.PlateEmissivity = 0, 1
	_, chamber, _, _ := StillConductance(p)
	near(t, "W/K", chamber, (0.0255/0.014+5.306)*disc(0.080, 0), 1e-3)
}

func TestOversizeDisplacerFillsChamber(t *testing.T) {
	p := parts
	p.DisplacerDiameter, p.DisplacerThickness = 1, 1
	_, chamber, _, _ := StillConductance(p)
	near(t, "W/K", chamber, 0.035/0.014*disc(0.080, 0), 1e-12)
}

func TestStillConductanceRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := parts
		p.PlateEmissivity = rapid.Float64Range(0.02, 0.9).Draw(t, "emissivity")
		p.ChamberHeight = rapid.Float64Range(0.010, 0.05).Draw(t, "height")
		base, _, _, _ := StillConductance(p)
		for name, change := range map[string]func(*StillParts){
			"emissivity": func(p *StillParts) { p.PlateEmissivity += 0.05 },
			"gas":        func(p *StillParts) { p.GasConductivity *= 1.1 },
			"ring":       func(p *StillParts) { p.RingThickness *= 1.1 },
			"screws":     func(p *StillParts) { p.ScrewCount++ },
			"lower":      func(p *StillParts) { p.ChamberHeight *= 0.9 },
		} {
			q := p
			change(&q)
			if more, _, _, _ := StillConductance(q); !(more > base) {
				t.Fatalf("%s: %g W/K is not above %g", name, more, base)
			}
		}
	})
}
