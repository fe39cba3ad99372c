package report

import (
	"bytes"
	"encoding/xml"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/trial"
)

// logged is an invented log: it looks like a trial but comes from no model.
func logged(q trial.Quantity, step float64, n int, at func(h float64) float64) trial.Series {
	s := trial.Series{Quantity: q}
	for i := range n {
		t := float64(i)*step - 120
		s.Samples = append(s.Samples, trial.Sample{Time: t, Value: at(t / 3600)})
	}
	return s
}

func fixtureTrial() *TrialView {
	t := trial.Trial{
		Name: "thick wall", Kind: trial.Run, Design: "Hollow stand, two cavities", Revision: "3f9a1c", Start: 1769864700, Zone: "+01:00", Note: "window open",
		Settings: []trial.Setting{{Path: "store.mass", Value: "118.2 g +- 0.2 g"}},
		Events: []trial.Event{{Kind: trial.Started, Time: 240, Uncertainty: 5, Source: "by hand"}, {Kind: trial.Drip, Time: 7500, Uncertainty: 600, Source: "by hand", Note: "from the rim"},
			{Kind: trial.Stalled, Time: 5.75 * 3600, Uncertainty: 40, Source: trial.ByDifference}},
		Series: []trial.Series{
			logged(trial.BottomPlate, 30, 720, func(h float64) float64 { return 276 + 0.5*h + 8*math.Exp(-max(h, 0)/0.1) }),
			logged(trial.TopPlate, 30, 720, func(h float64) float64 { return 289.5 - 0.5*h + 0.1*math.Sin(40*h) }),
			logged(trial.Room, 60, 360, func(h float64) float64 { return 297 + 0.3*math.Sin(h) }),
			logged(trial.Humidity, 60, 360, func(h float64) float64 { return 0.5 + 0.02*math.Cos(h) }),
			logged(trial.Speed, 30, 720, func(h float64) float64 { return max(0, 1.2-0.2*h) }),
		},
	}
	bottom := t.Series[0].Samples
	for i := range 6 {
		bottom[300+i].Value, bottom[300+i].Mark = 146.15, trial.Fault
	}
	bottom[20].Value, bottom[20].Mark = math.NaN(), trial.Missing
	t.Series[1].Place = "near the rim"
	return &TrialView{Number: 12, Trial: t, Series: ViewSeries(t.Series), Prediction: fixtureRun(), Stall: 6,
		Attachments: []notebook.Attachment{{Name: "rim.jpg", Bytes: 123456, Time: 7800, Note: "frost"}}}
}

func TestTrialPicture(t *testing.T) {
	p, err := TrialPicture(quantity.Display{}, fixtureTrial())
	if err != nil {
		t.Fatal(err)
	}
	keep(t, "trial", p)
	checkWordsApart(t, p)
	var doc struct {
		Title string `xml:"title"`
		Desc  string `xml:"desc"`
	}
	svg := readSVG(t, p, &doc)
	for _, want := range []string{"top plate, near the rim", "speed (rpm)", "humidity (%)", "stalls below 6.0 K", "5 h 45 min stalled", "2 h 5 min drip seen"} {
		if !bytes.Contains(svg, []byte(want)) {
			t.Errorf("the picture does not say %q", want)
		}
	}
	if doc.Title != "Trial 12, thick wall" || !strings.Contains(doc.Desc, "not a measurement") || !strings.Contains(doc.Desc, "before the load was set on") {
		t.Errorf("%q, %q", doc.Title, doc.Desc)
	}
	plain := fixtureTrial()
	plain.Prediction, plain.Trial.Series = nil, plain.Trial.Series[4:]
	if p, err = TrialPicture(quantity.Display{}, plain); err != nil {
		t.Fatal(err)
	}
	svg = readSVG(t, p, &doc)
	if bytes.Contains(svg, []byte("prediction")) || bytes.Contains(svg, []byte("temperature (")) {
		t.Error("a log of the speed alone shows more than that")
	}
	plain.Trial.Series = nil
	if _, err = TrialPicture(quantity.Display{}, plain); err == nil || !strings.HasPrefix(err.Error(), "report: ") {
		t.Errorf("nothing to draw: %v", err)
	}
}

// What is thinned for drawing keeps its extremes and its holes.
func TestFewerPointsKeepTheExtremes(t *testing.T) {
	const n = 400000
	times, values := make([]float64, n), make([]float64, n)
	for i := range n {
		times[i], values[i] = float64(i)-50, math.Sin(float64(i)/9000)
	}
	values[123456], values[234567], values[300000] = 7, -7, nan
	x, y := fewer(times, values, n-51)
	low, high := span(y)
	holes := 0
	for i := range x {
		if math.IsNaN(y[i]) {
			holes++
		}
		if i > 0 && x[i] <= x[i-1] {
			t.Fatalf("%g s after %g s", x[i], x[i-1])
		}
	}
	if low != -7 || high != 7 || holes != 1 || x[0] != 0 || len(x) > 3*drawnColumns {
		t.Errorf("%d points from %g s, %g to %g, %d holes", len(x), x[0], low, high, holes)
	}
}

func TestTrialPictureHoldsForAnyNumbers(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		v := &TrialView{Number: 1, Trial: trial.Trial{Name: rapid.StringN(0, 60, 200).Draw(r, "name")}, Stall: rapid.Float64Range(0, 80).Draw(r, "stall")}
		for range rapid.IntRange(0, 4).Draw(r, "series") {
			s := trial.Series{Quantity: rapid.SampledFrom(trial.Quantities()).Draw(r, "quantity"), Place: rapid.StringN(0, 20, 60).Draw(r, "place")}
			at := rapid.Float64Range(-1e4, 1e5).Draw(r, "from")
			for range rapid.IntRange(0, 20).Draw(r, "samples") {
				at += rapid.Float64Range(1e-3, 1e5).Draw(r, "step")
				s.Samples = append(s.Samples, trial.Sample{Time: at, Value: rapid.Float64().Draw(r, "value"), Mark: rapid.SampledFrom(append(allMarks, trial.Good, trial.Good)).Draw(r, "mark")})
			}
			v.Trial.Series = append(v.Trial.Series, s)
		}
		for range rapid.IntRange(0, 3).Draw(r, "events") {
			v.Trial.Events = append(v.Trial.Events, trial.Event{Kind: rapid.SampledFrom(trial.EventKinds()).Draw(r, "kind"), Time: rapid.Float64Range(-1e4, 1e6).Draw(r, "at")})
		}
		v.Series = ViewSeries(v.Trial.Series)
		if p, err := TrialPicture(quantity.Display{}, v); err == nil {
			svg, err := p.SVG()
			if err != nil {
				r.Fatal(err)
			}
			if err := xml.Unmarshal(svg, new(struct{})); err != nil || bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("Inf\"")) {
				r.Fatalf("a coordinate is no number: %v", err)
			}
		}
		var text bytes.Buffer
		if err := TrialText(&text, quantity.Display{}, v); err != nil {
			r.Fatal(err)
		}
		for line := range strings.SplitSeq(text.String(), "\n") {
			if len([]rune(line)) > 80 {
				r.Fatalf("%d columns: %s", len([]rune(line)), line)
			}
		}
	})
}

func TestTrialText(t *testing.T) {
	var b bytes.Buffer
	if err := TrialText(&b, quantity.Display{}, fixtureTrial()); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"Trial 12, thick wall\n", "  start     2026-01-31 14:05:00 +01:00\n", "  run time  5 h 45 min +- 40 s\n", "  store.mass  118.2 g +- 0.2 g\n",
		"  drip seen  2 h 5 min +- 10 min, by hand: from the rim\n", "bottom plate: 6 readings, of a failing sensor.", "no good reading from 2 h 28 min to 2 h 31 min.",
		"  rim.jpg  123 kB  after 2 h 10 min: frost\n", "The trial ran 0.97 times as long.", "window open",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the text lacks %q:\n%s", want, b.String())
		}
	}
}

func TestMoments(t *testing.T) {
	for _, c := range []struct {
		unix       float64
		zone, want string
	}{
		{1769864700, "UTC", "2026-01-31 13:05:00 +00:00"}, {1769864700, "+01:00", "2026-01-31 14:05:00 +01:00"},
		{1769864700.75, "-03:30", "2026-01-31 09:35:00 -03:30"}, {1769864700, "Europe/Berlin", "2026-01-31 14:05:00 +01:00"},
		{1769864700, "", "2026-01-31 13:05:00 +00:00"}, {nan, "UTC", "not known"},
	} {
		if got := MomentText(c.unix, c.zone); got != c.want {
			t.Errorf("%v in %q: %q, want %q", c.unix, c.zone, got, c.want)
		}
	}
}

func BenchmarkTrialPictureOfAMillionReadings(b *testing.B) {
	v := fixtureTrial()
	v.Trial.Series[1] = logged(trial.TopPlate, 0.02, 1_000_000, func(h float64) float64 { return 290 + math.Sin(1000*h) })
	for b.Loop() {
		if _, err := TrialPicture(quantity.Display{}, v); err != nil {
			b.Fatal(err)
		}
	}
}
