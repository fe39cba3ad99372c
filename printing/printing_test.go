package printing

import (
	"context"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/design"
	"meltspan/internal/designtest"
	"meltspan/network"
)

// with is the starter with one piece put in place of another.
func with(t testing.TB, old, new string) *design.Design {
	t.Helper()
	text := string(design.Demo())
	if strings.Count(text, old) != 1 {
		t.Fatalf("%q must stand once in the starter", old)
	}
	d, err := design.Parse("d", []byte(strings.Replace(text, old, new, 1)), nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func near(t testing.TB, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s is %g, want %g", what, got, want)
	}
}

// ring volume by Pappus: area of the section times the way of its centroid.
func pappus(in, out, high float64) float64 {
	return (out - in) * high * 2 * math.Pi * (in + out) / 2
}

// The starter by hand, mm: body 116 x 38, cup 80 x 28, wall of 18 with skins of
// 1.2 and a partition of 0.8, so cavities of 7.4 from 1.2 above the table to
// 1.6 under the top; base of 10 with one cavity of 7.6; 12 pegs of 4 x 2.4.
func TestVolumeAndSurfaceOfTheStarter(t *testing.T) {
	e := Nominal(designtest.Demo(t, "engine-on-ice"))
	const cavityHigh = 38 - 1.6 - 1.2
	want := math.Pi*58*58*38 - math.Pi*40*40*28 - math.Pi*40*40*7.6 -
		pappus(41.2, 48.6, cavityHigh) - pappus(49.4, 56.8, cavityHigh) + 12*math.Pi*2*2*2.4
	near(t, "volume, mm3", e.Volume*1e9, want, 1e-9)
	near(t, "plastic, mm3", e.Plastic.Value*1e9, want, 1e-9)
	near(t, "mass, g", e.Mass.Value*1e3, want*1.24e-3, 1e-9) // matter's PLA, 1240 kg/m3
	cylinder := func(r, h float64) float64 { return 2*math.Pi*r*h + 2*math.Pi*r*r }
	hollow := func(in, out, h float64) float64 { return 2*math.Pi*(in+out)*h + 2*math.Pi*(out*out-in*in) }
	surface := cylinder(58, 38) + 2*math.Pi*40*28 + cylinder(40, 7.6) +
		hollow(41.2, 48.6, cavityHigh) + hollow(49.4, 56.8, cavityHigh) + 12*math.Pi*4*2.4
	near(t, "surface, mm2", e.Surface*1e6, surface, 1e-9)
	if e.Layers != 190 {
		t.Errorf("%d layers, want 38 mm by 0.2 mm", e.Layers)
	}
}

// A solid beaker by hand, mm: 116 x 38 with a cup of 80 x 28. Its edges are the
// outer circle and, beside the cup, the inner one.
func TestTimeByHand(t *testing.T) {
	d := with(t, "    cavities: 2                 # air spaces one behind the other; 0 is infilled", "    cavities: 0\n    infill: 100 %")
	d.Stand.Base.Cavities, d.Stand.Base.Infill.SI, d.Stand.Pegs.Count = 0, 1, 0
	p := &d.Print
	p.OuterSpeed.SI, p.FillSpeed.SI, p.TravelShare.SI, p.LayerChange.SI, p.Preparation.SI = 0.03, 0.06, 0.1, 2, 300
	e := Nominal(d)
	floor, wall := math.Pi*58*58, math.Pi*(58*58-40*40)
	layers := []struct{ n, area, edges float64 }{{50, floor, 2 * math.Pi * 58}, {140, wall, 2 * math.Pi * 98}}
	seconds, outer, other := 0.0, 0.0, 0.0
	for _, l := range layers {
		outer += l.n * l.edges
		other += l.n * (l.area/0.42 - l.edges)
	}
	seconds = 300 + 190*2 + (outer/30+other/60)/0.9
	near(t, "outer lines, mm", e.OuterLines*1e3, outer, 1e-9)
	near(t, "other lines, mm", e.OtherLines*1e3, other, 1e-9)
	near(t, "time, s", e.Time.Value, seconds, 1e-9)
	// Line width times layer height times length is the plastic.
	near(t, "extruded", (e.OuterLines+e.OtherLines)*p.LineWidth.SI*p.LayerHeight.SI, e.Plastic.Value, 1e-9)
}

// What is simulated is what is printed: the rings that the network computes
// with hold the same volume, but for pegs and ribs, which enter it by number.
func TestVolumeIsThatOfTheSection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := designtest.Valid(t)
		m, err := network.BuildSection(d, 0.01)
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithCancel(context.Background())
		cancel() // the section alone, no run
		run, _ := m.Run(ctx, network.Options{Horizon: 1, Frames: 2})
		if run == nil || run.Section == nil {
			t.Fatal("no section")
		}
		want := 0.0
		for _, c := range run.Section.Cells {
			want += math.Pi * (c.Out*c.Out - c.In*c.In) * (c.High - c.Low)
		}
		got := 0.0
		for _, l := range standShape(d) {
			for _, r := range l.Rings {
				got += r.area() * l.height()
			}
		}
		if math.Abs(got-want) > 1e-6*want {
			t.Fatalf("volume %g m3, the section holds %g m3\n%s", got, want, d.YAML())
		}
	})
}

func TestInfillTakesItsShareOfPlastic(t *testing.T) {
	d := designtest.Demo(t, "sample-on-cubes") // base infilled to 15 %
	e := Nominal(d)
	core := math.Pi * 45 * 45 * (16 - 2*1.2)
	near(t, "air in the infill, mm3", (e.Volume-e.Plastic.Value)*1e9, 0.85*core, 1e-9)
}

func TestRibsAddTheirVolumeAndSides(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	bare := Nominal(d)
	d.Stand.Ribs.Count = 6
	ribbed := Nominal(d)
	const high, width = 35.2, 7.4
	near(t, "volume, mm3", (ribbed.Volume-bare.Volume)*1e9, 2*6*0.8*width*high, 1e-6)
	sides := 2 * width * high           // of one rib
	covered := 2*0.8*high + 2*0.8*width // of skins, floor and roof
	near(t, "surface, mm2", (ribbed.Surface-bare.Surface)*1e6, 2*6*(sides-covered), 1e-6)
}

func TestPegsThatReachTheRim(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	d.Stand.Pegs.Height.SI = 27.5e-3 // the rim begins 26.4 mm above the floor
	with := Nominal(d)
	d.Stand.Pegs.Count = 0
	without := Nominal(d)
	near(t, "volume, mm3", (with.Volume-without.Volume)*1e9, 12*math.Pi*4*27.5, 1e-6)
	near(t, "surface, mm2", (with.Surface-without.Surface)*1e6, 12*math.Pi*4*27.5, 1e-6)
}

func TestSpreadsFollowTheInputs(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	e := Of(d)
	if !(e.Mass.Spread > FlowError*e.Mass.Value && e.Mass.Spread < 0.1*e.Mass.Value) {
		t.Errorf("mass %+v", e.Mass)
	}
	if !(e.Time.Spread > ModelError*(e.Time.Value-300) && e.Time.Spread < 0.5*e.Time.Value) {
		t.Errorf("time %+v", e.Time)
	}
	for _, path := range uncertain(d) {
		get, err := design.Accessor(path)
		if err != nil {
			t.Fatal(err)
		}
		get(d).Spread = 0
	}
	exact := Of(d)
	near(t, "mass, flow alone", exact.Mass.Spread, FlowError*exact.Mass.Value, 1e-12)
	near(t, "time, model alone", exact.Time.Spread, ModelError*(exact.Time.Value-300), 1e-12)
}

func TestEstimatesOfAnyDesignAreNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := Of(designtest.Valid(t))
		for _, x := range []float64{e.Volume, e.Surface, e.Plastic.Value, e.Plastic.Spread, e.Mass.Value, e.Mass.Spread, e.Time.Value, e.Time.Spread, e.OuterLines} {
			if !(x > 0) || math.IsInf(x, 0) {
				t.Fatalf("%+v", e)
			}
		}
		if e.OtherLines < 0 || e.Plastic.Value > e.Volume*(1+1e-12) {
			t.Fatalf("%+v", e)
		}
	})
}

func TestCautionsNameWhatIsNoWholeLine(t *testing.T) {
	d := designtest.Demo(t, "engine-on-ice")
	if c := Of(d).Cautions; len(c) != 0 {
		t.Errorf("the starter: %q", c)
	}
	d.Stand.Wall.Skin.SI, d.Stand.Rim.Thickness.SI = 0.6e-3, 0.3e-3
	d.Stand.Wall.Partition.SI = 3.4e-3
	c := strings.Join(Of(d).Cautions, "\n")
	for _, want := range []string{"stand.wall.skin: 0.600 mm is no whole number of lines", "stand.rim.thickness: 0.300 mm is no whole number of layers", "stand.wall.partition: 3.40 mm is more than the 3 lines along each face fill; set 4 wall lines"} {
		if !strings.Contains(c, want) {
			t.Errorf("%q is missing from\n%s", want, c)
		}
	}
}

func BenchmarkNominal(b *testing.B) {
	d := designtest.Demo(b, "engine-on-ice")
	b.ReportAllocs()
	for b.Loop() {
		Nominal(d)
	}
}

func BenchmarkOf(b *testing.B) {
	d := designtest.Demo(b, "engine-on-ice")
	for b.Loop() {
		Of(d)
	}
}
