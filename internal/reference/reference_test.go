package reference

import (
	"math"
	"testing"
)

func near(t *testing.T, name string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s = %.12g, want %.12g within %g", name, got, want, tolerance)
	}
}

// Roots of the transcendental equation, computed with a 30-digit library.
// Equation: Carslaw and Jaeger, 2nd ed., 11.2.
func TestStefanRoot(t *testing.T) {
	for _, c := range []struct{ stefan, want float64 }{
		{0.01, 0.0705932765604}, {0.05, 0.156820922335}, {0.1, 0.220016272743}, {0.2, 0.306423905361},
		{0.5, 0.464785920646}, {1, 0.620062633314}, {2, 0.800601362806}, {5, 1.05968701428},
		{0.2524737631, 0.341638016827}, // water melting at a wall of 20 degC
	} {
		near(t, "root", StefanRoot(c.stefan), c.want, 1e-10)
	}
}

// Fronts after one hour, computed with a 30-digit library; the interface heat
// balance closes to 4e-12. Equation: Carslaw and Jaeger, 2nd ed., 11.2 III.
func TestNeumannFreezing(t *testing.T) {
	ice, water := Phase{2.22, 2100, 917}, Phase{0.56, 4200, 917}
	for _, c := range []struct{ face, start, root, front float64 }{
		{-10, 0, 0.175619485988, 22.62748e-3},
		{-10, 10, 0.157519192215, 20.29537e-3},
		{-18, 20, 0.196102400776, 25.26657e-3},
	} {
		root := NeumannRoot(ice, water, 333500, -c.face, c.start)
		near(t, "root", root, c.root, 1e-8)
		near(t, "front", Front(root, ice.Diffusivity(), 3600), c.front, 1e-6)
	}
}

func TestMeltingFront(t *testing.T) {
	water := Phase{0.57, 4210, 1000}
	near(t, "front", Front(StefanRoot(4210*20/333500.0), water.Diffusivity(), 3600), 15.08495e-3, 1e-6)
}

// A published solver test: a slab of 0.1 m, 1 % molten at the start, is about
// 81 % molten after 36000 s (81.442 % by the exact solution).
func TestPublishedOnePhaseExample(t *testing.T) {
	p := Phase{1.5, 2500, 870}
	root := StefanRoot(p.SpecificHeat * 10 / 179000)
	near(t, "root", root, 0.258415437, 1e-8)
	first := math.Pow(0.001/(2*root), 2) / p.Diffusivity()
	near(t, "share", Front(root, p.Diffusivity(), 36000+first)/0.1, 0.81442, 1e-4)
}

// First roots and coefficients. Incropera 7th ed. Table 5.1, with more digits
// from a 30-digit library.
func TestFirstTerms(t *testing.T) {
	for _, c := range []struct{ biot, wall, wallC, cylinder, cylinderC, sphere, sphereC float64 }{
		{0.01, 0.09983363855, 1.001660844, 0.1412447637, 1.002495829, 0.1730319871, 1.002998062},
		{0.1, 0.3110528482, 1.016094217, 0.4416817829, 1.024579359, 0.5422808854, 1.029797705},
		{0.5, 0.6532711871, 1.070128137, 0.9407705639, 1.114254631, 1.165561185, 1.144106342},
		{1, 0.860333589, 1.119132008, 1.255783712, 1.207092058, 1.570796327, 1.273239545},
		{5, 1.313837716, 1.240249309, 1.989814715, 1.502869103, 2.57043156, 1.787000863},
		{10, 1.428870011, 1.261962589, 2.179496597, 1.567691842, 2.836300389, 1.92490859},
		{100, 1.555245129, 1.27308762, 2.380901663, 1.601523874, 3.110186953, 1.999033473},
	} {
		z, a := PlaneWallTerm(0, c.biot)
		near(t, "wall root", z, c.wall, 2e-9)
		near(t, "wall coefficient", a, c.wallC, 2e-9)
		z, a = CylinderTerm(0, c.biot)
		near(t, "cylinder root", z, c.cylinder, 2e-9)
		near(t, "cylinder coefficient", a, c.cylinderC, 2e-9)
		z, a = SphereTerm(0, c.biot)
		near(t, "sphere root", z, c.sphere, 2e-9)
		near(t, "sphere coefficient", a, c.sphereC, 2e-9)
	}
}

// Whole series, computed with a 30-digit library (equations: Incropera 7th ed.
// 5.5 and 5.6); the finite cylinder also by finite volumes (0.82722172).
func TestTransientSeries(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"wall middle", PlaneWall(1, 0.2, 0), 0.9506417785},
		{"wall face", PlaneWall(1, 0.2, 1), 0.6433907845},
		{"wall middle later", PlaneWall(1, 0.5, 0), 0.7725263834},
		{"wall face later", PlaneWall(1, 0.5, 1), 0.5045219279},
		{"wall middle, Bi 10", PlaneWall(10, 0.2, 0), 0.8292547308},
		{"wall face, Bi 10", PlaneWall(10, 0.2, 1), 0.1224822381},
		{"cylinder middle", Cylinder(1, 0.2, 0), 0.8701742439},
		{"cylinder face", Cylinder(1, 0.2, 1), 0.5702277442},
		{"cylinder middle later", Cylinder(1, 0.5, 0), 0.5485862039},
		{"cylinder face later", Cylinder(1, 0.5, 1), 0.3527858375},
		{"cylinder middle, Bi 10", Cylinder(10, 0.2, 0), 0.6002323369},
		{"cylinder face, Bi 10", Cylinder(10, 0.2, 1), 0.07484386211},
		{"finite cylinder", FiniteCylinder(1, 0.2, 1, 0.2, 0, 0), 0.8272239909},
		{"half space", SemiInfiniteStep(0.5), 0.479500122187},
		{"half space with film", SemiInfiniteConvection(0, 1), 0.572416423844},
		{"hot lid", HotLidCylinder(0, 0.5, 1), 0.383912558854},
	} {
		near(t, c.name, c.got, c.want, 2e-9)
	}
}

// A small Biot number makes every shape a lumped body: the rate is surface
// over volume, 1, 2 and 3 on the half width.
func TestSeriesTendToLumped(t *testing.T) {
	const biot, fourier = 1e-5, 5e4
	near(t, "wall", PlaneWall(biot, fourier, 0.5), Lumped(biot*fourier), 1e-5)
	near(t, "cylinder", Cylinder(biot, fourier, 0.5), Lumped(2*biot*fourier), 1e-5)
	near(t, "sphere", Sphere(biot, fourier, 0.5), Lumped(3*biot*fourier), 1e-5)
}
