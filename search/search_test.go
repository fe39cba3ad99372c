package search

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"meltspan/design"
	"meltspan/network"
	"meltspan/predict"
	"meltspan/result"
)

func demo(t testing.TB) *design.Design {
	t.Helper()
	d, err := design.Parse("demo", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// inputs reads what varies, each as path and range or words.
func inputs(t testing.TB, d *design.Design, lines ...string) []Input {
	t.Helper()
	var out []Input
	for _, line := range lines {
		path, text, _ := strings.Cut(line, ": ")
		words := strings.Split(text, ", ")
		in, err := ParseInput(d, path, words)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, in)
	}
	return out
}

func problem(t testing.TB, d *design.Design, l Limits, aims []Aim, lines ...string) *Problem {
	t.Helper()
	p, err := NewProblem(d, inputs(t, d, lines...), l, aims, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The front of a small space, by trying all of it on the same draws.
func TestFrontAgainstAllOfASmallSpace(t *testing.T) {
	d := demo(t)
	p := problem(t, d, UsualLimits(d), []Aim{AimRunTime, AimPrintTime}, "stand.wall.cavities: 0 to 3", "stand.base.cavities: 0 to 2")
	r, err := p.Run(context.Background(), Options{Candidates: 100, Samples: 40, Spacing: -1})
	if err != nil {
		t.Fatal(err)
	}
	if !r.Exhausted || r.Interrupted {
		t.Errorf("used up %v, interrupted %v", r.Exhausted, r.Interrupted)
	}
	designs := []*design.Design{d} // first as in the search, so that the draws are the same
	at := [][]float64{nil}
	for wall := range 4 {
		for base := range 3 {
			own := []float64{float64(wall), float64(base)}
			c, err := p.Space.Design(own)
			if err != nil {
				t.Fatal(err)
			}
			designs, at = append(designs, c), append(at, own)
		}
	}
	ranked, err := predict.Bands(context.Background(), d, designs, p.Quantile, predict.Options{Samples: 40, Seed: r.Seed})
	if err != nil {
		t.Fatal(err)
	}
	var all []Found
	for i, c := range designs {
		if i == 0 {
			continue
		}
		f, err := p.figuresOf(context.Background(), c, nil, nil, true)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, Found{at[i], f.score(p.Aims, ranked[i].Quantile)})
	}
	var want, got [][]float64
	for _, f := range all {
		if !beaten(f, all) {
			want = append(want, f.At)
		}
	}
	for _, c := range r.Front {
		got = append(got, c.At)
	}
	less := func(a, b []float64) int { return slices.Compare(a, b) }
	slices.SortFunc(want, less)
	slices.SortFunc(got, less)
	if !reflect.DeepEqual(got, want) || len(want) < 2 {
		t.Errorf("front %v, by trying all %v", got, want)
	}
}

// A long cylinder of ice in an insulation of given outside: heat enters in
// proportion to 1/ln(R/r), the ice is as r squared, so the run time goes as r
// squared times ln(R/r), which is greatest at r = R/sqrt(e) (by setting its
// derivative to zero). The whole chain must find it: design, network, search.
func TestBestInsulationOfACylinder(t *testing.T) {
	text := `
meltspan: 1
name: long cylinder
load: {bottom_plate: {diameter: 196 mm, thickness: 0.1 mm, emissivity: 0.01}, leak: {power: 0 W, limit: 4 degC}}
store: {substance: ice, mass: 2 kg, temperature: 0 degC, support: held}
stand:
  material: aerogel
  outer_diameter: 200 mm
  height: 1000 mm
  cup: {diameter: 100 mm, depth: 900 mm}
  wall: {cavities: 0, infill: 100 %}
  base: {cavities: 0, infill: 100 %}
  rim: {thickness: 0.5 mm, contact: 0.1 W/(m2 K)}
  contact: {mode: pressed}
room: {temperature: 20 degC, humidity: 5 %}
materials: [{name: aerogel, conductivity: 0.004 W/(m K), density: 10 kg/m3, specific_heat: 10 J/(kg K)}]
`
	d, err := design.Parse("cylinder", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	p := problem(t, d, Limits{}, nil, "stand.cup.diameter: 60 mm to 180 mm", "store.mass: 1 kg to 16 kg")
	p.Horizon = 3000 * 3600
	out, err := Evolve(context.Background(), p.Space.domains(), p.evaluate(Local, nil), Evolution{Candidates: 280})
	if err != nil {
		t.Fatal(err)
	}
	best := out.Front[0].At
	want := 200e-3 / math.Sqrt(math.E)
	if math.Abs(best[0]/want-1) > 0.04 {
		t.Errorf("cup of %.1f mm with %.2f kg after %.0f h, by hand %.1f mm", 1e3*best[0], best[1], -out.Front[0].Objectives[0]/3600, 1e3*want)
	}
	own, err := p.Space.Design(best)
	if err != nil {
		t.Fatal(err)
	}
	if full := own.StoreTop() / own.Stand.Cup.Depth.SI; full < 0.97 {
		t.Errorf("the cup is %.3f full", full)
	}
}

// Insulation on a thin pipe first adds to the loss: the loss is greatest where
// the radius is k/h (critical radius; Incropera, Fundamentals of Heat and Mass
// Transfer, 7th ed., Example 3.5).
func TestCriticalRadius(t *testing.T) {
	const inner, k, h = 0.002, 0.055, 5.0
	loss := func(x []float64) float64 { // per length and kelvin
		return 1 / (math.Log(x[0]/inner)/(2*math.Pi*k) + 1/(2*math.Pi*x[0]*h))
	}
	out := evolve(t, box(1, inner, 0.1), objective(func(x []float64) float64 { return -loss(x) }), Evolution{Candidates: 1500})
	if r := out.Front[0].At[0]; math.Abs(r-k/h) > 2e-5 {
		t.Errorf("%.5f m, k/h is %.5f m", r, k/h)
	}
}

// What is found keeps all limits, is better than what was there, can be written
// and read back as the same design, and its lower end is what was ranked.
func TestFoundDesignsHold(t *testing.T) {
	d := demo(t)
	l := UsualLimits(d)
	for name, text := range map[string]string{"envelope": "120 mm x 40 mm", "dry_at": "60 %", "print_time": "7 h"} {
		if err := l.Set(name, text); err != nil {
			t.Fatal(err)
		}
	}
	p := problem(t, d, l, []Aim{AimRunTime, AimMaterial},
		"stand.cup.diameter: 74 mm to 90 mm", "stand.cup.depth: 22 mm to 32 mm", "stand.wall.cavities: 1 to 4",
		"stand.wall.thickness: 8 mm to 20 mm", "stand.base.thickness: 4 mm to 14 mm", "stand.material: pla, petg, abs")
	r, err := p.Run(context.Background(), Options{Candidates: 300, Samples: 150, Ranked: 4, Spacing: -1})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Front) == 0 || !(r.Front[0].RunTime() > 1.5*r.Base.RunTime()) {
		t.Fatalf("front %+v, base %g s", r.Front, r.Base.RunTime())
	}
	for i, c := range r.Front {
		if len(c.Breaches) > 0 {
			t.Errorf("%d: %+v", i, c.Breaches)
		}
		own := r.DesignOf(i)
		back, err := design.Parse("found", own.YAML(), nil)
		if err != nil || back.Revision() != c.Revision {
			t.Fatalf("%d: read back as %v, %v", i, back, err)
		}
		if back.Stand.OuterDiameter.SI > 0.120+1e-9 || back.Stand.Height.SI > 0.040+1e-9 || back.Envelope.Diameter.SI != 0.120 {
			t.Errorf("%d: %g m wide, %g m high", i, back.Stand.OuterDiameter.SI, back.Stand.Height.SI)
		}
		if gap := back.Stand.Cup.Diameter.SI - back.Store.Diameter.SI; math.Abs(gap-2e-3) > 1e-9 {
			t.Errorf("%d: the block's clearance became %g m", i, gap)
		}
		m, err := network.Build(back)
		if err != nil {
			t.Fatal(err)
		}
		if s := m.Time(network.Options{}); math.Abs(s.RunTime/c.Nominal-1) > 1e-6 {
			t.Errorf("%d: runs %g s, told %g s", i, s.RunTime, c.Nominal)
		}
	}
}

// The same seed gives the same answer on one core and on several.
func TestSameSeedSameAnswer(t *testing.T) {
	d := demo(t)
	run := func(cores int) *Result {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		p := problem(t, d, UsualLimits(d), nil, "stand.cup.diameter: 74 mm to 90 mm", "stand.pegs.count: 0 to 20")
		r, err := p.Run(context.Background(), Options{Candidates: 60, Samples: 40, Ranked: 1, Spacing: -1, Seed: 5})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	a, b := run(1), run(3)
	if !reflect.DeepEqual(a.Front[0].At, b.Front[0].At) || !reflect.DeepEqual(a.Front[0].Ranked, b.Front[0].Ranked) {
		t.Errorf("%v and %v", a.Front[0], b.Front[0])
	}
}

// An open top is a plate that goes into the cup and presses on the store; one
// word that the sizes do not suit is no design.
func TestOpenAndClosedTop(t *testing.T) {
	d := demo(t)
	p := problem(t, d, UsualLimits(d), nil, "stand.top: closed, open", "stand.cup.diameter: 80 mm to 100 mm", "store.mass: 100 g to 150 g")
	at := func(top, cup float64) (*design.Design, error) { return p.Space.Design([]float64{top, cup, 0.120}) }
	open, err := at(1, 0.095)
	if err != nil || open.Stand.Contact.Mode != design.ContactPressed || !(open.Stand.Cup.Diameter.SI > open.Load.BottomPlate.Diameter.SI) {
		t.Errorf("open: %v, %v", open.Stand.Contact.Mode, err)
	}
	m, err := network.Build(open)
	if err != nil {
		t.Fatal(err)
	}
	run, err := m.Run(context.Background(), network.Options{})
	if err != nil || !slices.ContainsFunc(run.Budget, func(p result.Path) bool { return p.ID == "open ring" }) {
		t.Errorf("no heat by the open ring: %+v, %v", run.Budget, err)
	}
	if closed, err := at(0, 0.084); err != nil || closed.Stand.Contact.Mode != design.ContactOnRim {
		t.Errorf("closed: %v", err)
	}
	for _, wrong := range [][2]float64{{1, 0.084}, {0, 0.095}} {
		if _, err := at(wrong[0], wrong[1]); err == nil {
			t.Errorf("%v is taken for a design", wrong)
		}
	}
}

// An interruption keeps what was found, screened only and said so.
func TestInterruptionKeepsTheFront(t *testing.T) {
	d := demo(t)
	p := problem(t, d, UsualLimits(d), []Aim{AimRunTime, AimPrintTime}, "stand.cup.diameter: 74 mm to 90 mm", "stand.wall.cavities: 1 to 4")
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	r, err := p.Run(ctx, Options{Candidates: 5000, Samples: 150, Progress: func(stage string, done, _ int) {
		if stage == StageScreening && done >= 100 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	if !r.Interrupted || len(r.Front) == 0 || r.Front[0].Ranked != nil || !(r.Front[0].Screened > 0) || r.Confirm != nil {
		t.Errorf("interrupted %v, front %+v", r.Interrupted, r.Front)
	}
}

// Where nothing holds, the nearest says what stands in the way.
func TestNothingHoldsIsTold(t *testing.T) {
	d := demo(t)
	l := UsualLimits(d)
	l.PrintTime = 600
	p := problem(t, d, l, nil, "stand.wall.cavities: 1 to 3")
	r, err := p.Run(context.Background(), Options{Candidates: 50, Samples: 20, Spacing: -1})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Front) > 0 || r.Nearest == nil || len(r.Nearest.Breaches) != 1 || r.Nearest.Breaches[0].Limit != "print_time" {
		t.Errorf("%+v", r.Nearest)
	}
}

// Ranking by a low quantile finds a design that is safer than the one that a
// ranking by the nominal run finds.
func TestQuantileIsSaferThanNominal(t *testing.T) {
	d := demo(t)
	p := problem(t, d, UsualLimits(d), nil, "stand.pegs.count: 0 to 40", "stand.pegs.height: 0.5 mm to 5 mm", "stand.cup.depth: 22 mm to 29 mm")
	r, err := p.Run(context.Background(), Options{Candidates: 120, Samples: 150, Ranked: 4, Spacing: -1})
	if err != nil {
		t.Fatal(err)
	}
	nominal, err := Evolve(context.Background(), p.Space.domains(), p.evaluate(Local, nil), Evolution{Candidates: 120})
	if err != nil {
		t.Fatal(err)
	}
	other, err := p.Space.Design(nominal.Front[0].At)
	if err != nil {
		t.Fatal(err)
	}
	ranked, err := predict.Bands(context.Background(), d, []*design.Design{other}, p.Quantile, predict.Options{Samples: 150})
	if err != nil {
		t.Fatal(err)
	}
	if best := r.Front[0]; best.RunTime() < ranked[0].Quantile {
		t.Errorf("by quantile %.0f s, by the nominal run %.0f s at that quantile", best.RunTime(), ranked[0].Quantile)
	}
}

// BenchmarkScreening holds the speed claim of docs/benchmarks.md: ten thousand
// candidates of the demo, with nine inputs.
func BenchmarkScreening(b *testing.B) {
	d := demo(b)
	p := problem(b, d, UsualLimits(d), []Aim{AimRunTime, AimPrintTime}, "stand.cup.diameter: 70 mm to 91 mm", "stand.cup.depth: 20 mm to 34 mm",
		"stand.wall.cavities: 0 to 5", "stand.base.cavities: 0 to 4", "stand.pegs.count: 0 to 24", "stand.pegs.height: 1 mm to 5 mm",
		"stand.outer_diameter: 100 mm to 120 mm", "stand.height: 30 mm to 40 mm", "stand.contact.mode: on_rim, pressed")
	for b.Loop() {
		if _, err := p.Run(context.Background(), Options{Candidates: 10000}); err != nil {
			b.Fatal(err)
		}
	}
}
