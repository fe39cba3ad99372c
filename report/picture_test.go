package report

import (
	"bytes"
	"encoding/xml"
	"flag"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"meltspan/quantity"
	"meltspan/result"
)

var picturesDir = flag.String("pictures", "", "folder to keep the pictures of the tests in, to be looked at")

// keep writes a picture where -pictures says, if it says so.
func keep(t *testing.T, name string, p *Picture) {
	t.Helper()
	if *picturesDir == "" {
		return
	}
	svg, err := p.SVG()
	if err != nil {
		t.Fatal(err)
	}
	png, err := p.PNG()
	if err != nil {
		t.Fatal(err)
	}
	name = strings.ReplaceAll(t.Name(), "/", "_") + "_" + name
	for ext, data := range map[string][]byte{".svg": svg, ".png": png} {
		if err := os.WriteFile(filepath.Join(*picturesDir, name+ext), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// pictures is every kind of picture of the fixtures.
var pictures = map[string]func(u quantity.Display) (*Picture, error){
	"chart":      func(u quantity.Display) (*Picture, error) { return Chart(u, fixtureRun(), fixtureOptions()) },
	"heat flow":  func(u quantity.Display) (*Picture, error) { return HeatFlow(fixtureRun()) },
	"band":       func(u quantity.Display) (*Picture, error) { return BandPicture(fixtureAnswer()) },
	"compare":    func(u quantity.Display) (*Picture, error) { return CompareChart(u, fixtureComparison()) },
	"influences": func(u quantity.Display) (*Picture, error) { return Influences(u, fixtureAnswer()) },
	"bare chart": func(u quantity.Display) (*Picture, error) { return Chart(u, bareRun(), ChartOptions{}) },
	"busy chart": func(u quantity.Display) (*Picture, error) { return Chart(u, busyRun(), fixtureOptions()) },
	"short chart": func(u quantity.Display) (*Picture, error) {
		return Chart(u, shortRun(), ChartOptions{StallDifference: 5})
	},
}

// bareRun has one channel, with gaps.
func bareRun() *result.Run {
	return &result.Run{Design: "bare", End: result.EndHorizon, Simulated: 7200, Times: []float64{0, 1800, 3600, 5400, 7200},
		Channels: []result.Channel{{ID: "store", Values: []float64{273, math.NaN(), 274, 275, math.NaN()}}}}
}

// busyRun has all its events within minutes and all its lines ending together.
func busyRun() *result.Run {
	r := fixtureRun()
	for i, kind := range []result.EventKind{result.Restarted, result.FreezeStart, result.FreezeEnd, result.Overflow, result.LimitPassed, result.HorizonEnd} {
		r.Events = append(r.Events, result.Event{Kind: kind, Time: r.RunTime - 60*float64(i)})
	}
	for _, c := range r.Channels[:6] {
		c.Values[len(c.Values)-1] = 285
	}
	return r
}

func shortRun() *result.Run {
	r := fixtureRun()
	for i := range r.Times {
		r.Times[i] /= 20
	}
	r.Events, r.RunTime = nil, r.RunTime/20
	return r
}

// inOtherUnits are those of a reader who has neither degC nor mm.
var inOtherUnits = func() quantity.Display {
	u, err := quantity.ParseDisplay("degF,in")
	if err != nil {
		panic(err)
	}
	return u
}()

func eachPicture(t *testing.T, check func(t *testing.T, p *Picture)) {
	for name, draw := range pictures {
		for _, u := range []quantity.Display{{}, inOtherUnits} {
			t.Run(name+" in "+u.String(), func(t *testing.T) {
				p, err := draw(u)
				if err != nil {
					t.Fatal(err)
				}
				check(t, p)
			})
		}
	}
}

func TestPicturesKeepTheirWordsApart(t *testing.T) {
	eachPicture(t, func(t *testing.T, p *Picture) {
		keep(t, "", p)
		checkWordsApart(t, p)
	})
}

// checkWordsApart checks that no text meets another or leaves the sheet.
func checkWordsApart(t interface {
	Helper()
	Errorf(string, ...any)
}, p *Picture) {
	t.Helper()
	texts := p.sheet.Texts()
	for i, a := range texts {
		ax0, ay0, ax1, ay1 := a.Bounds()
		if ax0 < 0 || ay0 < 0 || ax1 > p.sheet.Width || ay1 > p.sheet.Height {
			t.Errorf("%q leaves the sheet: %.0f..%.0f, %.0f..%.0f on %.0f by %.0f", a.Content, ax0, ax1, ay0, ay1, p.sheet.Width, p.sheet.Height)
		}
		for _, b := range texts[:i] {
			bx0, by0, bx1, by1 := b.Bounds()
			if min(ax1, bx1)-max(ax0, bx0) > 0.01 && min(ay1, by1)-max(ay0, by0) > 0.01 {
				t.Errorf("%q at (%.0f, %.0f) overlaps %q at (%.0f, %.0f)", a.Content, a.X, a.Y, b.Content, b.X, b.Y)
			}
		}
	}
}

func TestPicturesAreTheSameEveryTime(t *testing.T) {
	for name, draw := range pictures {
		t.Run(name, func(t *testing.T) {
			var first [2][]byte
			for i := range 2 {
				p, err := draw(inOtherUnits)
				if err != nil {
					t.Fatal(err)
				}
				svg, err := p.SVG()
				if err != nil {
					t.Fatal(err)
				}
				image, err := p.PNG()
				if err != nil {
					t.Fatal(err)
				}
				if i > 0 && !(bytes.Equal(first[0], svg) && bytes.Equal(first[1], image)) {
					t.Fatal("drawn twice, the picture differs")
				}
				first = [2][]byte{svg, image}
			}
		})
	}
}

// readSVG decodes a picture's SVG into what the test looks at, and returns it.
func readSVG(t *testing.T, p *Picture, doc any) []byte {
	t.Helper()
	svg, err := p.SVG()
	if err != nil {
		t.Fatal(err)
	}
	if err := xml.Unmarshal(svg, doc); err != nil {
		t.Fatal(err)
	}
	return svg
}

func TestPicturesAreWellFormedWithTitleAndDescription(t *testing.T) {
	eachPicture(t, func(t *testing.T, p *Picture) {
		var doc struct {
			Title string `xml:"title"`
			Desc  string `xml:"desc"`
		}
		svg := readSVG(t, p, &doc)
		if doc.Title == "" || !strings.Contains(doc.Desc, "not a measurement") {
			t.Errorf("title %q, description %q", doc.Title, doc.Desc)
		}
		if bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("Inf")) {
			t.Error("a coordinate is no number")
		}
	})
}

func TestPNGHasTwicePixelsOfSheet(t *testing.T) {
	p, err := BandPicture(fixtureAnswer())
	if err != nil {
		t.Fatal(err)
	}
	data, err := p.PNG()
	if err != nil {
		t.Fatal(err)
	}
	c, err := png.DecodeConfig(io.Reader(bytes.NewReader(data)))
	if err != nil {
		t.Fatal(err)
	}
	if c.Width != int(math.Ceil(2*p.sheet.Width)) || c.Height != int(math.Ceil(2*p.sheet.Height)) {
		t.Errorf("%d by %d pixels for a sheet of %g by %g", c.Width, c.Height, p.sheet.Width, p.sheet.Height)
	}
}

func TestPicturesRefuseNothingToDraw(t *testing.T) {
	empty := fixtureAnswer()
	empty.Inputs, empty.Nominal = nil, nil
	empty.Band.Low, empty.Band.Median, empty.Band.High = 0, 0, 0
	empty.LastIce.High, empty.Ceiling.NoLeak, empty.Ceiling.StillAir = 0, math.Inf(1), math.NaN()
	none := fixtureComparison()
	none.NominalA, none.NominalB, none.BandA.High, none.BandB.High = 0, 0, 0, 0
	none.BandA.Low, none.BandA.Median, none.BandB.Low, none.BandB.Median = 0, 0, 0, 0
	for name, draw := range map[string]func() (*Picture, error){
		"chart of nothing":     func() (*Picture, error) { return Chart(quantity.Display{}, nil, ChartOptions{}) },
		"chart of no channel":  func() (*Picture, error) { return Chart(quantity.Display{}, &result.Run{}, ChartOptions{}) },
		"heat flow of nothing": func() (*Picture, error) { return HeatFlow(nil) },
		"heat flow of no flow": func() (*Picture, error) { return HeatFlow(&result.Run{}) },
		"band of nothing":      func() (*Picture, error) { return BandPicture(nil) },
		"band of zero":         func() (*Picture, error) { return BandPicture(empty) },
		"comparison of none":   func() (*Picture, error) { return CompareChart(quantity.Display{}, none) },
		"influences of none":   func() (*Picture, error) { return Influences(quantity.Display{}, empty) },
	} {
		if _, err := draw(); err == nil || !strings.HasPrefix(err.Error(), "report: ") {
			t.Errorf("%s: error %v", name, err)
		}
	}
}
