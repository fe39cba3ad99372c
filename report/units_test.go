package report

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/quantity"
	"meltspan/result"
)

// otherUnits finds a temperature, a difference or a length in units that the
// reader did not choose: by its unit after a number or in brackets. Speeds of
// printing and what is per kelvin stay.
var otherUnits = regexp.MustCompile(`degC|°C|[0-9(] ?(?:K|mm|cm|cm2|m)(?:[^\w/²³]|$)`)

// compound are units that stay as they are.
var compound = strings.NewReplacer("W/(m2 K)", "", "W/(m² K)", "", "W/(m K)", "")

func foundOthers(text string) []string { return otherUnits.FindAllString(compound.Replace(text), -1) }

func TestPicturesHoldNoUnitThatWasNotChosen(t *testing.T) {
	for name, draw := range pictures {
		t.Run(name, func(t *testing.T) {
			p, err := draw(inOtherUnits)
			if err != nil {
				t.Fatal(err)
			}
			svg, err := p.SVG()
			if err != nil {
				t.Fatal(err)
			}
			if found := foundOthers(string(svg)); len(found) > 0 {
				t.Errorf("in degF and in there is %q", found)
			}
			p, err = draw(quantity.Display{})
			if err != nil {
				t.Fatal(err)
			}
			if svg, err = p.SVG(); err != nil {
				t.Fatal(err)
			}
			if found := regexp.MustCompile(`degF|°F|[0-9(] ?(?:in|ft)\)`).FindAllString(string(svg), -1); len(found) > 0 {
				t.Errorf("in degC and mm there is %q", found)
			}
		})
	}
}

// Axes have round numbers in the unit chosen, not converted ones: every tick is a
// whole number of steps of 1, 2 or 5 times a power of ten.
func TestAxesAreRoundInTheUnitChosen(t *testing.T) {
	run := fixtureRun()
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range temperatureStrokes {
		if c := run.Channel(s.id); holdsNumber(c) {
			l, h := span(c.Values)
			lo, hi = min(lo, l), max(hi, h)
		}
	}
	for _, u := range []quantity.Display{{}, inOtherUnits} {
		panels := chartPanels(u, run, fixtureOptions())
		v := valueScale(panels[0])
		if want := u.Of(lo, quantity.Temperature); v.lo > want+1e-9 || v.lo < want-v.step {
			t.Errorf("in %s the scale begins at %g, and the coldest is %g", u, v.lo, want)
		}
		if want := u.Of(hi, quantity.Temperature); v.hi < want-1e-9 || v.hi > want+v.step {
			t.Errorf("in %s the scale ends at %g, and the warmest is %g", u, v.hi, want)
		}
		for _, x := range v.ticks {
			if math.Abs(math.Remainder(x, v.step)) > 1e-9 {
				t.Errorf("in %s there is a tick at %g, with steps of %g", u, x, v.step)
			}
		}
	}
}

// The contours of the section lie at round numbers of the reader's unit, each at
// the temperature that it names.
func TestContoursAreRoundInTheUnitChosen(t *testing.T) {
	level := regexp.MustCompile(`data-contour-kelvin="([0-9.]+)"[^>]*><title>([-0-9.]+) (°[CF])</title>`)
	for _, u := range []quantity.Display{{}, inOtherUnits} {
		p, err := SectionPicture(u, sectionRun(invented), 2)
		if err != nil {
			t.Fatal(err)
		}
		svg, err := p.SVG()
		if err != nil {
			t.Fatal(err)
		}
		found := level.FindAllStringSubmatch(string(svg), -1)
		if len(found) < 4 {
			t.Fatalf("in %s there are %d contours", u, len(found))
		}
		for _, m := range found {
			kelvin, _ := strconv.ParseFloat(m[1], 64)
			shown, _ := strconv.ParseFloat(m[2], 64)
			if m[3] != sign(u, quantity.Temperature) || math.Abs(u.Of(kelvin, quantity.Temperature)-shown) > 0.02 || math.Abs(shown-math.Round(shown)) > 1e-9 {
				t.Errorf("in %s the contour at %s K is %s %s", u, m[1], m[2], m[3])
			}
		}
	}
}

// Scale bars are round, and as long as they say: 1 in is 25.4 mm (NIST SP 811).
func TestScaleBarIsRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		most := rapid.Float64Range(0.011, 0.2).Draw(t, "most")
		for words, u := range map[string]quantity.Display{"mm": {}, "in": inOtherUnits} {
			length, text := scaleBar(u, most)
			number, unit, _ := strings.Cut(text, " ")
			x, err := strconv.ParseFloat(number, 64)
			inSI := map[string]float64{"mm": 1e-3, "in": 25.4e-3}[words]
			if err != nil || unit != words || math.Abs(x*inSI-length) > 1e-12 || length > most {
				t.Errorf("of %g m at most, a bar of %g m is %q", most, length, text)
			}
		}
	})
}

func TestTextsHoldNoUnitThatWasNotChosen(t *testing.T) {
	l, err := learntOnce()
	if err != nil {
		t.Fatal(err)
	}
	for name, write := range map[string]func(w io.Writer, u quantity.Display) error{
		"answer":     func(w io.Writer, u quantity.Display) error { return Text(w, u, fixtureAnswer(), nil) },
		"comparison": func(w io.Writer, u quantity.Display) error { return CompareText(w, u, fixtureComparison()) },
		"depths":     func(w io.Writer, u quantity.Display) error { return DepthsText(w, u, fixtureRun(), fixtureRun()) },
		"calibration": func(w io.Writer, u quantity.Display) error {
			return CalibrationText(w, u, l.posterior, l.predictions...)
		},
		"trials":   func(w io.Writer, u quantity.Display) error { return ComparisonText(w, u, l.comparison) },
		"forecast": func(w io.Writer, u quantity.Display) error { return ForecastText(w, u, l.forecasts[2]) },
		"load":     func(w io.Writer, u quantity.Display) error { return LoadText(w, u, l.load) },
		"heater":   func(w io.Writer, u quantity.Display) error { return HeaterText(w, u, l.heater) },
		"blank":    func(w io.Writer, u quantity.Display) error { return BlankText(w, u, l.blank) },
		"next":     func(w io.Writer, u quantity.Display) error { return NextText(w, u, fixtureRanking()) },
	} {
		var usual, other bytes.Buffer
		if err := write(&usual, quantity.Display{}); err != nil {
			t.Fatal(name, err)
		}
		if err := write(&other, inOtherUnits); err != nil {
			t.Fatal(name, err)
		}
		if found := foundOthers(other.String()); len(found) > 0 {
			t.Errorf("%s in degF and in: there is %q in\n%s", name, found, other.String())
		}
		if len(foundOthers(usual.String())) > 0 && usual.String() == other.String() {
			t.Errorf("%s is the same in degF and in", name)
		}
	}
}

// What is kept and handed on stays in SI: showing it changes nothing in it.
func TestShowingChangesNothingInTheAnswer(t *testing.T) {
	a, run := fixtureAnswer(), sectionRun(invented)
	marshal := func() string {
		var b bytes.Buffer
		if err := JSON(&b, []any{a, run}); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	before := marshal()
	if err := Text(io.Discard, inOtherUnits, a, nil); err != nil {
		t.Fatal(err)
	}
	for _, draw := range []func(quantity.Display, *result.Run, int) (*Picture, error){
		func(u quantity.Display, r *result.Run, i int) (*Picture, error) { return SectionPicture(u, r, i) }, OutsidePicture,
	} {
		if _, err := draw(inOtherUnits, run, 1); err != nil {
			t.Fatal(err)
		}
	}
	if after := marshal(); after != before || !json.Valid([]byte(after)) {
		t.Error("the answer changed by being shown")
	}
}
