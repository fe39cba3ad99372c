package quantity

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var (
	fahrenheitAndInch = Display{fahrenheit: true, inch: true}
	allDisplays       = []Display{{}, {fahrenheit: true}, {inch: true}, fahrenheitAndInch}
)

// NIST Special Publication 811 (2008), Appendix B (from memory): 1 inch is 2.54 E-02 m and 1
// square inch 6.4516 E-04 m2, both exact; degF = 1.8 degC + 32, and an interval of
// 1 degF is 5/9 K. The body's 98.6 degF are 37 degC;
// -40 is the same on both scales.
func TestOfConvertsByDefinition(t *testing.T) {
	for _, c := range []struct {
		si   float64
		kind Kind
		want float64
	}{
		{0.0254, Length, 1},
		{0.3048, Length, 12},
		{6.4516e-4, Area, 1},
		{273.15, Temperature, 32},
		{373.15, Temperature, 212},
		{233.15, Temperature, -40},
		{310.15, Temperature, 98.6},
		{1, TemperatureDifference, 1.8},
		{0, TemperatureDifference, 0},
		{-5, TemperatureDifference, -9},
		{0.12, Mass, 120},
		{1e-6, Volume, 1},
	} {
		got := fahrenheitAndInch.Of(c.si, c.kind)
		if math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%g of %s in SI is shown as %v, want %v", c.si, c.kind, got, c.want)
		}
		if back := fahrenheitAndInch.SI(got, c.kind); math.Abs(back-c.si) > 1e-12*math.Max(1, c.si) {
			t.Errorf("%v of %s comes back as %g", got, c.kind, back)
		}
	}
}

func TestDisplayFormatsInTheUnitsChosen(t *testing.T) {
	for _, c := range []struct {
		si     float64
		kind   Kind
		digits int
		want   string
	}{
		{297.15, Temperature, 3, "75.2 degF"},
		{255.3722, Temperature, 3, "0.0 degF"},
		{255.15, Temperature, 2, "0 degF"}, // -0.4
		{6, TemperatureDifference, 2, "10.8 degF"},
		{10, TemperatureDifference, 2, "18 degF"},
		{0.118, Length, 3, "4.65 in"},
		{0.0008, Length, 2, "0.0315 in"},
		{0.0074, Length, 3, "0.291 in"},
		{0.0025, Length, 2, "0.098 in"},
		{2, Length, 3, "6.56 ft"},
		{50e-4, Area, 2, "7.8 in2"},
		{0.12, Mass, 3, "120 g"},
		{120e-6, Volume, 3, "120 ml"},
		{0.1, ThermalConductance, 2, "0.10 W/K"},
		{24000, Time, 3, "6 h 40 min"},
	} {
		if got := fahrenheitAndInch.Format(c.si, c.kind, c.digits); got != c.want {
			t.Errorf("Format(%v, %s, %d) = %q, want %q", c.si, c.kind, c.digits, got, c.want)
		}
	}
	if got := fahrenheitAndInch.FormatValue(Value{SI: 297.15, Spread: 0.5, Origin: Stated}, Temperature); got != "75.20 degF ± 0.90 degF" {
		t.Error("a temperature with its spread is", got)
	}
	if got := fahrenheitAndInch.FormatValue(Value{SI: 0.118, Spread: 0.0002, Origin: Stated}, Length); got != "4.6457 in ± 0.0079 in" {
		t.Error("a length with its spread is", got)
	}
	if got := fahrenheitAndInch.FormatValue(Value{SI: 0.118, Origin: Stated}, Length); got != "4.646 in" {
		t.Error("a length taken as exact is", got)
	}
	for want, got := range map[string]string{
		"1 mm": Display{}.FormatShort(0.001, Length, 2), "0.039 in": fahrenheitAndInch.FormatShort(0.001, Length, 2), "1.2 mm": Display{}.FormatShort(0.0012, Length, 3),
		"100 degC": Display{}.FormatShort(373.15, Temperature, 3), "10 degF": fahrenheitAndInch.FormatShort(50.0/9, TemperatureDifference, 3), "40 min": Display{}.FormatShort(2400, Time, 3),
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := fahrenheitAndInch.FormatValue(Value{}, Length); got != "not given" {
		t.Error("no length is", got)
	}
}

// Whatever is chosen, what is shown reads back as what was meant, to no less than
// the digits that the default gives.
func TestDisplayIsReadBackNoCoarser(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]Kind{Length, Area, Temperature, TemperatureDifference, Mass, Power}).Draw(t, "kind")
		u := rapid.SampledFrom(allDisplays).Draw(t, "units")
		si := rapid.Float64Range(1e-4, 1e3).Draw(t, "value")
		if kind == Temperature {
			si += 1 // rounding shall not lead below absolute zero
		}
		digits := rapid.IntRange(2, 5).Draw(t, "digits")
		got, err := Parse(u.Format(si, kind, digits), kind)
		if err != nil {
			t.Fatal(err)
		}
		usual, err := Parse(Format(si, kind, digits), kind)
		if err != nil {
			t.Fatal(err)
		}
		number, _, _ := strings.Cut(Format(si, kind, digits), " ")
		_, decimals, _ := strings.Cut(number, ".")
		factor, _, _ := Scale(kind, displayUnit(si, kind))
		coarse := 0.5 * factor * math.Pow(10, -float64(len(decimals)))
		if kind == Length && u.inch {
			coarse = math.Max(coarse, math.Min(0.0005*inch, 0.005*si))
		}
		if math.Abs(got.SI-si) > coarse*(1+1e-6) {
			t.Fatalf("%g is shown as %s, coarser than %s", si, u.Format(si, kind, digits), Format(si, kind, digits))
		}
		if u == (Display{}) && got != usual {
			t.Fatalf("the default prints %s, and by itself %s", u.Format(si, kind, digits), Format(si, kind, digits))
		}
	})
}

func TestParseDisplay(t *testing.T) {
	for text, want := range map[string]string{
		"degF,in": "degF,in", "in, °F": "degF,in", "inch": "degC,in", "F": "degF,mm", "degC": "degC,mm", "mm,degF": "degF,mm",
	} {
		u, err := ParseDisplay(text)
		if err != nil || u.String() != want {
			t.Errorf("%q: %v, %v; want %s", text, u, err, want)
		}
		if again, err := ParseDisplay(u.String()); err != nil || again != u {
			t.Errorf("%s does not read back: %v, %v", u, again, err)
		}
	}
	for text, offset := range map[string]int{"": 0, "K": 0, "ft": 0, "degF,": 5, "degF, degC": 6, "mm,in": 3, "degF;in": 0, "furlong": 0} {
		_, err := ParseDisplay(text)
		var wrong *ParseError
		if !errors.As(err, &wrong) || wrong.Offset != offset || wrong.Hint == "" {
			t.Errorf("%q: %#v, want an error at %d with a hint", text, err, offset)
		}
	}
}

func FuzzParseDisplay(f *testing.F) {
	for _, text := range []string{"degF,in", "°C, mm", ",", "in,in", "\xff"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		u, err := ParseDisplay(text)
		if err != nil {
			return
		}
		if again, err := ParseDisplay(u.String()); err != nil || again != u {
			t.Errorf("%q is %v, and that reads as %v, %v", text, u, again, err)
		}
	})
}

func TestRestate(t *testing.T) {
	for text, want := range map[string]string{
		"From 43 degC on it can burn, from 48 degC within minutes.": "From 109.4 degF on it can burn, from 118.4 degF within minutes.",
		"softens near 60.0 degC":                                    "softens near 140.0 degF",
		"The store starts at -18.0 degC.":                           "The store starts at -0.4 degF.",
		"starts when it reaches 6.50 K, stalls below 6 K":           "starts when it reaches 11.70 degF, stalls below 10.8 degF",
		"4.18 to 5.82 K, 6.0 ± 0.5 K":                               "7.52 to 10.48 degF, 10.8 ± 0.9 degF",
		"24.0 ± 1.0 degC":                                           "75.2 ± 1.8 degF",
		"24.0 degC ± 1.0 K":                                         "75.2 degF ± 1.8 degF",
		"118 mm wide, and the envelope 120 mm (0.8 mm of skin)":     "4.65 in wide, and the envelope 4.72 in (0.031 in of skin)",
		"120 mm x 40 mm, Ø80 mm":                                    "4.72 in x 1.57 in, Ø3.15 in",
		"12.5 cm2 of foil":                                          "1.94 in2 of foil",
		"60 mm/s, 3 W/(m2 K), 0.11 W/K, 4 mm2x, 2 min, 3 ml, trial_2 mm, v1.2 K-type, 5 m": "60 mm/s, 3 W/(m2 K), 0.11 W/K, 4 mm2x, 2 min, 3 ml, trial_2 mm, v1.2 K-type, 16 ft",
		"at 21.4 °C": "at 70.5 °F",
		"0 mm, 0 K":  "0.00 in, 0 degF",
	} {
		if got := fahrenheitAndInch.Restate(text); got != want {
			t.Errorf("%s\n got %s\nwant %s", text, got, want)
		}
		if got := (Display{}).Restate(text); got != text {
			t.Errorf("the default makes of %s\n%s", text, got)
		}
	}
	if got := (Display{inch: true}).Restate("5 mm at 20 degC"); got != "0.20 in at 20 degC" {
		t.Error("with inches alone:", got)
	}
}

// A sentence restated is the sentence that would have been written, but for the
// rounding of what was printed first.
func TestRestateAgreesWithFormat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]Kind{Length, Area, Temperature, TemperatureDifference, Mass, Power, Velocity}).Draw(t, "kind")
		u := rapid.SampledFrom(allDisplays).Draw(t, "units")
		si := rapid.Float64Range(1e-3, 400).Draw(t, "value")
		written := Format(si, kind, 3)
		got, err := Parse(u.Restate(written), kind)
		if err != nil {
			t.Fatalf("%q becomes %q: %v", written, u.Restate(written), err)
		}
		before, err := Parse(written, kind)
		if err != nil {
			t.Fatal(err)
		}
		if size := math.Abs(before.SI); kind != Temperature && math.Abs(got.SI-before.SI) > 0.006*size || math.Abs(got.SI-before.SI) > 0.006*math.Max(size, 300) {
			t.Fatalf("%q becomes %q", written, u.Restate(written))
		}
	})
}

// How far the last digit of a sentence restated may be off what Format says.
func TestRestateIsOffByLittle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		off := map[Kind]float64{Temperature: 1, TemperatureDifference: 1, Length: 2}
		kind := rapid.SampledFrom([]Kind{Length, Temperature, TemperatureDifference}).Draw(t, "kind")
		si := map[Kind]*rapid.Generator[float64]{
			Length: rapid.Float64Range(1e-3, 0.99), Temperature: rapid.Float64Range(230, 400), TemperatureDifference: rapid.Float64Range(0.5, 99),
		}[kind].Draw(t, "value")
		restated, _, _ := strings.Cut(fahrenheitAndInch.Restate(Format(si, kind, 3)), " ")
		exact, _, _ := strings.Cut(fahrenheitAndInch.Format(si, kind, 3), " ")
		a, errA := strconv.ParseFloat(restated, 64)
		b, errB := strconv.ParseFloat(exact, 64)
		_, decimals, _ := strings.Cut(restated, ".")
		if last := math.Pow(10, -float64(len(decimals))); errA != nil || errB != nil || math.Abs(a-b) > off[kind]*last*(1+1e-6) {
			t.Fatalf("%s is restated as %s, and is %s", Format(si, kind, 3), restated, exact)
		}
	})
}

func FuzzRestate(f *testing.F) {
	for _, text := range []string{"from 43 degC on", "4 to 5 mm", "W/(m2 K)", "−3 °C", "1e5 mm", "\xff 3 K", "3 K\u0300"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got := fahrenheitAndInch.Restate(text)
		if again := fahrenheitAndInch.Restate(got); again != got {
			t.Errorf("%q becomes %q, and that becomes %q", text, got, again)
		}
	})
}

// 80.94 mm is 3.187 in; restated from the 80.9 mm that are printed it would be
// 3.185 in.
func TestSentencesAreSaidExactly(t *testing.T) {
	s := Say("%s wide from %d degC on, %s", Amount{0.08094, Length, "mm", 3}, 4, Amount{SI: 0.125, Kind: Mass, Digits: 3})
	for want, u := range map[string]Display{"80.9 mm wide from 4 degC on, 125 g": {}, "3.187 in wide from 39.2 degF on, 125 g": fahrenheitAndInch} {
		if got := s.In(u); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if s.String() != s.In(Display{}) {
		t.Error("a sentence by itself is not in the usual units")
	}
}
