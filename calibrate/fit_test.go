package calibrate

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// strd is one of the NIST Statistical Reference Datasets for nonlinear
// regression; see testdata/nist_strd/ORIGIN.md.
type strd struct {
	starts    [2][]float64
	certified []float64
	deviation []float64
	x, y      []float64
}

func readStrd(t *testing.T, name string) strd {
	t.Helper()
	file, err := os.Open("testdata/nist_strd/" + name + ".dat")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var s strd
	for line, in := 1, bufio.NewScanner(file); in.Scan(); line++ {
		words := strings.Fields(in.Text())
		numbers := func(from int) (out []float64) {
			for _, w := range words[from:] {
				v, err := strconv.ParseFloat(w, 64)
				if err != nil {
					t.Fatalf("%s, line %d: %v", name, line, err)
				}
				out = append(out, v)
			}
			return out
		}
		switch {
		case line >= 41 && line < 61 && len(words) == 6 && words[1] == "=":
			v := numbers(2)
			s.starts[0], s.starts[1] = append(s.starts[0], v[0]), append(s.starts[1], v[1])
			s.certified, s.deviation = append(s.certified, v[2]), append(s.deviation, v[3])
		case line >= 61 && len(words) == 2:
			v := numbers(0)
			s.y, s.x = append(s.y, v[0]), append(s.x, v[1])
		}
	}
	return s
}

// Certified values to eleven digits and their standard deviations, from both
// starting points that NIST gives, the far one and the near one. From the far
// one of MGH10 the fit runs off along a valley, and says that it did not
// converge.
func TestFitAgainstNIST(t *testing.T) {
	cubic := func(b []float64, x float64) float64 {
		return (b[0] + x*(b[1]+x*(b[2]+x*b[3]))) / (1 + x*(b[4]+x*(b[5]+x*b[6])))
	}
	saturating := func(b []float64, x float64) float64 { return b[0] * (1 - math.Exp(-b[1]*x)) }
	for name, model := range map[string]func(b []float64, x float64) float64{
		"Bennett5": func(b []float64, x float64) float64 { return b[0] * math.Pow(b[1]+x, -1/b[2]) },
		"BoxBOD":   saturating,
		"Chwirut1": func(b []float64, x float64) float64 { return math.Exp(-b[0]*x) / (b[1] + b[2]*x) },
		"DanWood":  func(b []float64, x float64) float64 { return b[0] * math.Pow(x, b[1]) },
		"Eckerle4": func(b []float64, x float64) float64 {
			z := (x - b[2]) / b[1]
			return b[0] / b[1] * math.Exp(-z*z/2)
		},
		"Hahn1":  cubic,
		"Kirby2": func(b []float64, x float64) float64 { return (b[0] + x*(b[1]+x*b[2])) / (1 + x*(b[3]+x*b[4])) },
		"MGH09":  func(b []float64, x float64) float64 { return b[0] * x * (x + b[1]) / (x*x + x*b[2] + b[3]) },
		"MGH10":  func(b []float64, x float64) float64 { return b[0] * math.Exp(b[1]/(x+b[2])) },
		"MGH17": func(b []float64, x float64) float64 {
			return b[0] + b[1]*math.Exp(-x*b[3]) + b[2]*math.Exp(-x*b[4])
		},
		"Misra1a": saturating,
		"Rat43":   func(b []float64, x float64) float64 { return b[0] / math.Pow(1+math.Exp(b[1]-b[2]*x), 1/b[3]) },
		"Thurber": cubic,
	} {
		s := readStrd(t, name)
		problem := residuals{count: len(s.x), at: func(p, out []float64) {
			for i, x := range s.x {
				out[i] = model(p, x) - s.y[i]
			}
		}}
		for which, start := range s.starts {
			f, err := leastSquares(start, problem, 2000, 1e-10)
			if err != nil {
				t.Errorf("%s, start %d: %v", name, which+1, err)
				continue
			}
			if name == "MGH10" && which == 0 {
				if f.Converged {
					t.Errorf("MGH10, start 1: said to have converged at %g", f.Parameters)
				}
				continue
			}
			for i := range start {
				if e := f.Parameters[i]/s.certified[i] - 1; !(math.Abs(e) < 1e-6) {
					t.Errorf("%s, start %d: b%d = %.10g, certified %.10g (%d iterations)", name, which+1, i+1, f.Parameters[i], s.certified[i], f.Iterations)
				}
				if e := f.StandardError(i)/s.deviation[i] - 1; !(math.Abs(e) < 1e-5) {
					t.Errorf("%s, start %d: deviation of b%d = %.8g, certified %.8g", name, which+1, i+1, f.StandardError(i), s.deviation[i])
				}
			}
		}
	}
}

// The calibration of a thermometer of JCGM 100:2008 (GUM), H.3: a straight line
// through eleven corrections, and the correction at 30 degC with its
// uncertainty.
func TestFitAgainstGUMThermometer(t *testing.T) {
	reading := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	correction := []float64{-.171, -.169, -.166, -.159, -.164, -.165, -.156, -.157, -.159, -.161, -.160}
	f, err := leastSquares([]float64{0, 0}, residuals{count: len(reading), unit: 0.01, at: func(p, out []float64) {
		for i := range out {
			out[i] = p[0] + p[1]*(reading[i]-20) - correction[i]
		}
	}}, 50, 1e-9)
	if err != nil {
		t.Fatal(err)
	}
	at30 := mat.NewVecDense(2, []float64{1, 10})
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"y1", f.Parameters[0], -.17120379}, {"u(y1)", f.StandardError(0), .0028776},
		{"y2", f.Parameters[1], .0021826977}, {"u(y2)", f.StandardError(1), .00066794},
		{"r(y1,y2)", f.Covariance.At(0, 1) / f.StandardError(0) / f.StandardError(1), -.9304296},
		{"s", math.Sqrt(f.Variance), .00349756},
		{"b(30)", f.Parameters[0] + 10*f.Parameters[1], -.14937681},
		{"u(b(30))", math.Sqrt(mat.Inner(at30, f.Covariance, at30)), .0041385957},
	} {
		if math.Abs(c.got/c.want-1) > 2e-5 {
			t.Errorf("%s = %.8g, want %.8g", c.what, c.got, c.want)
		}
	}
}
