package report

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/quantity"
	"meltspan/report/sheet"
	"meltspan/result"
)

func fixtureOptions() ChartOptions {
	b := fixtureAnswer().Band
	return ChartOptions{Probability: b.Probability, Low: b.Low, Median: b.Median, High: b.High, StallDifference: 5}
}

func chartWords(t *testing.T, run *result.Run, o ChartOptions) string {
	t.Helper()
	p, err := Chart(quantity.Display{}, run, o)
	if err != nil {
		t.Fatal(err)
	}
	return allWords(p.sheet)
}

func allWords(s *sheet.Sheet) string {
	var words []string
	for _, text := range s.Texts() {
		words = append(words, text.Content)
	}
	return strings.Join(words, "\n")
}

func TestChartNamesWhatItShows(t *testing.T) {
	words := chartWords(t, fixtureRun(), fixtureOptions())
	for _, want := range []string{
		"Hollow stand, two cavities, revision 3f9a1c", "runs for 5 h 54 min",
		"temperature (°C)", "plate difference (K)", "ice left (g)", "time since the load was set on the store (h)",
		"dew point", "outer skin, coldest", "stalls below 5.0 K",
		"4 min started", "10 min first sweat, top plate", "5 h 12 min last of the store melted", "5 h 54 min stalled",
		"between 4 h 20 min and 7 h 15 min with 90 % probability",
	} {
		if !strings.Contains(strings.ReplaceAll(words, "\n", " "), want) {
			t.Errorf("the chart does not say %q", want)
		}
	}
}

func TestChartLeavesOutChannelWithoutNumbers(t *testing.T) {
	run := fixtureRun()
	for i := range run.Channel("solid").Values {
		run.Channel("solid").Values[i] = math.NaN()
	}
	if words := chartWords(t, run, ChartOptions{}); strings.Contains(words, "ice left (g)") {
		t.Error("a panel is drawn for a channel without a number")
	}
}

func TestChartTellsTheLastOfSeveralStalls(t *testing.T) {
	run := fixtureRun()
	run.Events = []result.Event{{Kind: result.Stalled, Time: 3600}, {Kind: result.Restarted, Time: 4000}, {Kind: result.Stalled, Time: 7200}}
	if words := chartWords(t, run, ChartOptions{}); !strings.Contains(words, "2 h stalled (last of 2)") {
		t.Errorf("the last stall is not told:\n%s", words)
	}
}

func TestTemperatureLinesDifferInDash(t *testing.T) {
	seen := map[string]string{}
	for _, s := range temperatureStrokes {
		key := fmt.Sprint(s.stroke.dash)
		if s.stroke.dash == nil {
			key = fmt.Sprint(s.stroke) // the two plates are solid and told apart by colour and label
		}
		if other, ok := seen[key]; ok {
			t.Errorf("%s and %s look alike on a grey copy", s.id, other)
		}
		seen[key] = s.id
	}
}

// Whatever numbers a run holds, the chart is drawn with coordinates that are
// numbers, and its words keep apart.
func TestChartHoldsForAnyNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		any := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-500, 500), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Inf(-1)}))
		draw := func(name string) float64 { return any.Draw(t, name) }
		run := &result.Run{RunTime: draw("run time"), End: result.EndStalled}
		for range rapid.IntRange(0, 6).Draw(t, "times") {
			run.Times = append(run.Times, draw("time"))
		}
		for _, id := range []string{"top_plate", "store", "difference", "solid"} {
			run.Channels = append(run.Channels, result.Channel{ID: id, Values: rapid.SliceOfN(any, 0, 8).Draw(t, id)})
		}
		for _, kind := range []result.EventKind{result.Started, result.Stalled, result.MeltEnd} {
			run.Events = append(run.Events, result.Event{Kind: kind, Time: draw("event")})
		}
		p, err := Chart(quantity.Display{}, run, ChartOptions{Probability: 0.9, Low: draw("low"), Median: draw("median"), High: draw("high"), StallDifference: rapid.Float64Range(0, 80).Draw(t, "stall")})
		if err != nil {
			return // no number to draw
		}
		svg, err := p.SVG()
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(svg), "NaN,") || strings.Contains(string(svg), ",NaN") || strings.Contains(string(svg), "Inf,") || strings.Contains(string(svg), ",Inf") {
			t.Fatal("a coordinate is no number")
		}
		checkWordsApart(t, p)
	})
}

func TestInfluencesTellUnknownFromNothing(t *testing.T) {
	a := fixtureAnswer()
	a.Residual = math.NaN()
	for i := range a.Inputs {
		a.Inputs[i].VarianceShare = math.NaN()
	}
	p, err := Influences(quantity.Display{}, a)
	if err != nil {
		t.Fatal(err)
	}
	svg, err := p.SVG()
	if err != nil {
		t.Fatal(err)
	}
	words := strings.ReplaceAll(string(svg), "\n", " ")
	if n := strings.Count(words, ">-</text>"); n != len(a.Inputs) {
		t.Errorf("%d dashes for %d unknown shares", n, len(a.Inputs))
	}
	if !strings.Contains(words, "Too few samples to share out") {
		t.Error("the picture does not say why")
	}
}
