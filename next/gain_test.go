package next

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// A linear-Gaussian case has its expected information in closed form: unknowns
// x ~ N(0, 1), target t = a.x, observations y = H x + e with e ~ N(0, s2). Then
// var(t|y) = a' (1 - H' (H H' + s2)^-1 H) a, and I = log2(var t / var(t|y)) / 2
// (Lindley, Annals of Mathematical Statistics 27 (1956) 986-1005; Bishop,
// Pattern Recognition and Machine Learning, eq. 2.82). The target is also put
// through a monotone function, which changes nothing.
func TestInformationOfALinearGaussianCase(t *testing.T) {
	const n = 20000
	a := []float64{1, -0.5, 0.3}
	h := [][]float64{{0.8, 0.1, 0}, {0, 0.6, -0.4}}
	noise := []float64{0.5, 0.3}
	random := rand.New(rand.NewPCG(3, 4))
	target, bent := make([]float64, n), make([]float64, n)
	seen := [][]float64{make([]float64, n), make([]float64, n)}
	for i := range n {
		x := []float64{random.NormFloat64(), random.NormFloat64(), random.NormFloat64()}
		for j := range x {
			target[i] += a[j] * x[j]
			for k := range h {
				seen[k][i] += h[k][j] * x[j]
			}
		}
		for k := range h {
			seen[k][i] += noise[k] * random.NormFloat64()
		}
		bent[i] = math.Exp(2 * target[i])
	}
	H := mat.NewDense(2, 3, []float64{0.8, 0.1, 0, 0, 0.6, -0.4})
	A := mat.NewVecDense(3, a)
	var s, inverse, half, gain mat.Dense
	s.Mul(H, H.T())
	for k := range noise {
		s.Set(k, k, s.At(k, k)+noise[k]*noise[k])
	}
	if err := inverse.Inverse(&s); err != nil {
		t.Fatal(err)
	}
	half.Mul(H.T(), &inverse)
	gain.Mul(&half, H)
	prior, taken := mat.Dot(A, A), mat.Inner(A, &gain, A)
	want := 0.5 * math.Log2(prior/(prior-taken))
	for name, of := range map[string][]float64{"target": target, "bent target": bent} {
		bits, left := Information(of, seen)
		if math.Abs(bits-want) > 0.02 || math.Abs(left-math.Sqrt(1-taken/prior)) > 0.01 {
			t.Errorf("%s: %.4f bits, in closed form %.4f; %.4f left", name, bits, want, left)
		}
	}
}

// What has no bearing on the target gives no information, on few draws as on
// many, and more of it does not seem to.
func TestNoiseGivesNoInformation(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	sum := 0.0
	const trials, n, k = 40, 200, 5
	for range trials {
		target := make([]float64, n)
		seen := make([][]float64, k)
		for j := range seen {
			seen[j] = make([]float64, n)
		}
		for i := range n {
			target[i] = random.NormFloat64()
			for j := range seen {
				seen[j][i] = random.NormFloat64()
			}
		}
		bits, _ := Information(target, seen)
		sum += bits
	}
	if mean := sum / trials; mean > 0.01 {
		t.Errorf("%.4f bits from noise", mean)
	}
	if bits, left := Information(make([]float64, 50), [][]float64{make([]float64, 50)}); bits != 0 || left != 1 {
		t.Errorf("%g bits about what is known, %g left", bits, left)
	}
}

// Two options whose difference is N(m, 1), seen with a noise such that the
// posterior mean has spread s: the gain is s phi(m/s) - |m| Phi(-|m|/s) (unit
// normal loss: Raiffa and Schlaifer, Applied Statistical Decision Theory (1961),
// section 5.11).
func TestChoiceAgainstTheNormalLoss(t *testing.T) {
	const n = 40000
	random := rand.New(rand.NewPCG(7, 8))
	for _, m := range []float64{0, 0.4, -0.8} {
		const noise = 0.7
		values := [][]float64{make([]float64, n), make([]float64, n)}
		seen := [][]float64{make([]float64, n)}
		for i := range n {
			difference := m + random.NormFloat64()
			common := 3 * random.NormFloat64()
			values[0][i], values[1][i] = common, common+difference
			seen[0][i] = difference + noise*random.NormFloat64()
		}
		s := 1 / math.Sqrt(1+noise*noise)
		want := s*distuv.UnitNormal.Prob(m/s) - math.Abs(m)*distuv.UnitNormal.CDF(-math.Abs(m)/s)
		if got := Choice(values, seen); math.Abs(got-want) > 0.02 {
			t.Errorf("m = %g: %.4f, in closed form %.4f", m, got, want)
		}
	}
}
