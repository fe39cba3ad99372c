package report

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/predict"
	"meltspan/quantity"
)

func init() {
	for name, fixture := range map[string]func() *predict.Variation{
		"vary": fixtureLine, "vary map": fixtureMap, "vary counted map": fixtureCountedMap,
	} {
		pictures[name] = func(u quantity.Display) (*Picture, error) { return VaryPicture(u, fixture()) }
	}
}

// varyDrawing is what can be read back from the picture of a variation.
type varyDrawing struct {
	marks    map[string][2]float64    // middles
	contours map[float64][][2]float64 // points by hours
	ticks    map[string]([2]float64)  // of the labels written along the axes
	words    string
}

func readVary(t *testing.T, v *predict.Variation) varyDrawing {
	t.Helper()
	p, err := VaryPicture(quantity.Display{}, v)
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Paths []struct {
			D     string `xml:"d,attr"`
			Mark  string `xml:"data-mark,attr"`
			Hours string `xml:"data-contour-hours,attr"`
		} `xml:"path"`
	}
	readSVG(t, p, &doc)
	out := varyDrawing{marks: map[string][2]float64{}, contours: map[float64][][2]float64{}, ticks: map[string][2]float64{}, words: allWords(p.sheet)}
	for _, path := range doc.Paths {
		d := strings.NewReplacer("M", "L", "C", "L", "Z", "").Replace(path.D)
		switch {
		case path.Mark != "": // the last of each is that in the plot, not in the legend
			x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
			for _, q := range pointsIn(t, d) {
				x0, x1, y0, y1 = min(x0, q[0]), max(x1, q[0]), min(y0, q[1]), max(y1, q[1])
			}
			out.marks[path.Mark] = [2]float64{(x0 + x1) / 2, (y0 + y1) / 2}
		case path.Hours != "":
			level, err := strconv.ParseFloat(path.Hours, 64)
			if err != nil {
				t.Fatal(err)
			}
			out.contours[level] = pointsIn(t, d)
		}
	}
	for _, text := range p.sheet.Texts() {
		if _, err := strconv.ParseFloat(text.Content, 64); err == nil && text.Size == smallSize {
			key := text.Content
			if text.Anchor == "end" {
				key = "y " + key
			}
			if _, ok := out.ticks[key]; !ok {
				out.ticks[key] = [2]float64{text.X, text.Y - 4}
			}
		}
	}
	return out
}

func near(a, b float64) bool { return math.Abs(a-b) < 0.6 } // pixels: coordinates are rounded

func TestChartMarksStandAtTheirValues(t *testing.T) {
	d := readVary(t, fixtureLine())
	zero, ten := d.ticks["y 0"][1], d.ticks["y 10"][1]
	hours := func(h float64) float64 { return zero + h/10*(ten-zero) }
	for mark, want := range map[string][2]float64{
		markLongest: {d.ticks["3"][0], hours(8.1)},
		markSafest:  {d.ticks["2"][0], hours(0.4 * 8)},
	} {
		if got := d.marks[mark]; !near(got[0], want[0]) || !near(got[1], want[1]) {
			t.Errorf("%s at %v, want %v", mark, got, want)
		}
	}
}

func TestMapMarksStandAtTheirValues(t *testing.T) {
	d := readVary(t, fixtureMap())
	up := func(mm float64) float64 {
		return d.ticks["y 1.0"][1] + (mm-1)/0.5*(d.ticks["y 1.5"][1]-d.ticks["y 1.0"][1])
	}
	right := func(watts float64) float64 { // by its logarithm
		return d.ticks["0.1"][0] + math.Log10(watts/0.1)*(d.ticks["1"][0]-d.ticks["0.1"][0])
	}
	for mark, want := range map[string][2]float64{
		markLongest: {right(1), up(1.5)},
		markSafest:  {right(0.01), up(1.5)},
		markNow:     {right(0.4), up(1)},
	} {
		if got := d.marks[mark]; !near(got[0], want[0]) || !near(got[1], want[1]) {
			t.Errorf("%s at %v, want %v", mark, got, want)
		}
	}
}

// In a field of 1 h for each decade and 1 h for each millimetre, the contour of
// 6 h passes through the points where both sum to it.
func TestMapContoursLieWhereTheyBelong(t *testing.T) {
	d := readVary(t, fixtureMap())
	points := d.contours[6]
	if len(points) < 2 {
		t.Fatalf("contours %v", d.contours)
	}
	mm, decade := d.ticks["y 1.5"][1]-d.ticks["y 1.0"][1], d.ticks["1"][0]-d.ticks["0.1"][0]
	for _, p := range points {
		hours := 6.5 + (p[0]-d.ticks["0.1"][0])/decade + 0.5*(p[1]-d.ticks["y 1.0"][1])/mm
		if math.Abs(hours-6) > 0.01 {
			t.Errorf("%g h at %v", hours, p)
		}
	}
}

func TestCountsHaveWholeTicksAndNoContours(t *testing.T) {
	for name, v := range map[string]*predict.Variation{"line": fixtureLine(), "map": fixtureCountedMap()} {
		d := readVary(t, v)
		for _, want := range []string{"0", "1", "2", "3", "4"} {
			if _, ok := d.ticks[want]; !ok {
				t.Errorf("%s: no tick at %s", name, want)
			}
		}
		if _, ok := d.ticks["0.5"]; ok || len(d.contours) > 0 {
			t.Errorf("%s: something is drawn between counts", name)
		}
	}
}

func TestMapSaysWhatItShows(t *testing.T) {
	words := strings.ReplaceAll(readVary(t, fixtureMap()).words, "\n", " ")
	for _, want := range []string{
		"stand.gap (mm)", "load.conductance (W/K)", "10 % chance of an early stall", "impossible", "median run time (h)",
		"longest median: 8 h at stand.gap 1.5 mm and load.conductance 1.00 W/K", "as it is now: 1.0 mm and 0.400 W/K", "Prediction, not a measurement",
		"100 samples of the uncertain inputs at every value, the same draws for all",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("the map does not say %q: %s", want, words)
		}
	}
}

// Whatever the numbers, words keep apart and coordinates are numbers.
func TestVaryPictureHoldsForAnyNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, err := VaryPicture(quantity.Display{}, anyVariation(t))
		if err != nil {
			return // nothing to draw
		}
		svg, err := p.SVG()
		if err != nil {
			t.Fatal(err)
		}
		for _, bad := range []string{"NaN,", ",NaN", "Inf,", ",Inf"} {
			if strings.Contains(string(svg), bad) {
				t.Fatal("a coordinate is no number")
			}
		}
		checkWordsApart(t, p)
	})
}
