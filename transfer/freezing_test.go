package transfer

import (
	"math"
	"testing"

	"meltspan/internal/reference"
)

// Plank's equation with 30 mm of water: rho 917, L 333.5 kJ/kg, 18 K, h 10,
// k 2.22; and the sphere of Singh and Heldman, Introduction to Food
// Engineering, chapter on freezing (70 mm, rho 1000, L 250 kJ/kg, -1.25 in -15
// degC, h 50, k 1.2: 2.04 h).
func TestPlank(t *testing.T) {
	for _, c := range []struct {
		shape Shape
		want  float64
	}{{Slab, 26345.94}, {LongCylinder, 13172.97}, {Ball, 8781.98}} {
		got := FreezingTimePlank(FreezingBody{Shape: c.shape, Half: 0.015}, 917, 333.5e3, 18, 10, 2.22)
		near(t, "s", got, c.want, 1e-6)
	}
	// The same sphere in a blast of -40 degC: 0.72 h (as above, first example of
	// the chapter; the answer from memory, the data confirmed by a lab sheet).
	near(t, "sphere in a blast, h", FreezingTimePlank(FreezingBody{Shape: Ball, Half: 0.035}, 1000, 250e3, 38.75, 50, 1.2)/3600, 0.72, 0.005)
	// A slab of meat between plates (Earle, Unit Operations in Food Processing,
	// chapter 6, from memory, page not verified): 0.1 m, 1090 kg/m3, 256 kJ/kg, -2
	// between plates of -34 degC, h 600, k 1.6: 2.1 h bare; 4.1 h in 1 mm of
	// cardboard of 0.06 W/(m K), in series with the film.
	slab := FreezingBody{Shape: Slab, Half: 0.05}
	near(t, "bare meat, h", FreezingTimePlank(slab, 1090, 256e3, 32, 600, 1.6)/3600, 2.1, 0.025)
	near(t, "meat in cardboard, h", FreezingTimePlank(slab, 1090, 256e3, 32, 1/(1/600.0+0.001/0.06), 1.6)/3600, 4.1, 0.0125)
	near(t, "sphere of food, s", FreezingTimePlank(FreezingBody{Shape: Ball, Half: 0.035}, 1000, 250e3, 13.75, 50, 1.2), 7335.86, 1e-5)
}

// One-sided freezing of a half space with no film is Stefan's problem; as
// c dT/L goes to 0 both agree.
func TestPlankIsStefanLimit(t *testing.T) {
	const k, c, rho, l, dt, half = 2.22, 2100.0, 917.0, 333.5e3, 0.1, 0.02
	root := reference.StefanRoot(c * dt / l)
	want := math.Pow(half/(2*root), 2) * rho * c / k
	got := FreezingTimePlank(FreezingBody{Shape: Slab, Half: half}, rho, l, dt, 1e9, k)
	near(t, "s", got, want, 1e-3)
}

// With no film the neglected sensible heat lengthens the time by c dT/(3 L), the
// first term of Stefan's root in powers of c dT/L (4 % for ice at -18 degC).
func TestPlankFallsShortBySensibleHeat(t *testing.T) {
	const k, c, rho, l, dt, half = 2.22, 2100.0, 917.0, 333.5e3, 18.0, 0.02
	exact := math.Pow(half/(2*reference.StefanRoot(c*dt/l)), 2) * rho * c / k
	got := FreezingTimePlank(FreezingBody{Shape: Slab, Half: half}, rho, l, dt, 1e9, k)
	near(t, "shortfall", exact/got-1, c*dt/(3*l), 0.05)
}

// The source problem of a short cylinder is the time integral of its cooling
// from 1, whose double series is the product of wall and cylinder.
func TestShortCylinderAgainstProductSeries(t *testing.T) {
	for _, c := range []struct{ r, l, h float64 }{{0.04, 0.014, 15}, {0.03, 0.06, 15}, {0.04, 0.04, 400}} {
		const k = 2.2
		want := 0.0
		for n := range 40 {
			y, b := reference.CylinderTerm(n, c.h*c.r/k)
			for m := range 40 {
				x, a := reference.PlaneWallTerm(m, c.h*c.l/k)
				want += a * b / (x*x/(c.l*c.l) + y*y/(c.r*c.r)) / k
			}
		}
		got, _ := sourceProblem(FreezingBody{ShortCylinder, c.r, 2 * c.l}, c.h, k)
		near(t, "m3 K/W", got, want, 1e-4)
	}
}

// Flat and tall cylinders are slabs and long cylinders; with a weak film only
// volume over surface counts.
func TestShortCylinderLimits(t *testing.T) {
	const h, k = 12, 2.2
	slab, slabMean := sourceProblem(FreezingBody{Shape: Slab, Half: 0.005}, h, k)
	flat, flatMean := sourceProblem(FreezingBody{ShortCylinder, 2, 0.01}, h, k)
	near(t, "flat, middle", flat, slab, 1e-6)
	near(t, "flat, mean", flatMean, slabMean, 0.01) // the rim is 1/2 % of the surface
	long, longMean := sourceProblem(FreezingBody{Shape: LongCylinder, Half: 0.02}, h, k)
	tall, tallMean := sourceProblem(FreezingBody{ShortCylinder, 0.02, 3}, h, k)
	near(t, "tall, middle", tall, long, 1e-5)
	near(t, "tall, mean", tallMean, longMean, 0.03)
	const r, height, weak = 0.03, 0.04, 1e-3
	lumped := r * height / (2 * (r + height)) / weak
	middle, mean := sourceProblem(FreezingBody{ShortCylinder, r, height}, weak, k)
	near(t, "weak film, middle", middle, lumped, 1e-4)
	near(t, "weak film, mean", mean, lumped, 1e-4)
}

// Cooling alone, against the exact series: the middle stage aside, a slab with
// Bi 1 falls to a mean of one half.
func TestCoolingStageAgainstSeries(t *testing.T) {
	s := FreezingSubstance{1000, 273.15, 334e3, 4200, 0.6, 2100, 2.2}
	body := FreezingBody{Shape: Slab, Half: 0.02}
	film := 0.6 / 0.02 // Bi = 1
	got := FreezingTime(body, s, film, 293.15, 273.15, 253.15).Cooling
	fourier := got * 0.6 / (1000 * 4200) / (0.02 * 0.02)
	mean := 0.0
	for n := range 20 {
		z, a := reference.PlaneWallTerm(n, 1)
		mean += a * math.Exp(-z*z*fourier) * math.Sin(z) / z
	}
	near(t, "mean excess", mean, 0.5, 0.02)
}

func TestFreezerTooWarm(t *testing.T) {
	s := FreezingSubstance{1000, 273.15, 334e3, 4200, 0.6, 2100, 2.2}
	stages := FreezingTime(FreezingBody{Shape: Slab, Half: 0.01}, s, 10, 293.15, 268.15, 274)
	if !math.IsInf(stages.Total(), 1) {
		t.Errorf("total = %g s, want never", stages.Total())
	}
}
