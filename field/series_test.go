package field

import (
	"math"
	"testing"

	"meltspan/internal/reference"
)

// can is a cylinder of radius and height with n cells along each.
func can(radius, height float64, n int) *Problem {
	p := &Problem{
		Grid:      Grid{Axisymmetric, [3][]float64{Even(0, radius, n), Even(0, height, n)}},
		Materials: []Material{{Name: "can", Conductivity: Isotropic(1), HeatCapacity: 1}},
	}
	p.Fill(0, nil)
	return p
}

// A cylinder as high as wide, lid at 1 and the rest at 0. Carslaw and Jaeger,
// 2nd ed., 8.3; by a 30-digit library. The error falls to a fourth when the
// cells are halved.
func TestHotLidCylinder(t *testing.T) {
	deviation := func(n int) float64 {
		p := can(1, 1, n)
		p.Conditions = []Condition{Fixed("lid", 1), Fixed("rest", 0)}
		p.Cover(0, Upper(1), nil)
		p.Cover(1, Upper(0), nil)
		p.Cover(1, Lower(1), nil)
		return steady(t, p).read(t, 0, 0.5, 0) - 0.383912558854
	}
	coarse, fine := deviation(20), deviation(40)
	near(t, "at 40 cells", fine, 0, 5e-4)
	near(t, "order", math.Log2(coarse/fine), 2, 0.2)
	for _, place := range [][2]float64{{0.5, 0.5}, {0.25, 0.75}} { // and the whole series elsewhere
		p := can(1, 2, 64)
		p.Conditions = []Condition{Fixed("lid", 1), Fixed("rest", 0)}
		p.Cover(0, Upper(1), nil)
		p.Cover(1, Upper(0), nil)
		p.Cover(1, Lower(1), nil)
		near(t, "series", steady(t, p).read(t, place[0], 2*place[1], 0), reference.HotLidCylinder(place[0], place[1], 2), 1e-3)
	}
}

// A finite cylinder, cooled all round. Product of series; Incropera 7th ed. 5.6
// and Carslaw and Jaeger, 1.15; checked there against a 30-digit library.
func TestFiniteCylinder(t *testing.T) {
	p := can(1, 1, 40) // the upper half
	p.Conditions = []Condition{Film("air", 1, 100)}
	p.Cover(0, Upper(0), nil)
	p.Cover(0, Upper(1), nil)
	f := transient(t, p, p.Uniform(101), TransientOptions{End: 0.2, Step: 1e-3, Tolerance: 1e-4})
	for _, c := range []struct{ r, z float64 }{{0, 0}, {1, 0}, {0, 1}, {1, 1}, {0.5, 0.5}} {
		near(t, "theta", f.read(t, c.r, c.z, 0)-100, reference.FiniteCylinder(1, 0.2, 1, 0.2, c.r, c.z), 5e-4)
	}
}

// A plane wall whose film sets in: middle and face. Incropera 7th ed. 5.5.
func TestPlaneWall(t *testing.T) {
	p := rod(Material{Name: "wall", Conductivity: Isotropic(1), HeatCapacity: 1}, 1, 60, 0)
	p.Conditions = []Condition{Film("air", 10, 100)}
	f := transient(t, p, p.Uniform(101), TransientOptions{End: 0.2, Step: 1e-4, Tolerance: 1e-4})
	near(t, "middle", f.read(t, 1, 0.5, 0)-100, 0.8292547308, 5e-4)
	near(t, "face", f.read(t, 0, 0.5, 0)-100, 0.1224822381, 5e-4)
}

// Shells of two layers with a contact between them are exact on any grid:
// radial conduction in series (Incropera 7th ed. eq. 3.34).
func TestConcentricShells(t *testing.T) {
	const height, contact = 0.5, 0.01
	p := &Problem{
		Grid:       Grid{Axisymmetric, [3][]float64{{0.04, 0.041, 0.047, 0.06, 0.075, 0.08}, Even(0, height, 2)}},
		Materials:  []Material{{Name: "inner", Conductivity: Isotropic(0.2)}, {Name: "outer", Conductivity: Isotropic(0.03)}},
		Conditions: []Condition{Fixed("cold", 273), Film("room", 9, 295)},
	}
	p.Fill(0, nil)
	p.Fill(1, func(c [3]float64) bool { return c[0] > 0.06 })
	for k := range 2 {
		p.Contacts = append(p.Contacts, Contact{p.Grid.Index(2, k, 0), Upper(0), contact})
	}
	p.Cover(0, Lower(0), nil)
	p.Cover(1, Upper(0), nil)
	f := steady(t, p)
	round := 2 * math.Pi * height
	want := 22 / (math.Log(0.06/0.04)/0.2/round + contact/(round*0.06) + math.Log(0.08/0.06)/0.03/round + 1/(9*round*0.08))
	near(t, "W", f.Ledger.Conditions[1], want, 1e-9*want)
	_, outside, _, _ := f.SurfaceTemperature(1)
	near(t, "outer surface", outside, 295-want/(9*round*0.08), 1e-9)
	near(t, "inside the contact", f.read(t, 0.06-1e-12, 0.1, 0), 273+want*math.Log(0.06/0.04)/0.2/round, 1e-7)
}

// A tube of k 0.2 and radii .04 and .06 passes 3.09924833557 W/(m K).
func TestTube(t *testing.T) {
	p := &Problem{
		Grid:       Grid{Axisymmetric, [3][]float64{Even(0.04, 0.06, 3), {0, 1}}},
		Materials:  []Material{{Name: "tube", Conductivity: Isotropic(0.2)}},
		Conditions: []Condition{Fixed("in", 300), Fixed("out", 299)},
	}
	p.Fill(0, nil)
	p.Cover(0, Lower(0), nil)
	p.Cover(1, Upper(0), nil)
	near(t, "W", steady(t, p).Ledger.Conditions[0], 3.09924833557, 1e-9)
}

// Annular fin with adiabatic tip: q .281678306 W for these values (Bessel
// functions, Incropera 7th ed. eq. 3.91, and by a boundary value solver; the
// film takes both faces). The fin formula has no gradient across the fin, so
// the fin conducts well across here.
func TestAnnularFin(t *testing.T) {
	p := &Problem{
		Grid:       Grid{Axisymmetric, [3][]float64{graded(t, 1e-4, 1.1, 4e-4, 0.02, 0.06), Even(0, 0.003, 2)}},
		Materials:  []Material{{Name: "fin", Conductivity: [3]float64{0.2, 1e6}}},
		Conditions: []Condition{Fixed("tube", 320), Film("air", 8, 300)},
	}
	p.Fill(0, nil)
	p.Cover(0, Lower(0), nil)
	p.Cover(1, Lower(1), nil)
	p.Cover(1, Upper(1), nil)
	near(t, "W", steady(t, p).Ledger.Conditions[0], 0.281678306, 1e-4)
}
