package field

import (
	"fmt"
	"math"
	"testing"
)

// Observed order of accuracy by manufactured solutions (Roache, from memory, Verification
// and Validation in Computational Science and Engineering, 1998): a field is
// chosen and the source that makes it a solution is given to the solver.

// order fits the order from the errors at n and 2n cells or steps.
func order(t *testing.T, name string, want float64, deviation func(n int) float64, n int) {
	t.Helper()
	coarse, fine := deviation(n), deviation(2*n)
	got := math.Log2(coarse / fine)
	t.Logf("%s: errors %.3g, %.3g, order %.3f", name, coarse, fine, got)
	near(t, name+": order", got, want, 0.15)
}

func rootMeanSquare(f *Field, exact func(node [3]float64) float64) float64 {
	sum, volume := 0.0, 0.0
	g := &f.system.p.Grid
	for cell, v := range f.Temperature {
		d := v - exact(g.Node(cell))
		sum += g.Volume(cell) * d * d
		volume += g.Volume(cell)
	}
	return math.Sqrt(sum / volume)
}

// T = cos(pi x/2) cos(pi y/2) cos(pi z/2) on the unit box, its upper faces at
// 0, on a smoothly graded grid, with a conductivity of its own along each axis.
func TestSpaceOrderPlanarAndBox(t *testing.T) {
	for _, geometry := range []Geometry{Planar, Box} {
		k := [3]float64{1, 2, 5}
		exact := func(c [3]float64) float64 {
			return math.Cos(math.Pi/2*c[0]) * math.Cos(math.Pi/2*c[1]) * math.Cos(math.Pi/2*c[2])
		}
		order(t, fmt.Sprint("geometry ", geometry), 2, func(n int) float64 {
			e := Even(0, 1, n)
			for i, x := range e {
				e[i] = x + 0.1*math.Sin(math.Pi*x)
			}
			p := &Problem{
				Grid:       Grid{Geometry: geometry},
				Materials:  []Material{{Name: "body", Conductivity: k}},
				Conditions: []Condition{Fixed("faces", 0)},
			}
			sum := 0.0
			for axis := range geometry.axes() {
				p.Grid.Edges[axis] = e
				sum += k[axis]
			}
			p.Sources = []Source{{Density: func(c [3]float64, _ float64) float64 {
				return math.Pi * math.Pi / 4 * sum * exact(c)
			}}}
			p.Fill(0, nil)
			for axis := range geometry.axes() {
				p.Cover(0, Upper(axis), nil)
			}
			return rootMeanSquare(&steady(t, p).Field, exact)
		}, 12)
	}
}

// T = (1 - r^2) cos(pi z/2) in a cylinder from its axis, outside and end at 0.
func TestSpaceOrderAxisymmetric(t *testing.T) {
	exact := func(c [3]float64) float64 { return (1 - c[0]*c[0]) * math.Cos(math.Pi/2*c[1]) }
	order(t, "axisymmetric", 2, func(n int) float64 {
		p := can(1, 1, n)
		p.Conditions = []Condition{Fixed("faces", 0)}
		p.Cover(0, Upper(0), nil)
		p.Cover(0, Upper(1), nil)
		p.Sources = []Source{{Density: func(c [3]float64, _ float64) float64 {
			return 4*math.Cos(math.Pi/2*c[1]) + math.Pi*math.Pi/4*exact(c)
		}}}
		return rootMeanSquare(&steady(t, p).Field, exact)
	}, 16)
}

// T = 300 + exp(-t) in one piece, driven by a source and a film that change
// with time: space has no part in the error.
func TestTimeOrder(t *testing.T) {
	for method, want := range map[Integrator]float64{SDIRK2: 2, BackwardEuler: 1} {
		order(t, fmt.Sprint("integrator ", method), want, func(n int) float64 {
			p := can(1, 1, 1)
			coefficient := func(time float64) float64 { return 1 + 0.5*math.Sin(time) }
			p.Conditions = []Condition{{Name: "air", Kind: FilmKind, Coefficient: coefficient, Temperature: Constant(300)}}
			p.Cover(0, Upper(0), nil)
			// The half cell stands in series with the film.
			half := p.Grid.half([3]int{}, Upper(0)) * p.Grid.Area(0, Upper(0))
			film := func(time float64) float64 { return 1 / (1/coefficient(time) + half) }
			share := p.Grid.Area(0, Upper(0)) / p.Grid.Volume(0)
			p.Sources = []Source{{Density: func(_ [3]float64, time float64) float64 {
				return math.Exp(-time) * (film(time)*share - 1)
			}}}
			f := transient(t, p, p.Uniform(301), TransientOptions{End: 2, Step: 2 / float64(n), Method: method})
			return math.Abs(f.Temperature[0] - 300 - math.Exp(-2))
		}, 40)
	}
}

// L-stability: a step that is far too long damps what is too fast for it.
func TestStiffStepDoesNotOvershoot(t *testing.T) {
	p := rod(Material{Name: "metal", Conductivity: Isotropic(200), HeatCapacity: 1e6}, 1e-3, 10, 280)
	for _, method := range []Integrator{SDIRK2, BackwardEuler} {
		f := transient(t, p, p.Uniform(300), TransientOptions{End: 2000, Step: 1000, Method: method})
		for _, v := range f.Temperature {
			near(t, fmt.Sprint("integrator ", method), v, 280, 1e-2)
		}
	}
}
