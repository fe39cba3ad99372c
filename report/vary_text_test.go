package report

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/quantity"
)

func varyText(t *testing.T, v *predict.Variation) string {
	t.Helper()
	var b bytes.Buffer
	if err := VaryText(&b, quantity.Display{}, v); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestVaryTextGoldens(t *testing.T) {
	interrupted := fixtureLine()
	interrupted.Samples, interrupted.Longest, interrupted.Safest = 0, -1, -1
	for i := range interrupted.Points {
		interrupted.Points[i].Band = predict.Band{Low: math.NaN(), Median: math.NaN(), High: math.NaN()}
	}
	for name, v := range map[string]*predict.Variation{
		"vary_line": fixtureLine(), "vary_map": fixtureMap(), "vary_no_sample": interrupted,
	} {
		t.Run(name, func(t *testing.T) { checkGolden(t, name, []byte(varyText(t, v))) })
	}
}

// flowing is a text without its line breaks.
func flowing(text string) string { return strings.Join(strings.Fields(text), " ") }

func TestVaryHeadline(t *testing.T) {
	axes := []predict.Axis{cavitiesAxis()}
	for _, c := range []struct {
		medians, early []float64
		want           string
	}{
		{[]float64{5, 6, 7, 8, 7}, make([]float64, 5), "Longest median run time 8 h at 3 cavities, 1 h more than now; the lower end of the band, 3 h 10 min, is longest there too."},
		{[]float64{5, 6, 7, 7.05, 7}, make([]float64, 5), "Longest median run time 7 h 5 min at 3 cavities, hardly more than now;"},
		{[]float64{5, 6, 7, 6, 5}, []float64{0, 0, 0.1, 0, 0}, "Longest median run time 7 h at 2 cavities, as it is now; the longest lower end of the band, 2 h 25 min, at 1 cavity."},
		{[]float64{5, 6, 0, 6.5, 5}, make([]float64, 5), "Longest median run time 6 h 30 min at 3 cavities; the lower end"},
		{make([]float64, 5), make([]float64, 5), "None of these values makes a possible design."},
	} {
		if got := flowing(varyText(t, variationOf(axes, c.medians, c.early))); !strings.HasPrefix(got, c.want) {
			t.Errorf("%v: %.200s", c.medians, got)
		}
	}
}

func TestVaryWarnings(t *testing.T) {
	never := fixtureLine()
	for i := range never.Points {
		never.Points[i].Band.Low, never.Points[i].Band.Median = 0, 0
	}
	unstated := fixtureLine()
	unstated.Axes[0].Now = math.NaN()
	running := fixtureLine()
	running.Points[running.Longest].Band.StillRunning = 0.3
	cut := fixtureLine()
	cut.Points[cut.Longest].Band.StillRunning = 0.6
	onMap := fixtureCountedMap()
	onMap.Points[13].Band.Median, onMap.Points[13].Early = 8.1*3600, 0.2
	for name, c := range map[string]struct {
		v    *predict.Variation
		want string
	}{
		"end":         {variationOf([]predict.Axis{gapAxis()}, []float64{5, 6, 7, 8}, make([]float64, 4)), "at an end of the range, stand.gap 2.0 mm"},
		"alike":       {variationOf([]predict.Axis{gapAxis()}, []float64{7.9, 8, 8, 8.05}, make([]float64, 4)), "Run time hardly depends on stand.gap: all medians lie within 2 %"},
		"climb up":    {fixtureLine(), "From stand.wall.cavities 2 up to 3 cavities the median hardly changes (within 2 %), but the chance of an early stall climbs from 4.0 % to 12 %."},
		"climb down":  {variationOf([]predict.Axis{gapAxis()}, []float64{8, 7.95, 7, 6}, []float64{0.2, 0.05, 0, 0}), "From stand.gap 1.0 mm down to 0.5 mm the median hardly changes"},
		"on a map":    {onMap, "From stand.wall.cavities 2 up to 3 cavities, at stand.gap 1.5 mm the median hardly changes (within 2 %), but the chance of an early stall climbs from 13 % to 20 %."},
		"not among":   {fixtureMap(), "with load.conductance 0.400 W/K, is not among these values"},
		"not stated":  {unstated, "does not state stand.wall.cavities"},
		"never":       {never, "It never starts in most of the samples, at any of these values."},
		"cut short":   {cut, "At 3 cavities it is still running in 60 % of the samples when the simulation ends at 8 h 5 min: simulate longer"},
		"running on":  {running, "In 30 % of the samples at 3 cavities it was still running"},
		"equal steps": {fixtureMap(), "plate to plate (values in equal ratios)"},
	} {
		if got := flowing(varyText(t, c.v)); !strings.Contains(got, c.want) {
			t.Errorf("%s: %q is missing in %s", name, c.want, got)
		}
	}
}

// Twelve to fifteen per cent, or a median that grows by more than 2 %, is no
// news.
func TestSmallClimbsAreNotTold(t *testing.T) {
	if got := flowing(varyText(t, fixtureCountedMap())); strings.Contains(got, "early stall climbs") {
		t.Error(got)
	}
}

func TestNoEndIsWarnedOfBelowNone(t *testing.T) {
	v := variationOf([]predict.Axis{cavitiesAxis()}, []float64{8, 6, 5, 5, 5}, make([]float64, 5))
	if got := varyText(t, v); strings.Contains(got, "beyond it") {
		t.Errorf("there are no cavities below 0:\n%s", got)
	}
}

// A map too wide for the page is told along its best row and column.
func TestWideMapGivesBestLines(t *testing.T) {
	axis := gapAxis()
	axis.Values = nil
	var medians []float64
	for i := range 30 {
		axis.Values = append(axis.Values, 1e-3+1e-5*float64(i))
		medians = append(medians, 5+0.1*float64(i))
	}
	other := cavitiesAxis()
	other.Values = []float64{1, 2}
	v := variationOf([]predict.Axis{other, axis}, append(medians, medians...), make([]float64, 60))
	got := flowing(varyText(t, v))
	for _, want := range []string{"Run time by stand.wall.cavities, at stand.gap 1.29 mm", "Run time by stand.gap (mm), at stand.wall.cavities 1"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing", want)
		}
	}
}

func TestAxisLabelsAreDistinctAndNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 40).Draw(t, "n")
		lo, step := rapid.Float64Range(-300, 300).Draw(t, "lo"), rapid.Float64Range(1e-3, 50).Draw(t, "step")
		values := make([]float64, n)
		for i := range values {
			values[i] = lo + step*float64(i)
		}
		for i, label := range axisLabels(values, false) {
			var got float64
			if _, err := fmt.Sscan(label, &got); err != nil || math.Abs(got-values[i]) > 0.02*step+1e-9 {
				t.Fatalf("%g at step %g is %q", values[i], step, label)
			}
		}
	})
}

func TestVaryRefusesWhatDoesNotFit(t *testing.T) {
	short, astray, none := fixtureLine(), fixtureMap(), fixtureLine()
	short.Points = short.Points[1:]
	astray.Points[2].At = []int{0, 3}
	none.Axes = nil
	for name, v := range map[string]*predict.Variation{"nothing": nil, "short": short, "astray": astray, "no axis": none} {
		if err := VaryText(&bytes.Buffer{}, quantity.Display{}, v); err == nil || !strings.HasPrefix(err.Error(), "report: ") {
			t.Errorf("%s: text error %v", name, err)
		}
		if _, err := VaryPicture(quantity.Display{}, v); err == nil || !strings.HasPrefix(err.Error(), "report: ") {
			t.Errorf("%s: picture error %v", name, err)
		}
	}
}

// anyVariation draws one with any numbers in it.
func anyVariation(t *rapid.T) *predict.Variation {
	kinds := append(quantity.Kinds(), "")
	number := rapid.OneOf(rapid.Float64Range(0, 2e5), rapid.SampledFrom([]float64{0, math.NaN(), 1e9}))
	var axes []predict.Axis
	count := 1
	for range rapid.IntRange(1, 2).Draw(t, "axes") {
		kind := rapid.SampledFrom(kinds).Draw(t, "kind")
		a := predict.Axis{Path: rapid.StringN(1, 90, 200).Draw(t, "path"), About: rapid.StringN(0, 90, 200).Draw(t, "about"), Kind: kind, Count: kind == "", Now: rapid.Float64Range(-5, 400).Draw(t, "now")}
		at := rapid.Float64Range(0, 300).Draw(t, "first")
		for range rapid.IntRange(1, 12).Draw(t, "values") {
			a.Values = append(a.Values, at)
			at += rapid.Float64Range(1e-4, 100).Draw(t, "step")
		}
		axes, count = append(axes, a), count*len(a.Values)
	}
	v := variationOf(axes, rapid.SliceOfN(rapid.Float64Range(-1, 60), count, count).Draw(t, "medians"),
		rapid.SliceOfN(rapid.Float64Range(0, 1), count, count).Draw(t, "early"))
	v.Design = rapid.StringN(0, 120, 300).Draw(t, "name")
	at := rapid.IntRange(0, count-1).Draw(t, "odd one")
	v.Points[at].Nominal, v.Points[at].Band.High = number.Draw(t, "nominal"), number.Draw(t, "high")
	return v
}

func TestVaryTextStaysWithin80Columns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var b bytes.Buffer
		if err := VaryText(&b, quantity.Display{}, anyVariation(t)); err != nil {
			t.Fatal(err)
		}
		for line := range strings.SplitSeq(b.String(), "\n") {
			if n := utf8.RuneCountInString(line); n > textpage.Width {
				t.Fatalf("%d columns: %q", n, line)
			}
		}
	})
}
