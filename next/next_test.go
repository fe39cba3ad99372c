package next

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"meltspan/design"
	"meltspan/internal/designtest"
	"meltspan/network"
	"meltspan/predict"
)

func rank(t testing.TB, d *design.Design, revisions []*design.Design, o Options) *Ranking {
	t.Helper()
	o.Printed = true
	r, err := Rank(context.Background(), d, revisions, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func find(t testing.TB, r *Ranking, id string) Trial {
	t.Helper()
	for _, x := range r.Trials {
		if x.ID == id {
			return x
		}
	}
	t.Fatalf("no trial %s", id)
	return Trial{}
}

// better is the demo with a wall of three cavities and more contact: a revision
// that runs longer.
func better(t testing.TB) *design.Design {
	d := designtest.Demo(t, "engine-on-ice")
	d.Name = "better"
	d.Stand.Pegs.Count = 0
	d.Stand.Base.Cavities = 3
	if err := d.Set("stand.cup.depth", 0.0265); err != nil {
		t.Fatal(err)
	}
	if p := d.Check(); len(p) > 0 {
		t.Fatal(p)
	}
	return d
}

// Logs tell more than a clock; the bench settles what the bench sees; and
// printing a revision that runs longer gains about what its mean run time does.
func TestRankOfTheDemo(t *testing.T) {
	d, other := designtest.Demo(t, "engine-on-ice"), better(t)
	r := rank(t, d, []*design.Design{other}, Options{Draws: 200})
	if clock, logged := find(t, r, "clock"), find(t, r, "logged"); logged.Bits < clock.Bits || !(clock.Bits > 0) {
		t.Errorf("clock %.3f bits, logs %.3f", clock.Bits, logged.Bits)
	}
	bench := find(t, r, "bench")
	if len(bench.Settles) == 0 || bench.Settles[0].Path != "model.still" || bench.Settles[0].Share < 0.85 || bench.Cost.Freeze != 0 {
		t.Errorf("%+v", bench)
	}
	if blank := find(t, r, "blank"); blank.Cost.Print != 0 || !(blank.Cost.Freeze > 0) || !(blank.Cost.Run < r.Means[0]) {
		t.Errorf("%+v", blank.Cost)
	}
	revision := find(t, r, "revision-1")
	if direct := r.Means[1] - r.Means[0]; !(direct > 0) || revision.Gain < direct || revision.Gain > direct+1800 || !(revision.Cost.Print > 0) {
		t.Errorf("gain %.0f s, means differ by %.0f s", revision.Gain, direct)
	}
	if r.Longest != 1 {
		t.Errorf("longest %d", r.Longest)
	}
	for i := 1; i < len(r.Trials); i++ {
		if r.Trials[i].BitsPerHour > r.Trials[i-1].BitsPerHour {
			t.Errorf("trial %d gives more for each hour than the one before", i)
		}
	}
	for _, x := range r.Trials {
		if math.Abs(x.BitsPerHour*x.Cost.Total()/3600-x.Bits) > 1e-9 {
			t.Errorf("%s: %+v", x.ID, x)
		}
	}
}

// Once trials have settled what matters, no trial is worth a day.
func TestNothingIsWorthADay(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	known := &predict.Draws{}
	row := []float64{}
	for _, in := range d.Quantities() {
		if !in.Own {
			known.Paths, row = append(known.Paths, in.Path), append(row, in.Value.SI)
		}
	}
	for range 20 {
		known.Rows = append(known.Rows, row)
	}
	r := rank(t, d, nil, Options{Draws: 100, Known: known})
	band := r.RunTimes[0]
	if width := (band.High - band.Low) / band.Median; width > 0.2 { // what the model itself may be wrong by
		t.Errorf("band of %.3f of the median", width)
	}
	before := rank(t, d, nil, Options{Draws: 100})
	if a, b := find(t, r, "bench"), find(t, before, "bench"); a.Worth || !b.Worth || a.Bits > 0.1 {
		t.Errorf("bench: %.3f bits when all is known, %.3f before", a.Bits, b.Bits)
	}
	for _, x := range r.Trials {
		if len(x.Settles) > 0 {
			t.Errorf("%s settles %+v, and all is known", x.ID, x.Settles)
		}
	}
}

// The same seed gives the same ranking on one core and on several.
func TestSameSeedSameRanking(t *testing.T) {
	d := designtest.Demo(t, "sample-on-cubes")
	run := func(cores int) *Ranking {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		return rank(t, d, nil, Options{Draws: 40})
	}
	if a, b := run(1), run(3); !reflect.DeepEqual(a, b) {
		t.Errorf("%+v\n%+v", a, b)
	}
}

// All examples can be ranked; what makes no sense for them is left out.
func TestTrialsSuitTheDevice(t *testing.T) {
	for name, want := range map[string]string{
		"sample-on-cubes":     "clock logged blank dummy",
		"generator-on-ice":    "clock logged heater blank dummy",
		"engine-on-hot-water": "clock logged bench",
	} {
		d := designtest.Demo(t, name)
		m, err := network.Build(d)
		if err != nil {
			t.Fatal(err)
		}
		run, err := m.Run(context.Background(), network.Options{Course: true})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, p := range plans(d, nil, run, &Options{Printed: true}) {
			got = append(got, p.ID)
			readings, err := p.simulate(context.Background(), p.design, d.ColdStore(), 48*3600)
			if err != nil || len(readings) != len(p.errors) {
				t.Errorf("%s, %s: %d readings with %d errors, %v", name, p.ID, len(readings), len(p.errors), err)
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Half a watt on the upper plate is half a watt: the plate warms until film and
// engine carry it off, and the store melts faster.
func TestHeaterHeats(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	h := heated(d)
	area := math.Pi / 4 * math.Pow(h.Load.TopPlate.Diameter.SI, 2)
	if power := h.Room.Sun.SI * h.Room.Absorptivity.SI * area; math.Abs(power-heaterPower) > 1e-12 {
		t.Errorf("%g W", power)
	}
	run := func(d *design.Design) (top, left float64) {
		m, err := network.Build(d)
		if err != nil {
			t.Fatal(err)
		}
		r, err := m.Run(context.Background(), network.Options{Course: true, Horizon: 4 * 3600})
		if err != nil {
			t.Fatal(err)
		}
		return at(r.Times, r.Channel("top_plate").Values, 2*3600), at(r.Times, r.Channel("solid").Values, 3*3600)
	}
	cold, before := run(d)
	warm, after := run(h)
	if rise := warm - cold; rise < 0.5 || rise > 10 || !(after < before) {
		t.Errorf("the plate warms by %.2f K, ice left %.4f and %.4f kg", rise, before, after)
	}
}

func TestInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	d := designtest.Demo(t, "engine-on-ice")
	_, err := Rank(ctx, d, nil, Options{Draws: 5000, Progress: func(done, _ int) {
		if done == 3 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}

func TestParseDraws(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	rows := strings.Repeat("1.1, 0.19, 2\n", 20)
	known, err := ParseDraws([]byte("# SI\nmodel.still, materials.pla.conductivity, weight\n"+rows), d)
	if err != nil || len(known.Rows) != 20 || known.Weights[3] != 2 || known.Rows[3][1] != 0.19 || known.Deviates {
		t.Errorf("%+v, %v", known, err)
	}
	var list []string
	for i := range 20 {
		list = append(list, fmt.Sprintf("[0.5, %d, 1.5]", i))
	}
	known, err = ParseDraws([]byte(`{"columns": [{"path": "model.still"}, {"path": "pace", "of": "x"}, {"path": "model.gap"}], "draws": [`+strings.Join(list, ",")+`]}`), d)
	if err != nil || len(known.Paths) != 2 || known.Rows[7][1] != 1.5 || !known.Deviates {
		t.Errorf("%+v, %v", known, err)
	}
	for _, c := range []struct{ text, why string }{
		{"", "no first line"},
		{"model.stil\n1\n", "no uncertain input"},
		{"store.mass\n0.1\n", "no uncertain input"},
		{"model.still,model.still\n1,1\n", "twice"},
		{"model.still\none\n", "line 2"},
		{"model.still\nNaN\n", "line 2"},
		{"model.still,weight\n1,-1\n", "line 2"},
		{"model.still\n1\n", "only 1 draws"},
		{"{", "JSON"},
		{`{"columns": [{"path": "pace"}], "draws": [[1]]}`, "none of"},
		{`{"columns": [{"path": "model.still"}], "draws": [[1, 2]]}`, "draw 1"},
	} {
		if _, err := ParseDraws([]byte(c.text), d); err == nil || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%q: %v", c.text, err)
		}
	}
}

// Whatever a file of draws holds, what is taken from it has a value for each
// input in each draw.
func FuzzParseDraws(f *testing.F) {
	f.Add([]byte("model.still, weight\n" + strings.Repeat("1.1, 2\n", 20)))
	f.Add([]byte(`{"columns": [{"path": "model.still"}], "draws": [[1]], "weights": [1]}`))
	d := designtest.Demo(f, "engine-on-ice")
	f.Fuzz(func(t *testing.T, text []byte) {
		known, err := ParseDraws(text, d)
		if err != nil {
			return
		}
		for _, row := range known.Rows {
			if len(row) != len(known.Paths) {
				t.Fatalf("%d values for %d inputs", len(row), len(known.Paths))
			}
		}
	})
}
