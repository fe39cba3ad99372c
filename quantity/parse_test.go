package quantity

import (
	"errors"
	"math"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func near(got, want float64) bool {
	return math.Abs(got-want) <= 1e-12*math.Max(math.Abs(want), 1e-12)
}

func TestParseReadsUnits(t *testing.T) {
	for _, c := range []struct {
		text string
		kind Kind
		want float64
	}{
		{"118 mm", Length, 0.118},
		{"118mm", Length, 0.118},
		{" 1.2e-3 m ", Length, 1.2e-3},
		{"80 µm", Length, 80e-6},
		{"80 μm", Length, 80e-6},
		{"2 in", Length, 0.0508},
		{"1 ft", Length, 0.3048},
		{"12 cm²", Area, 12e-4},
		{"12 cm^2", Area, 12e-4},
		{"120 ml", Volume, 120e-6},
		{"0.5 L", Volume, 0.5e-3},
		{"4 oz", Mass, 0.1133980925}, // NIST SP 811 Appendix B: 16 ounces to the pound of 0.45359237 kg
		{"1 lb", Mass, 0.45359237},
		{"6 h 40 min", Time, 24000},
		{"1 d 2 h", Time, 93600},
		{"-1 h 30 min", Time, -5400},
		{"90 min", Time, 5400},
		{"-18 degC", Temperature, 255.15},
		{"−18 °C", Temperature, 255.15},
		{"24 C", Temperature, 297.15},
		{"212 degF", Temperature, 373.15},
		{"-40 °F", Temperature, 233.15},
		{"300 K", Temperature, 300},
		{"6.5 K", TemperatureDifference, 6.5},
		{"9 degF", TemperatureDifference, 5},
		{"9 °C", TemperatureDifference, 9},
		{"50 %", Fraction, 0.5},
		{"0.5", Fraction, 0.5},
		{"180°", Angle, math.Pi},
		{"0.10 W/K", ThermalConductance, 0.1},
		{"100 mW/K", ThermalConductance, 0.1},
		{"8 W/(m2 K)", HeatTransferCoefficient, 8},
		{"8 W/m2K", HeatTransferCoefficient, 8},
		{"8 W/(m²·K)", HeatTransferCoefficient, 8},
		{"8 W/m²/K", HeatTransferCoefficient, 8},
		{"8 W/(K m^2)", HeatTransferCoefficient, 8},
		{"8 W / (m2*K)", HeatTransferCoefficient, 8},
		{"0.2 W/(m K)", ThermalConductivity, 0.2},
		{"0.2 W/mK", ThermalConductivity, 0.2},
		{"200 mW/(m·K)", ThermalConductivity, 0.2},
		{"1.8 kJ/(kg K)", SpecificHeat, 1800},
		{"1.24 g/cm3", Density, 1240},
		{"334 kJ/kg", LatentHeat, 334e3},
		{"334 J/g", LatentHeat, 334e3},
		{"11 Wh", Energy, 39600},
		{"1013.25 hPa", Pressure, 101325},
		{"1 atm", Pressure, 101325},
		{"60 rpm", Frequency, 1},
		{"2 Hz", Frequency, 2},
		{"60 /min", Frequency, 1},
		{"4.7 \u03a9", ElectricResistance, 4.7},
		{"4.7 \u2126", ElectricResistance, 4.7},
		{"50 mV/K", SeebeckCoefficient, 0.05},
		{"200 g/m2", MassPerArea, 0.2},
		{"120\u00a0g", Mass, 0.12},
	} {
		got, err := Parse(c.text, c.kind)
		if err != nil || !near(got.SI, c.want) || got.Spread != 0 || got.Origin != Stated {
			t.Errorf("Parse(%q, %s) = %+v, %v; want %v", c.text, c.kind, got, err, c.want)
		}
	}
}

func TestParseReadsSpread(t *testing.T) {
	for _, c := range []struct {
		text  string
		kind  Kind
		value float64
		want  float64
	}{
		{"0.10 W/K +- 20 %", ThermalConductance, 0.1, 0.02},
		{"6.5 K ± 1 K", TemperatureDifference, 6.5, 1},
		{"120 g +- 1 g", Mass, 0.12, 0.001},
		{"120 g +/- 1000 mg", Mass, 0.12, 0.001},
		{"120g±1%", Mass, 0.12, 0.0012},
		{"-6 K ± 50 %", TemperatureDifference, -6, 3},
		{"24 degC ± 1 K", Temperature, 297.15, 1},
		{"24 degC ± 1 degC", Temperature, 297.15, 1},
		{"75.2 degF ± 1.8 degF", Temperature, 297.15, 1},
		{"50 % ± 5 %", Fraction, 0.5, 0.05},
		{"0.5 ± 0.05", Fraction, 0.5, 0.05},
		{"6 h 30 min ± 10 min", Time, 23400, 600},
		{"6 h ± 0.5 h", Time, 21600, 1800},
	} {
		got, err := Parse(c.text, c.kind)
		if err != nil || !near(got.SI, c.value) || !near(got.Spread, c.want) {
			t.Errorf("Parse(%q, %s) = %+v, %v; want %v ± %v", c.text, c.kind, got, err, c.value, c.want)
		}
	}
}

func TestParseExplainsWhatIsWrong(t *testing.T) {
	for _, c := range []struct {
		text   string
		kind   Kind
		offset int
		want   string
	}{
		{"120", Length, 3, "120 has no unit; write 120 mm"},
		{"120 g", Length, 4, "120 g is a mass; a length such as 120 mm is needed"},
		{"24 degC", Mass, 3, "24 degC is a temperature; a mass such as 120 g is needed"},
		{"50 %", Mass, 3, "50 % is a fraction; a mass such as 120 g is needed"},
		{"120 MM", Length, 4, `"MM" is not a known unit; did you mean 120 mm?`},
		{"5 grams", Mass, 2, `"grams" is not a known unit; a mass such as 120 g is needed`},
		{"20 Celsius", Temperature, 3, `"Celsius" is not a known unit; a temperature such as 24 degC is needed`},
		{"1,5 mm", Length, 1, "a comma stands in the number; write 1.5, not 1,5"},
		{"1,500 mm", Length, 1, "a comma stands in the number; write 1.500 or 1500, not 1,500"},
		{"1 000 mm", Length, 0, "1 000 is not one number; write 1000, without gaps and with one decimal point at most"},
		{"1.2.3 mm", Length, 0, "1.2.3 is not one number; write digits without gaps and with one decimal point at most"},
		{"about 3 mm", Length, 0, `"about" is not a number; a length such as 120 mm is needed`},
		{"", Length, 0, "nothing is written here; a length such as 120 mm is needed"},
		{"  ", Fraction, 0, "nothing is written here; a fraction such as 50 % is needed"},
		{"inf mm", Length, 0, "inf is not a finite number; a length such as 120 mm is needed"},
		{"NaN", Power, 0, "NaN is not a finite number; a power such as 2 W is needed"},
		{"1e400 W", Power, 0, "1e400 is too large; a power such as 2 W is needed"},
		{"1e40 W", Power, 0, "1e40 W is too large; a power such as 2 W is needed"},
		{"120 mm thick", Length, 7, `"thick" after 120 mm is not understood; write 120 mm alone`},
		{"-300 degC", Temperature, 0, "-300 degC is below absolute zero; the lowest temperature is -273.15 degC"},
		{"120 g ±", Mass, 8, "a number is missing; a mass such as 120 g is needed"},
		{"120 g ± 1", Mass, 10, "1 after ± has no unit; write ± 1 g"},
		{"120 g ± -1 g", Mass, 9, "-1 is negative; a spread is a standard uncertainty, so write it without a sign"},
		{"120 g ± 1 mm", Mass, 11, "1 mm is a length; a mass such as 120 g is needed"},
		{"120 g ± 1 g ± 2 g", Mass, 13, "more follows the spread; write it once, such as 120 g ± 5 %"},
		{"24 degC ± 5 %", Temperature, 13, "a temperature has no spread in per cent; write it in kelvins, such as ± 1 K"},
		{"0 W ± 5 %", Power, 9, "per cent of nothing is no spread; write it with a unit, such as ± 2 W"},
		{"40 min 6 h", Time, 7, "6 h follows a term in min; write the larger unit first and each once, such as 6 h 40 min"},
		{"3 h of sun", Time, 4, `"of sun" after 3 h is not understood; write 3 h alone`},
		{"5 mm", Kind("colour"), 0, `"colour" is not a kind of quantity`},
	} {
		_, err := Parse(c.text, c.kind)
		var parseError *ParseError
		if !errors.As(err, &parseError) {
			t.Errorf("Parse(%q, %s) gave %v, want a *ParseError", c.text, c.kind, err)
			continue
		}
		if err.Error() != c.want || parseError.Offset != c.offset {
			t.Errorf("Parse(%q, %s):\n got %d %s\nwant %d %s", c.text, c.kind, parseError.Offset, err, c.offset, c.want)
		}
	}
}

func TestExamplesParse(t *testing.T) {
	for _, kind := range Kinds() {
		if _, err := Parse(Example(kind), kind); err != nil {
			t.Errorf("Example(%s) = %q: %v", kind, Example(kind), err)
		}
	}
}

func TestEverySymbolIsReadAsItself(t *testing.T) {
	for _, k := range table {
		for _, u := range k.units {
			got, ok := findUnit(u.symbol, k.kind)
			if !ok || got.symbol != u.symbol {
				t.Errorf("%s: %q is read as %q", k.kind, u.symbol, got.symbol)
			}
		}
	}
}

// drawKind picks any kind.
func drawKind(t *rapid.T) Kind { return rapid.SampledFrom(Kinds()).Draw(t, "kind") }

func TestWhatIsPrintedIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := drawKind(t)
		symbol := rapid.SampledFrom(Units(kind)).Draw(t, "unit")
		si := rapid.Float64Range(1e-6, 1e6).Draw(t, "value")
		text := FormatIn(si, kind, symbol, 17)
		got, err := Parse(text, kind)
		// A temperature in degC loses what its offset swallows.
		if err != nil || math.Abs(got.SI-si) > 1e-12*si+1e-12 {
			t.Fatalf("%v printed as %q, read as %v, %v", si, text, got.SI, err)
		}
	})
}

func TestPatternAndParseAgreeOnGeneratedTexts(t *testing.T) {
	for _, kind := range Kinds() {
		form := Pattern(kind)
		rapid.Check(t, func(t *rapid.T) {
			text := rapid.StringMatching(form).Draw(t, "text")
			_, err := Parse(text, kind)
			if err != nil && !isAboutRange(err) {
				t.Fatalf("%s: pattern accepts %q, Parse says %v", kind, text, err)
			}
		})
	}
}

// isAboutRange tells the refusals that a pattern cannot express.
func isAboutRange(err error) bool {
	for _, words := range []string{"too large", "absolute zero", "per cent of nothing"} {
		if strings.Contains(err.Error(), words) {
			return true
		}
	}
	return false
}

func checkAgreement(t *testing.T, text string, kind Kind) {
	value, err := Parse(text, kind)
	matched := regexp.MustCompile(Pattern(kind)).MatchString(text)
	switch {
	case err == nil && !matched:
		t.Fatalf("%s: Parse accepts %q, the pattern does not", kind, text)
	case err != nil && matched && !isAboutRange(err):
		t.Fatalf("%s: the pattern accepts %q, Parse says %v", kind, text, err)
	case err == nil && (math.IsNaN(value.SI) || math.IsInf(value.SI, 0) || !(value.Spread >= 0)):
		t.Fatalf("%s: %q read as %+v", kind, text, value)
	}
	var parseError *ParseError
	if errors.As(err, &parseError) && (parseError.Offset < 0 || parseError.Offset > len(text)) {
		t.Fatalf("%s: offset %d lies outside %q", kind, parseError.Offset, text)
	}
}

func FuzzParse(f *testing.F) {
	for i, text := range []string{"118 mm", "-18 degC ± 1 K", "6 h 40 min", "1,5 g", "8 W/(m²·K) +- 5 %", "1e400 W", "50 % ± 5", "± 3", "1+-", "5 h 3 ± 2"} {
		f.Add(text, i)
	}
	kinds := Kinds()
	f.Fuzz(func(t *testing.T, text string, number int) {
		checkAgreement(t, text, kinds[uint(number)%uint(len(kinds))])
	})
}
