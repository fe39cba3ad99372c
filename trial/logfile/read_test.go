package logfile

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf16"

	"meltspan/design"
	"meltspan/trial"
)

// noon is 2026-01-31T12:00:00Z: 20484 days and a half since 1970, counted by
// hand (56 years with 14 leap days, and 30 days).
const noon = (56*365+14+30)*86400.0 + 43200

func mustRead(t *testing.T, text string, by Mapping) *Log {
	t.Helper()
	if by.Time.Zone == "" {
		by.Time.Zone = "UTC"
	}
	l, err := Read("log.csv", []byte(text), by)
	if err != nil {
		t.Fatalf("%v\nin\n%s", err, text)
	}
	return l
}

// The same three readings as many loggers would write them.
func TestLogsOfManyHands(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		text  string
		first float64
		by    Mapping
	}{
		"ISO with zone": {first: noon, text: "time,T_bottom (°C),T_top (°C),Room humidity (%)\n" +
			"2026-01-31T13:00:00+01:00,1.5,21.25,48\n2026-01-31T13:00:10+01:00,1.6,21.5,48.5\n2026-01-31T13:00:20+01:00,1.7,21.75,49\n"},
		"ISO without zone, zone given": {first: noon, by: Mapping{Time: Time{Zone: "+01:00"}}, text: "Timestamp;Bottom plate [degC];Top plate [degC];RH\n" +
			"2026-01-31 13:00:00;1.5;21.25;48\n2026-01-31 13:00:10;1.6;21.5;48.5\n2026-01-31 13:00:20;1.7;21.75;49\n"},
		"named zone": {first: noon, by: Mapping{Time: Time{Zone: "Europe/Berlin"}}, text: "Timestamp;Bottom plate [degC];Top plate [degC];RH\n" +
			"2026-01-31 13:00:00;1.5;21.25;48\n2026-01-31 13:00:10;1.6;21.5;48.5\n2026-01-31 13:00:20;1.7;21.75;49\n"},
		"decimal commas": {first: noon, text: "Datum;Uhrzeit;Temperatur unten (°C);Temperatur oben (°C);Luftfeuchte (%)\n" +
			"31.01.2026;12:00:00;1,5;21,25;48\n31.01.2026;12:00:10;1,6;21,5;48,5\n31.01.2026;12:00:20;1,7;21,75;49\n"},
		"tabs and a preamble": {first: noon, text: "Logger 7, serial 0815\n# started by hand\n\nDate/Time\tlower\tupper\thumidity\nyyyy-mm-dd hh:mm:ss\t°C\t°C\t%\n" +
			"2026/01/31 12:00:00\t1.5\t21.25\t48\n2026/01/31 12:00:10\t1.6\t21.5\t48.5\n2026/01/31 12:00:20\t1.7\t21.75\t49\n"},
		"month first, AM and PM": {first: noon, text: "Date,Time,Cold (F),Hot (F),RH%\n" +
			"1/31/2026,12:00:00 PM,34.7,70.25,48\n1/31/2026,12:00:10 PM,34.88,70.7,48.5\n1/31/2026,12:00:20 PM,35.06,71.15,49\n"},
		"epoch seconds": {first: noon, text: fmt.Sprintf("unix,bottom_C,top_C,rh_%%\n%.0f,1.5,21.25,48\n%.0f,1.6,21.5,48.5\n%.0f,1.7,21.75,49\n", noon, noon+10, noon+20)},
		"epoch milliseconds": {first: noon, text: fmt.Sprintf("ts,bottom (K),top (K),humidity (%%)\n%.0f,274.65,294.4,48\n%.0f,274.75,294.65,48.5\n%.0f,274.85,294.9,49\n",
			1000*noon, 1000*(noon+10), 1000*(noon+20))},
		"elapsed minutes": {text: "t/min;bottom;top;humidity\n0;1.5;21.25;0.48\n0.1666666667;1.6;21.5;0.485\n0.3333333333;1.7;21.75;0.49\n"},
		"elapsed h:mm:ss": {text: "Elapsed,bottom,top,rh\n0:00:00,1.5,21.25,48\n0:00:10,1.6,21.5,48.5\n0:00:20,1.7,21.75,49\n"},
		"quotes and units in cells": {first: noon, text: `"time","bottom plate","top plate","humidity"` + "\r\n" +
			`"2026-01-31T12:00:00Z","1.5 °C","21.25 °C","48 %"` + "\r\n" + `"2026-01-31T12:00:10Z","1.6 °C","21.5 °C","48.5 %"` + "\r\n" + `"2026-01-31T12:00:20Z","1.7 °C","21.75 °C","49 %"` + "\r\n"},
		"header as a remark": {text: "# seconds, bottom, top, rh\n0, 1.5, 21.25, 48\n10, 1.6, 21.5, 48.5\n20, 1.7, 21.75, 49\n"},
		"every row":          {by: Mapping{Time: Time{Form: EveryRow, Every: 10}}, text: "bottom,top,rh\n1.5,21.25,48\n1.6,21.5,48.5\n1.7,21.75,49\n"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			l := mustRead(t, c.text, c.by)
			if len(l.Series) != 3 || l.Rows != 3 || l.Absolute != (c.first > 0) {
				t.Fatalf("%d series of %d rows, absolute %t; mapping %+v", len(l.Series), l.Rows, l.Absolute, l.Mapping)
			}
			want := []struct {
				quantity trial.Quantity
				values   []float64
			}{
				{trial.BottomPlate, []float64{274.65, 274.75, 274.85}},
				{trial.TopPlate, []float64{294.4, 294.65, 294.9}},
				{trial.Humidity, []float64{0.48, 0.485, 0.49}},
			}
			for i, s := range l.Series {
				if s.Quantity != want[i].quantity {
					t.Fatalf("series %d is %s, want %s", i, s.Quantity, want[i].quantity)
				}
				for j, x := range s.Samples {
					if math.Abs(x.Time-c.first-10*float64(j)) > 1e-6 || math.Abs(x.Value-want[i].values[j]) > 1e-9 || x.Mark != trial.Good {
						t.Errorf("%s, sample %d: %+v; want %g s, %g", s.Quantity, j, x, c.first+10*float64(j), want[i].values[j])
					}
				}
			}
		})
	}
}

func TestEncodings(t *testing.T) {
	t.Parallel()
	const text = "time (s);Bottom (°C);Top (°C)\r\n0;1,5;20\r\n10;2,5;21\r\n"
	latin := []byte(strings.ReplaceAll(text, "°", "\xb0"))
	var little, big []byte
	for _, u := range utf16.Encode([]rune(text)) {
		little, big = append(little, byte(u), byte(u>>8)), append(big, byte(u>>8), byte(u))
	}
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"UTF-8":                      {[]byte(text), encodingUTF8},
		"UTF-8 with mark":            {append([]byte{0xef, 0xbb, 0xbf}, text...), encodingUTF8},
		"UTF-16 little":              {append([]byte{0xff, 0xfe}, little...), encodingUTF16},
		"UTF-16 big":                 {append([]byte{0xfe, 0xff}, big...), encodingUTF16},
		"UTF-16 little without mark": {little, encodingUTF16},
		"UTF-16 big without mark":    {big, encodingUTF16},
		"Latin-1":                    {latin, encodingLatin1},
		"old line ends":              {[]byte(strings.ReplaceAll(text, "\r\n", "\r")), encodingUTF8},
	} {
		l, err := Read("log.csv", c.data, Mapping{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := l.Mapping.Encoding; got != c.want || len(l.Series) != 2 || l.Mapping.Columns[0].Unit != "degC" ||
			math.Abs(l.Series[0].Samples[1].Value-275.65) > 1e-9 {
			t.Errorf("%s: taken for %s; %+v", name, got, l.Mapping)
		}
	}
}

func problemOf(t *testing.T, text string, by Mapping) design.Problem {
	t.Helper()
	l, err := Read("log.csv", []byte(text), by)
	var p design.Problem
	if !errors.As(err, &p) {
		t.Fatalf("%v, %+v; want a Problem with\n%s", err, l, text)
	}
	return p
}

// Whether the day or the month comes first is asked about, unless the log
// itself tells.
func TestAmbiguousDatesAreAskedAbout(t *testing.T) {
	t.Parallel()
	log := func(dates ...string) string {
		text := "date,top\n"
		for _, d := range dates {
			text += d + ",20\n"
		}
		return text
	}
	p := problemOf(t, log("03/04/2026 10:00", "03/04/2026 10:01"), Mapping{})
	if p.Line != 2 || p.Column != 1 || !strings.Contains(p.Right, "day first") || !strings.Contains(p.Excerpt, "03/04/2026") {
		t.Errorf("%+v", p)
	}
	april3, march4 := 1775210400.0, 1772618400.0 // both by date -u -d ... +%s
	for _, c := range []struct {
		text  string
		form  Form
		first float64
	}{
		{log("03/04/2026 10:00", "03/04/2026 10:01"), DayFirst, april3},
		{log("03/04/2026 10:00", "03/04/2026 10:01"), MonthFirst, march4},
		{log("03/04/2026 10:00", "13/04/2026 10:01"), "", april3},
		{log("03/04/2026 10:00", "03/14/2026 10:01"), "", march4},
		{log("03.04.2026 10:00", "03.04.2026 10:01"), "", april3},
		{log("3-4-26 10:00", "13-4-26 10:01"), "", april3},
	} {
		if l := mustRead(t, c.text, Mapping{Time: Time{Form: c.form}}); l.First != c.first {
			t.Errorf("%q: first at %.0f, want %.0f", c.text, l.First, c.first)
		}
	}
	split := "Date,Clock,top\n03/04/2026,10:00,20\n03/04/2026,10:01,20\n"
	if l := mustRead(t, split, Mapping{Time: Time{Form: MonthFirst}}); l.First != march4 || len(l.Mapping.Time.Columns) != 2 {
		t.Errorf("in two columns: %.0f, %v", l.First, l.Mapping.Time)
	}
	if p := problemOf(t, "time,top\n10:00,20\n10:01,20\n", Mapping{}); !strings.Contains(p.What, "hours and minutes, or minutes and seconds") || p.Column != 1 {
		t.Errorf("%+v", p)
	}
	for form, want := range map[Form]float64{HourMinutes: 60, MinuteSecond: 1, TimeOfDay: 60} {
		l := mustRead(t, "time,top\n10:00,20\n10:01,20\n", Mapping{Time: Time{Form: form}})
		if got := l.Last - l.First; got != want {
			t.Errorf("%s: %g s apart, want %g s", form, got, want)
		}
	}
}

func TestTimesOfDayGoOnAfterMidnight(t *testing.T) {
	t.Parallel()
	l := mustRead(t, "Clock time;top;room\n23:59:50;20;22\n23:59:55;20;22\n00:00:00;20;22\n00:00:05;20;22\n", Mapping{})
	s := l.Series[0].Samples
	if l.Absolute || s[3].Time-s[0].Time != 15 || s[3].Mark != trial.Good {
		t.Errorf("%+v", s)
	}
}

// Summer time ends on 2026-10-25 at 01:00 UTC in Berlin. With zones stated
// nothing is lost; with a named zone the day before and after are right.
func TestClockChange(t *testing.T) {
	t.Parallel()
	l := mustRead(t, "time,top\n2026-10-25T02:30:00+02:00,20\n2026-10-25T02:00:00+01:00,20\n2026-10-25T02:30:00+01:00,20\n", Mapping{})
	if s := l.Series[0].Samples; s[1].Time-s[0].Time != 1800 || s[2].Time-s[0].Time != 3600 {
		t.Errorf("%+v", s)
	}
	l = mustRead(t, "time,top\n2026-10-25T00:30:00,20\n2026-10-25T12:30:00,20\n2026-10-26T00:30:00,20\n", Mapping{Time: Time{Zone: "Europe/Berlin"}})
	if s := l.Series[0].Samples; s[1].Time-s[0].Time != 13*3600 || s[2].Time-s[0].Time != 25*3600 {
		t.Errorf("%+v", s)
	}
}

func TestMistakesNameTheirPlace(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, text string
		by         Mapping
		line       int
		want       string
	}{
		{"empty", "", Mapping{}, 0, "nothing in the log"},
		{"prose", "it was a dark and stormy night\nand so on\n", Mapping{}, 1, "no row of numbers"},
		{"no time", "bottom,top\n5,20\n3,21\n4,21\n", Mapping{}, 2, "looks like a time"},
		{"no quantity", "time (s),A0,A1\n0,1,2\n1,1,2\n", Mapping{}, 2, "none of the columns of this log is understood: A0, A1"},
		{"wrong column", "time (s),top\n0,1\n", Mapping{Columns: []Column{{Name: "T9", Quantity: trial.TopPlate}}}, 0, `no column "T9"`},
		{"wrong quantity", "time (s),top\n0,1\n", Mapping{Columns: []Column{{Name: "top", Quantity: "plate"}}}, 0, "nothing that a trial measures"},
		{"wrong unit", "time (s),top\n0,1\n", Mapping{Columns: []Column{{Name: "top", Quantity: trial.TopPlate, Unit: "g"}}}, 0, `"g" is no unit of top plate`},
		{"wrong form", "time (s),top\n0,1\n1,1\n", Mapping{Time: Time{Form: DayFirst, Columns: []string{"time (s)"}}}, 2, "does not read as a time"},
		{"wrong zone", "time,top\n2026-01-01 10:00,1\n", Mapping{Time: Time{Zone: "Mars/North"}}, 0, "no time zone"},
		{"dates alone", "date,top\n2026-01-01,1\n2026-01-02,1\n", Mapping{}, 2, "have no time of day"},
		{"time turns to words", "time (s),top\n0,1\n1,1\nx,1\ny,1\nz,1\n", Mapping{Time: Time{Form: Seconds, Columns: []string{"time (s)"}}}, 2, "does not read"},
	} {
		if p := problemOf(t, c.text, c.by); p.Line != c.line || !strings.Contains(p.What, c.want) || p.Right == "" && c.name != "empty" {
			t.Errorf("%s: %+v", c.name, p)
		}
	}
}

// The user has the last word on every column.
func TestColumnsAreCorrected(t *testing.T) {
	t.Parallel()
	const text = "time (s),A0,A1 (°C),top,dew point\n0,1,10,20,9\n10,1,10,20,9\n"
	var by Mapping
	for _, word := range []string{"A0=bottom plate", "a1 (degc)=wall,,north side", "top=none", "dew point=water, K"} {
		c, err := ParseColumn(word)
		if err != nil {
			t.Fatal(err)
		}
		by.Columns = append(by.Columns, c)
	}
	by.Columns[0].Uncertainty = "0.3 K"
	l := mustRead(t, text, by)
	if len(l.Series) != 3 {
		t.Fatalf("%+v", l.Mapping.Columns)
	}
	for i, want := range []trial.Series{
		{Quantity: trial.BottomPlate, Source: "log.csv: A0", Uncertainty: 0.3, Samples: []trial.Sample{{Value: 274.15}}},
		{Quantity: trial.Wall, Place: "north side", Source: "log.csv: A1 (°C)", Samples: []trial.Sample{{Value: 283.15}}},
		{Quantity: trial.Water, Source: "log.csv: dew point", Samples: []trial.Sample{{Value: 9, Mark: trial.Fault}}},
	} {
		got := l.Series[i]
		if got.Quantity != want.Quantity || got.Place != want.Place || got.Source != want.Source || got.Uncertainty != want.Uncertainty ||
			math.Abs(got.Samples[0].Value-want.Samples[0].Value) > 1e-9 || got.Samples[0].Mark != want.Samples[0].Mark {
			t.Errorf("%+v", got)
		}
	}
	for _, bad := range []string{"A0", "=top plate", "A0=top", "A0=top plate,furlong"} {
		if _, err := ParseColumn(bad); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}
