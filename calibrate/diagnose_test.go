package calibrate

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// An autoregressive chain of first order with coefficient a is worth
// (1 - a)/(1 + a) of its length (by hand: the sum of its autocorrelations is
// geometric).
func TestEffectiveSizeOfAutoregression(t *testing.T) {
	source := rand.New(rand.NewPCG(1, 2))
	for _, a := range []float64{0, 0.5, 0.9, -0.3} {
		chains := make([][]float64, 4)
		const n = 20000
		for c := range chains {
			x := source.NormFloat64()
			for range n {
				x = a*x + math.Sqrt(1-a*a)*source.NormFloat64()
				chains[c] = append(chains[c], x)
			}
		}
		want := 4 * n * (1 - a) / (1 + a)
		if got := effectiveSize(chains); math.Abs(got/want-1) > 0.12 {
			t.Errorf("a = %g: effective size %.0f, want %.0f", a, got, want)
		}
		if r := splitRhat(chains); math.Abs(r-1) > 0.01 {
			t.Errorf("a = %g: R-hat %.4f of chains that agree", a, r)
		}
	}
}

// Two chains a distance d apart with unit variance: B/n = d2/2 over two chains,
// and over their four halves d2/3, so R-hat is the root of 1 + d2/3 (by hand).
func TestRhatOfChainsApart(t *testing.T) {
	source := rand.New(rand.NewPCG(3, 4))
	chains := make([][]float64, 2)
	for range 40000 {
		chains[0] = append(chains[0], source.NormFloat64())
		chains[1] = append(chains[1], 3+source.NormFloat64())
	}
	if got, want := splitRhat(chains), math.Sqrt(1+9.0/3); math.Abs(got/want-1) > 0.02 {
		t.Errorf("R-hat %.3f, want %.3f", got, want)
	}
}

// banana is a density bent along a parabola: y - x2 is normal, and so is x.
type banana struct{ width float64 }

func (b banana) at(x, gradient []float64) float64 {
	d := (x[1] - x[0]*x[0]) / b.width
	gradient[0] = -x[0] + 2*x[0]*d/b.width
	gradient[1] = -d / b.width
	return -x[0]*x[0]/2 - d*d/2
}

// Moments by hand: E x = 0, var x = 1, E y = 1, var y = 2 + width2.
func TestChainsOnABentDensity(t *testing.T) {
	got := chains(context.Background(), func() target { return banana{1} }, 2, 4, 6000, 5)
	var x, y []float64
	for _, c := range got {
		for _, p := range c {
			x, y = append(x, p[0]), append(y, p[1])
		}
	}
	variance := func(v []float64) float64 {
		m, sum := average(v), 0.0
		for _, a := range v {
			sum += (a - m) * (a - m)
		}
		return sum / float64(len(v))
	}
	for _, c := range []struct {
		what            string
		got, want, near float64
	}{
		{"mean x", average(x), 0, 0.06}, {"variance of x", variance(x), 1, 0.08},
		{"mean y", average(y), 1, 0.1}, {"variance of y", variance(y), 3, 0.3},
	} {
		if math.Abs(c.got-c.want) > c.near {
			t.Errorf("%s is %.3f, want %.3f", c.what, c.got, c.want)
		}
	}
}

// The straight line with a normal prior worked out by an independent library (SciPy): data 1, 3,
// 4, 8 at 0 to 3, noise 0.5, prior N([0, 1], diag(4, 9)); mean and covariance in
// closed form. The same numbers come from the surrogate's quadratic form.
func TestLinearGaussianPosterior(t *testing.T) {
	in := &inference{count: 4, value: []float64{1, 3, 4, 8}, columns: make([]Column, 2), active: []int{0, 1}}
	// Coordinates: a = 2 u, b = 1 + 3 v with u, v standard normal.
	in.noise = mat.NewSymDense(4, nil)
	in.jacobian = mat.NewDense(4, 2, nil)
	s := &surrogate{n: 2, terms: termsOf(2), center: []float64{0.1, 0.2}, lower: mat.NewDense(2, 2, []float64{0.3, 0, -0.1, 0.2})}
	for i := range 4 {
		in.noise.SetSym(i, i, 0.25)
		in.jacobian.SetRow(i, []float64{2, 3 * float64(i)})
	}
	in.renew(nil)
	var examples []example
	source := rand.New(rand.NewPCG(1, 1))
	for range 30 {
		x := []float64{source.NormFloat64(), source.NormFloat64()}
		p := s.coordinates(x)
		e := example{x: x}
		for i := range 4 {
			e.value = append(e.value, 2*p[0]+(1+3*p[1])*float64(i))
		}
		examples = append(examples, e)
	}
	s.learn(in, examples[:20], examples[20:])
	s.condense(in)
	var a, b []float64
	for _, c := range chains(context.Background(), func() target { return s.newDensity() }, 2, 4, 8000, 1) {
		for _, x := range c {
			p := s.coordinates(x)
			a, b = append(a, 2*p[0]), append(b, 1+3*p[1])
		}
	}
	covariance := func(v, w []float64) float64 {
		sum, mv, mw := 0.0, average(v), average(w)
		for i := range v {
			sum += (v[i] - mv) * (w[i] - mw) / float64(len(v))
		}
		return sum
	}
	laplace := in.laplace(in.active, &in.total)
	for _, c := range []struct {
		what            string
		got, want, near float64
	}{
		{"mean of the intercept", average(a), .68028787, .01}, {"mean of the slope", average(b), 2.20605509, .005},
		{"variance of the intercept", covariance(a, a), .16709405, .008},
		{"covariance", covariance(a, b), -.07146993, .004}, {"variance of the slope", covariance(b, b), .0483911, .002},
		{"variance of the intercept, closed", 4 * laplace.At(0, 0), .16709405, 1e-7},
		{"covariance, closed", 6 * laplace.At(0, 1), -.07146993, 1e-7},
		{"variance of the slope, closed", 9 * laplace.At(1, 1), .0483911, 1e-7},
	} {
		if math.Abs(c.got-c.want) > c.near {
			t.Errorf("%s is %.7g, want %.7g", c.what, c.got, c.want)
		}
	}
}
