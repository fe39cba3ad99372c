package logfile

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"meltspan/trial"
)

func TestGuessColumn(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]Column{
		"T_bottom (°C)":             {Quantity: trial.BottomPlate, Unit: "degC"},
		"Bottom plate [K]":          {Quantity: trial.BottomPlate, Unit: "K"},
		"temp_bottom_C":             {Quantity: trial.BottomPlate, Unit: "degC"},
		"lowerPlateTemp":            {Quantity: trial.BottomPlate, Unit: "degC"},
		"Top plate temperature/°F":  {Quantity: trial.TopPlate, Unit: "degF"},
		"room_temperature_degC":     {Quantity: trial.Room, Unit: "degC"},
		"Ambient":                   {Quantity: trial.Room, Unit: "degC"},
		"Room humidity, % RH":       {Quantity: trial.Humidity, Unit: "%", Place: "room"},
		"RH%":                       {Quantity: trial.Humidity, Unit: "%"},
		"humidity_percent":          {Quantity: trial.Humidity, Unit: "%"},
		"wall side 2 (degC)":        {Quantity: trial.Wall, Unit: "degC", Place: "side 2"},
		"Melt water":                {Quantity: trial.Water, Unit: "degC"},
		"speed rpm":                 {Quantity: trial.Speed, Unit: "rpm"},
		"Drehzahl (1/min)":          {Quantity: trial.Speed, Unit: "rpm"},
		"speed_Hz":                  {Quantity: trial.Speed, Unit: "Hz"},
		"scale (kg)":                {Quantity: trial.Weight, Unit: "kg"},
		"weight g":                  {Quantity: trial.Weight, Unit: "g"},
		"Room temp C":               {Quantity: trial.Room, Unit: "degC"},
		"Room sensor F":             {Quantity: trial.Room, Unit: "degC", Place: "f"},
		"weight_g":                  {Quantity: trial.Weight, Unit: "g"},
		"heater (mW)":               {Quantity: trial.HeaterPower, Unit: "mW"},
		"IR spot rim (C)":           {Quantity: trial.Spot, Unit: "degC", Place: "rim"},
		"dew point (°C)":            {},
		"Battery (V)":               {},
		"A0":                        {},
		"":                          {},
		"home/bench/top_plate/temp": {Quantity: trial.TopPlate, Unit: "degC", Place: "home bench"},
	} {
		got := GuessColumn(name)
		want.Name = name
		if diff := cmp.Diff(want, got, cmpopts.IgnoreFields(Column{}, "Assumed"), cmpopts.IgnoreUnexported(Column{})); diff != "" {
			t.Errorf("%q:\n%s", name, diff)
		}
		stated := strings.ContainsAny(name, "°[%(") || strings.HasSuffix(name, "rpm") || strings.HasSuffix(name, " g") || strings.HasSuffix(name, " C") || strings.Contains(name, "_") && !strings.Contains(name, "/temp")
		if got.Quantity != "" && (got.Assumed == "") != stated && name != "humidity_percent" {
			t.Errorf("%q: assumed %q", name, got.Assumed)
		}
	}
}

func TestUnitsOfAlias(t *testing.T) {
	t.Parallel()
	for name, u := range unitNames {
		if name != strings.ToLower(name) {
			t.Errorf("%q can never be found", name)
		}
		if u.symbol == "ms" {
			continue // of time columns alone
		}
		c := Column{Unit: u.symbol}
		found := false
		for _, c.Quantity = range trial.Quantities() {
			_, _, ok := c.scale()
			found = found || ok
		}
		if !found && u.kind != "time" {
			t.Errorf("%q stands for %q, which no quantity has", name, u.symbol)
		}
	}
}

// What a log was read with, written out and read back, reads it the same way.
func TestMappingFileReadsBack(t *testing.T) {
	t.Parallel()
	text := "Datum;Uhrzeit;T1;T2 (°F);Feuchte\n03/04/2026;12:00:00;1,5;70;48\n03/04/2026;12:00:10;1,6;71;48,5\n"
	by := Mapping{Time: Time{Form: DayFirst, Zone: "+01:00"}, Columns: []Column{
		{Name: "T1", Quantity: trial.BottomPlate, Unit: "degC", Place: "near: the rim", Uncertainty: "0.3 K"}, {Name: "T2 (°F)", Quantity: trial.Spot, Emissivity: 0.95}}}
	first := mustRead(t, text, by)
	written, err := first.Mapping.YAML()
	if err != nil {
		t.Fatal(err)
	}
	back, err := ParseMapping("mapping.yaml", written)
	if err != nil {
		t.Fatalf("%v\n%s", err, written)
	}
	again := mustRead(t, text, back)
	if diff := cmp.Diff(first.Series, again.Series, cmpopts.EquateNaNs()); diff != "" || len(first.Series) != 3 {
		t.Errorf("%s\nwith\n%s", diff, written)
	}
	rewritten, err := again.Mapping.YAML()
	if err != nil || !bytes.Equal(written, rewritten) {
		t.Errorf("%v: first\n%s\nthen\n%s", err, written, rewritten)
	}
}

func TestMappingFilesWithMistakes(t *testing.T) {
	t.Parallel()
	if _, err := ParseMapping("m.yaml", []byte(MappingExample)); err != nil {
		t.Errorf("the example: %v", err)
	}
	for text, want := range map[string]string{
		"colums:\n  - {name: T1}\n":                   "m.yaml:1:1",
		"columns:\n  - {name: T1, quantity: plate}\n": "nothing that a trial measures",
		"columns: [\n":                                "m.yaml:1:10: a list opened with [ is not closed",
		"columns:\n ! #0000000000\n":                  "m.yaml:2:2: tags",
		"columns: &all [*all]\n":                      "anchors",
		"columns: {name: T1}\n":                       "cannot be read",
		"columns:\n  - {name: [T1]}\n":                "m.yaml:2:12",
		"first_line: three\n":                         "m.yaml:1:13",
		"":                                            "the file is empty",
		"delimiter: bar\n":                            "cannot be \"bar\"",
		"decimal: dot\n":                              "cannot be \"dot\"",
		"time: {form: whenever}\n":                    "cannot be written as",
		"time: {form: every row}\n":                   "need their interval",
		"time: {zone: Mars}\n":                        "no time zone",
		"columns:\n  - {name: T, quantity: room, uncertainty: 3 g}\n": "the uncertainty cannot be",
	} {
		if _, err := ParseMapping("m.yaml", []byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q in it", text, err, want)
		}
	}
}

func TestMergeLetsFlagsWin(t *testing.T) {
	t.Parallel()
	file := Mapping{Decimal: comma, Delimiter: "tab", Time: Time{Form: DayFirst, Zone: "UTC"}, Columns: []Column{{Name: "a", Quantity: trial.Room}}}
	got := file.Merge(Mapping{Delimiter: "semicolon", FirstLine: 4, Time: Time{Form: MonthFirst, Columns: []string{"d"}}, Columns: []Column{{Name: "a", Quantity: trial.Wall}}})
	if got.Decimal != comma || got.Delimiter != "semicolon" || got.FirstLine != 4 || got.Time.Form != MonthFirst || got.Time.Zone != "UTC" ||
		got.Time.Columns[0] != "d" || got.Columns[1].Quantity != trial.Wall || len(file.Columns) != 1 {
		t.Errorf("%+v", got)
	}
}

// Whatever is in a file, reading it ends, and what it gives is sound.
func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"time,top (°C),room\n2026-01-31T13:00:00+01:00,1.5,21.25\n2026-01-31T13:00:10+01:00,85,-127\n",
		"Datum;Uhrzeit;unten;oben\n31.01.2026;12:00:00;1,5;21,25\n31.01.2026;12:00:10;1,6;\n",
		"t/min\tspeed rpm\n0\t60\n0.5\t\"59\n", "\xff\xfet\x00,\x00t\x00o\x00p\x00\n\x000\x00,\x001\x00\n\x00", "0:00:01,top\n", "1,2\n2,3\n3,4\n", "a,b\r1,2\r",
		"unix,top\n1767225600,1\n1767225599,1\n1767225601,nan\n", "Date,Time,top\n1/31/2026,12:00:00 PM,20\n",
	} {
		f.Add([]byte(s), "T=room")
	}
	f.Fuzz(func(t *testing.T, data []byte, column string) {
		var by Mapping
		if c, err := ParseColumn(column); err == nil {
			by.Columns = append(by.Columns, c)
		}
		l, err := Read("log.csv", data, by)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error without words")
			}
			l, err = Read("log.csv", data, Mapping{})
		}
		if err != nil {
			return
		}
		if l.Unread > l.Rows {
			t.Fatalf("%d of %d rows unread", l.Unread, l.Rows)
		}
		for _, s := range l.Series {
			if len(s.Samples) != l.Rows-l.Unread {
				t.Fatalf("%d samples of %d rows, %d unread", len(s.Samples), l.Rows, l.Unread)
			}
			last := math.Inf(-1)
			for _, x := range s.Samples {
				if math.IsNaN(x.Time) || math.IsInf(x.Time, 0) || math.IsNaN(x.Value) != (x.Mark == trial.Missing) {
					t.Fatalf("%+v", x)
				}
				if x.Mark == trial.Good {
					if x.Time <= last {
						t.Fatalf("good samples at %g s after %g s", x.Time, last)
					}
					last = x.Time
				}
			}
		}
	})
}

// A mapping that is read can be written and read again.
func FuzzParseMapping(f *testing.F) {
	f.Add([]byte(MappingExample))
	f.Add([]byte("delimiter: tab\ndecimal: comma\nfirst_line: 3\ntime: {form: every row, every_s: 10}\n"))
	f.Add([]byte("columns:\n ! #0000000000000000000000000000000000000000"))
	f.Add([]byte("columns:\n  - {name: \"a: b\", quantity: spot, emissivity: 0.95, place: '#1'}\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		m, err := ParseMapping("m.yaml", text)
		if err != nil {
			return
		}
		written, err := m.YAML()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := ParseMapping("m.yaml", written); err != nil {
			t.Fatalf("%v\nin\n%s", err, written)
		}
	})
}

// longLog is a log of a row each second.
func longLog(rows int) []byte {
	var b bytes.Buffer
	b.WriteString("Timestamp,Bottom plate (°C),Top plate (°C),Room (°C),RH (%)\n")
	for i := range rows {
		fmt.Fprintf(&b, "2026-01-%02dT%02d:%02d:%02dZ,%.4f,%.4f,%.2f,%.1f\n", 1+i/86400, i/3600%24, i/60%60, i%60,
			2+float64(i%977)/1000, 20+float64(i%613)/1000, 22.5, 48.0)
	}
	return b.Bytes()
}

func BenchmarkReadMillionRows(b *testing.B) {
	data := longLog(1_000_000)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		l, err := Read("log.csv", data, Mapping{})
		if err != nil || l.Rows != 1_000_000 || l.Unread != 0 {
			b.Fatal(err, l)
		}
	}
}
