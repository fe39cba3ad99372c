package quantity

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestFormatUsesPeoplesUnits(t *testing.T) {
	for _, c := range []struct {
		si     float64
		kind   Kind
		digits int
		want   string
	}{
		{0.118, Length, 3, "118 mm"},
		{0.0025, Length, 2, "2.5 mm"},
		{2, Length, 3, "2.00 m"},
		{0.12, Mass, 3, "120 g"},
		{0.12345, Mass, 2, "123 g"},
		{297.15, Temperature, 3, "24.0 degC"},
		{273.1499, Temperature, 3, "0.0 degC"},
		{255.15, Temperature, 2, "-18 degC"},
		{6.5, TemperatureDifference, 2, "6.5 K"},
		{24000, Time, 3, "6 h 40 min"},
		{39600, Energy, 3, "11.0 Wh"},
		{12, Energy, 2, "12 J"},
		{2.0, Power, 2, "2.0 W"},
		{0.0031, Power, 2, "3.1 mW"},
		{120e-6, Volume, 3, "120 ml"},
		{0.5, Fraction, 2, "50 %"},
		{0.1, ThermalConductance, 2, "0.10 W/K"},
		{0, Mass, 3, "0.00 g"},
		{1, Frequency, 2, "60 rpm"},
		{9.9996, TemperatureDifference, 3, "10.0 K"},
		{math.NaN(), Mass, 3, "NaN g"},
	} {
		if got := Format(c.si, c.kind, c.digits); got != c.want {
			t.Errorf("Format(%v, %s, %d) = %q, want %q", c.si, c.kind, c.digits, got, c.want)
		}
	}
}

func TestFormatInUsesTheUnitNamed(t *testing.T) {
	for symbol, want := range map[string]string{"kJ": "39.6 kJ", "J": "39600 J", "no such unit": "11.0 Wh"} {
		if got := FormatIn(39600, Energy, symbol, 3); got != want {
			t.Errorf("FormatIn(39600 J, %q) = %q, want %q", symbol, got, want)
		}
	}
}

func TestInConverts(t *testing.T) {
	if got, ok := In(297.15, Temperature, "degF"); !ok || math.Abs(got-75.2) > 1e-9 {
		t.Errorf("297.15 K = %v degF, %v; want 75.2", got, ok)
	}
	if _, ok := In(1, Mass, "mm"); ok {
		t.Error("a mass was converted to millimetres")
	}
}

// JCGM 100:2008, 7.2.2: a mass of 100.02147 g with 0.35 mg is reported as
// 100.02147 g with two digits of the uncertainty.
func TestScaleIsTheWayBackOfIn(t *testing.T) {
	for _, kind := range Kinds() {
		for _, symbol := range Units(kind) {
			factor, offset, ok := Scale(kind, symbol)
			if back, _ := In(3*factor+offset, kind, symbol); !ok || math.Abs(back-3) > 1e-9 {
				t.Errorf("3 %s come back as %g", symbol, back)
			}
		}
	}
	if _, _, ok := Scale(Mass, "degC"); ok {
		t.Error("a mass has degrees")
	}
}

func TestFormatValueRoundsToItsSpread(t *testing.T) {
	for _, c := range []struct {
		value Value
		kind  Kind
		want  string
	}{
		{Value{SI: 0.10002147, Spread: 0.35e-6, Origin: Stated}, Mass, "100.02147 g ± 0.00035 g"},
		{Value{SI: 297.15, Spread: 0.5, Origin: Stated}, Temperature, "24.00 degC ± 0.50 K"},
		{Value{SI: 0.1, Spread: 0.02, Origin: Guessed}, ThermalConductance, "0.100 W/K ± 0.020 W/K"},
		{Value{SI: 0.118, Origin: Stated}, Length, "118.0 mm"},
		{Value{SI: 24000, Spread: 1200, Origin: Derived}, Time, "6.28 h ± 0.33 h"},
		{Value{SI: 0.12, Spread: 0.00996, Origin: Stated}, Mass, "120 g ± 10 g"},
		{Value{}, Length, "not given"},
	} {
		if got := FormatValue(c.value, c.kind); got != c.want {
			t.Errorf("FormatValue(%+v) = %q, want %q", c.value, got, c.want)
		}
	}
}

func TestFormatValueIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := drawKind(t)
		si := rapid.Float64Range(1e-3, 1e3).Draw(t, "value")
		spread := si * rapid.Float64Range(1e-4, 0.5).Draw(t, "relative spread")
		text := FormatValue(Value{SI: si, Spread: spread, Origin: Stated}, kind)
		got, err := Parse(text, kind)
		// Two digits of the spread: at worst half a unit in ten.
		if err != nil || math.Abs(got.SI-si) > 0.051*spread || math.Abs(got.Spread-spread) > 0.051*spread {
			t.Fatalf("%v ± %v printed as %q, read as %+v, %v", si, spread, text, got, err)
		}
	})
}

func TestFormatDuration(t *testing.T) {
	for seconds, want := range map[float64]string{
		0: "0 s", 0.2: "0 s", 12: "12 s", 59.4: "59 s", 59.6: "1 min", 320: "5 min 20 s", 300: "5 min",
		599.7: "10 min", 1020: "17 min", 3580: "1 h", 3599: "1 h", 24000: "6 h 40 min", 24029: "6 h 40 min",
		24031: "6 h 41 min", 86400: "24 h", 172799: "2 d", 183600: "2 d 3 h", -24000: "-6 h 40 min", -0.1: "0 s",
		math.Inf(1): "without end",
	} {
		if got := FormatDuration(seconds); got != want {
			t.Errorf("FormatDuration(%v) = %q, want %q", seconds, got, want)
		}
	}
	if got := FormatDuration(math.NaN()); got != "unknown" {
		t.Errorf("FormatDuration(NaN) = %q", got)
	}
}

func TestDurationsAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seconds := rapid.Float64Range(-1e6, 1e6).Draw(t, "seconds")
		text := FormatDuration(seconds)
		got, err := Parse(text, Time)
		allowed := 0.5
		if math.Abs(seconds) > 599 {
			allowed = 30
		}
		if math.Abs(seconds) > 172769 {
			allowed = 1800
		}
		if err != nil || math.Abs(got.SI-seconds) > allowed {
			t.Fatalf("%v s printed as %q, read as %v, %v", seconds, text, got.SI, err)
		}
	})
}
