package predict

import (
	"context"
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"meltspan/design"
	"meltspan/internal/designtest"
	"meltspan/quantity"
)

func predict(t *testing.T, d *design.Design, o Options) *Answer {
	t.Helper()
	a, err := Predict(context.Background(), d, o)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Every example gets a whole answer whose parts fit together.
func TestAnswersOfAllExamples(t *testing.T) {
	for _, name := range design.DemoNames() {
		a := predict(t, designtest.Demo(t, name), Options{Samples: 150})
		b := a.Band
		if b.Samples != 150 || !(b.Low <= b.Median && b.Median <= b.High) {
			t.Errorf("%s: band %+v", name, b)
		}
		if a.Nominal.RunTime < 0.5*b.Low || a.Nominal.RunTime > 1.5*b.High {
			t.Errorf("%s: nominal %g s far outside [%g, %g]", name, a.Nominal.RunTime, b.Low, b.High)
		}
		if a.Ceiling.NoLeak < a.Ceiling.StillAir || a.Ceiling.NoLeak < a.Nominal.RunTime {
			t.Errorf("%s: ceilings %+v, run time %g s", name, a.Ceiling, a.Nominal.RunTime)
		}
		if len(a.Inputs) < 20 || a.Criterion == "" {
			t.Errorf("%s: %d inputs, criterion %q", name, len(a.Inputs), a.Criterion)
		}
	}
}

// The same seed gives the same answer, another seed nearly the same.
func TestSeedFixesTheAnswer(t *testing.T) {
	d := designtest.Demo(t, "engine-on-hot-water")
	one := predict(t, d, Options{Samples: 400}).Band
	if again := predict(t, d, Options{Samples: 400}).Band; again != one {
		t.Errorf("first %+v, then %+v", one, again)
	}
	other := predict(t, d, Options{Samples: 400, Seed: 7}).Band
	if other == one || math.Abs(other.Median/one.Median-1) > 0.03 {
		t.Errorf("seed 1: %+v, seed 7: %+v", one, other)
	}
}

// An interrupted prediction keeps what it had and says how much that is.
func TestInterruptKeepsSamples(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	a, err := Predict(ctx, designtest.Demo(t, "engine-on-hot-water"), Options{Samples: 20000, Progress: func(done, of int) {
		if done == 200 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) || a == nil {
		t.Fatalf("err %v", err)
	}
	if a.Band.Samples < 200 || a.Band.Samples > 2000 || a.Band.Asked != 20000 {
		t.Errorf("%d of %d samples", a.Band.Samples, a.Band.Asked)
	}
}

// A design against itself: ratio exactly one wherever nothing belongs to one
// trial alone, and even odds.
func TestComparisonWithItself(t *testing.T) {
	exact := func(d *design.Design) {
		for _, input := range d.Quantities() {
			if !input.Own {
				continue
			}
			set, err := design.Accessor(input.Path)
			if err != nil {
				t.Fatal(err)
			}
			set(d).Spread = 0
		}
	}
	c, err := Compare(context.Background(), designtest.Demo(t, "engine-on-ice", exact), designtest.Demo(t, "engine-on-ice", exact), Options{Samples: 60})
	if err != nil {
		t.Fatal(err)
	}
	if c.Ratio.Low != 1 || c.Ratio.High != 1 || c.Difference.High != 0 || c.Longer != 0.5 || c.OnlyA+c.OnlyB != 0 {
		t.Errorf("ratio %+v, longer %g, own %d and %d", c.Ratio, c.Longer, c.OnlyA, c.OnlyB)
	}
}

// What two designs share makes their ratio better known than either run time.
func TestRatioIsBetterKnownThanTheTimes(t *testing.T) {
	foil := func(d *design.Design) { d.Stand.Wall.Emissivity = quantity.Value{SI: 0.05, Origin: quantity.Stated} }
	c, err := Compare(context.Background(), designtest.Demo(t, "engine-on-hot-water"), designtest.Demo(t, "engine-on-hot-water", foil), Options{Samples: 300})
	if err != nil {
		t.Fatal(err)
	}
	relative := func(b Band) float64 { return (b.High - b.Low) / b.Median }
	if relative(c.Ratio) > relative(c.BandA)/2 || c.Ratio.Low < 1 {
		t.Errorf("ratio %+v, first %+v", c.Ratio, c.BandA)
	}
}

// Two stands on one bench share the room when both state the same; trials in
// different rooms do not.
func TestRoomIsSharedWhenStatedAlike(t *testing.T) {
	shared := func(a, b *design.Design) bool {
		va, err := variables(a)
		if err != nil {
			t.Fatal(err)
		}
		vb, err := variables(b)
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range planOf(va, vb, true).names {
			if n.Path == "room.temperature" {
				return n.Of == ""
			}
		}
		t.Fatal("room.temperature is no input")
		return false
	}
	warmer := func(d *design.Design) { d.Room.Temperature.SI += 2 }
	if !shared(designtest.Demo(t, "engine-on-ice"), designtest.Demo(t, "engine-on-ice")) {
		t.Error("the same room is drawn twice")
	}
	if shared(designtest.Demo(t, "engine-on-ice"), designtest.Demo(t, "engine-on-ice", warmer)) {
		t.Error("two rooms are drawn as one")
	}
}

// Draws of a normal input have the band of a normal distribution: 90 % within
// 1.645 standard deviations (tables of the normal distribution).
func TestBandOfANormalInput(t *testing.T) {
	z := deviates(2000, 3, 1)
	v := variable{Input: design.Input{Path: "room.temperature", Kind: quantity.Temperature,
		Value: quantity.Value{SI: 295, Spread: 2}, Low: 0, High: 1000}}
	values := make([]float64, 2000)
	for i := range values {
		values[i] = v.at(z.At(i, 1))
	}
	b := bandOf(values, quantity.Temperature, 2000, 1)
	if math.Abs(b.Low-(295-1.645*2)) > 0.05 || math.Abs(b.High-(295+1.645*2)) > 0.05 || math.Abs(b.Mean-295) > 0.02 {
		t.Errorf("%+v", b)
	}
}

// JCGM 101:2008 (GUM Supplement 1) 9.2.3, from memory: the sum of four
// rectangular quantities of unit standard deviation has standard uncertainty 2
// and the 95 % interval +-3.88. The draws behind the bands reproduce it.
func TestSumOfFourRectangularQuantities(t *testing.T) {
	z := deviates(20000, 4, 1)
	sums := make([]float64, 20000)
	variance := 0.0
	for i := range sums {
		for j := range 4 {
			u := 0.5 * math.Erfc(-z.At(i, j)/math.Sqrt2)
			sums[i] += math.Sqrt(3) * (2*u - 1)
		}
		variance += sums[i] * sums[i] / 20000
	}
	b := bandOf(sums, quantity.Fraction, 20000, 1)
	// Ends of the 90 % interval of the same sum, by the exact density
	// (Irwin-Hall distribution of four): +-3.325.
	if math.Abs(math.Sqrt(variance)-2) > 0.01 || math.Abs(b.High-irwinHall90) > 0.03 || math.Abs(b.Low+irwinHall90) > 0.03 {
		t.Errorf("u %.4f, 90 %% [%.3f, %.3f]", math.Sqrt(variance), b.Low, b.High)
	}
}

// irwinHall90 solves F(x) = 0.95 for the sum of four: the upper tail of the
// Irwin-Hall distribution is (4 - x)^4/24 near its end, so x = 4 - 1.2^(1/4),
// and the sum is 2 sqrt(3) (x - 2).
var irwinHall90 = 2 * math.Sqrt(3) * (2 - math.Pow(1.2, 0.25))

// Plotting positions (i - 0.5)/n of Hyndman and Fan's type 5: the median of 1
// to 4 is 2.5, the lower quartile 1.5.
func TestQuantile(t *testing.T) {
	for _, c := range []struct {
		p    float64
		want float64
	}{{0.5, 2.5}, {0.25, 1.5}, {0, 1}, {1, 4}} {
		if got := quantile([]float64{1, 2, 3, 4}, c.p); got != c.want {
			t.Errorf("quantile %g is %g, want %g", c.p, got, c.want)
		}
	}
	if got := quantile([]float64{1, 2, math.Inf(1)}, 0.5); got != 2 {
		t.Errorf("beside an infinite value: %g", got)
	}
}

// The shares of a linear function of independent inputs are the squares of its
// coefficients over their sum.
func TestSharesOfALinearFunction(t *testing.T) {
	z := deviates(800, 6, 1)
	values, rows := make([]float64, 800), make([]int, 800)
	for i := range values {
		rows[i] = i
		values[i] = 10 + 3*z.At(i, 0) - 4*z.At(i, 3)
	}
	share, rest := shares(z, rows, values)
	want := []float64{9.0 / 25, 0, 0, 16.0 / 25, 0, 0}
	for j := range want {
		if math.Abs(share[j]-want[j]) > 0.03 {
			t.Errorf("input %d: %.3f, want %.3f", j, share[j], want[j])
		}
	}
	if math.Abs(rest) > 0.05 {
		t.Errorf("rest %.3f", rest)
	}
	if few, _ := shares(z, rows[:8], values[:8]); !math.IsNaN(few[0]) {
		t.Errorf("from eight samples: %v", few)
	}
	var _ mat.Matrix = z
}

// Draws stay in the range that a design may state.
func TestDrawsStayInRange(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	vs, err := variables(d)
	if err != nil {
		t.Fatal(err)
	}
	for i := range vs {
		for _, deviate := range []float64{-6, -2, 0, 2, 6} {
			if x := vs[i].at(deviate); !(x >= vs[i].Low && x <= vs[i].High) {
				t.Errorf("%s: %g outside [%g, %g]", vs[i].Path, x, vs[i].Low, vs[i].High)
			}
		}
		if x := vs[i].at(0); math.Abs(x-vs[i].Value.SI) > 1e-9*math.Abs(x)+1e-12 {
			t.Errorf("%s: the middle draw is %g, the value %g", vs[i].Path, x, vs[i].Value.SI)
		}
	}
}
