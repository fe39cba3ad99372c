package live

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

func TestLinesAreRead(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		line string
		want []Field
	}{
		{"", nil},
		{"# bench logger, version 3", nil},
		{"bottom=3.25 top=17.9", []Field{{"bottom", 3.25, ""}, {"top", 17.9, ""}}},
		{"bottom=3.25 degC top=17.9 degC", []Field{{"bottom", 3.25, "degC"}, {"top", 17.9, "degC"}}},
		{"bottom plate = 3,25; top plate=17,9 °C", []Field{{"bottom plate", 3.25, ""}, {"top plate", 17.9, "°C"}}},
		{"t=21.5\xb0C", []Field{{"t", 21.5, "°C"}}},
		{"temp:21.5,hum:40%", []Field{{"temp", 21.5, ""}, {"hum", 40, "%"}}},
		{"temp: 21.5", []Field{{"temp", 21.5, ""}}},
		{"t=nan h=-1.5e1", []Field{{"t", nan, ""}, {"h", -15, ""}}},
		{`{"t":21.5,"air":{"h":40,"p":null},"c":[1,"2 K"],"on":true}`,
			[]Field{{"air.h", 40, ""}, {"air.p", nan, ""}, {"c.1", 1, ""}, {"c.2", 2, "K"}, {"t", 21.5, ""}}},
		{`{"t": nan, "h": 40}`, []Field{{"h", 40, ""}, {"t", nan, ""}}},
		{"21.5", []Field{{"column 1", 21.5, ""}}},
		{"21.5 3.25", []Field{{"column 1", 21.5, ""}, {"column 2", 3.25, ""}}},
		{"12:30:05,21.5", []Field{{"column 1", nan, ""}, {"column 2", 21.5, ""}}},
		{"21,5;3,25", []Field{{"column 1", 21.5, ""}, {"column 2", 3.25, ""}}},
		{"21.5,,3", []Field{{"column 1", 21.5, ""}, {"column 2", nan, ""}, {"column 3", 3, ""}}},
	} {
		var l Lines
		got, err := l.Read(c.line)
		if err != nil {
			t.Errorf("%q: %v", c.line, err)
		} else if d := cmp.Diff(c.want, got, cmpopts.EquateNaNs(), cmpopts.EquateEmpty()); d != "" {
			t.Errorf("%q: %s", c.line, d)
		}
	}
}

func TestHeaderNamesTheColumnsUntilTheNextOne(t *testing.T) {
	var l Lines
	keys := func(line string) string {
		fields, err := l.Read(line)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, f := range fields {
			out = append(out, f.Key)
		}
		return strings.Join(out, "|")
	}
	if keys("bottom [degC],top [degC]"); keys("1.5,2.5") != "bottom [degC]|top [degC]" {
		t.Errorf("columns %q", l.Columns)
	}
	var e *LineError
	if _, err := l.Read("1.5,2.5,3.5"); !errors.As(err, &e) || !strings.Contains(e.Reason, "3 cells where the header has 2") {
		t.Errorf("a row with a cell too many: %v", err)
	}
	if keys("#a;b;c"); keys("1,5;2,5;3") != "a|b|c" {
		t.Errorf("columns %q after a new header", l.Columns)
	}
}

func TestLinesThatAreNoneSayWhy(t *testing.T) {
	for _, c := range []struct {
		line   string
		column int
		reason string
	}{
		{"ab\x00\x1fc", 3, "wrong rate"},
		{"\xff\xfe\x80", 1, "wrong rate"},
		{"Sensor ready", 0, "neither numbers"},
		{"t=21,5,h=40", 6, "decimal commas"},
		{`{"t":21.5`, 0, "no JSON object"},
		{`{"t":1} {"t":2}`, 0, "more behind"},
		{"=3", 1, "no key=value pair"},
	} {
		var l Lines
		fields, err := l.Read(c.line)
		var e *LineError
		if !errors.As(err, &e) || e.Column != c.column || !strings.Contains(e.Reason, c.reason) {
			t.Errorf("%q: %v, %v; want column %d, %q", c.line, fields, err, c.column, c.reason)
		}
	}
}

// What is written as pairs is read back, whatever stands between.
func TestPairsAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		between := rapid.SampledFrom([]string{" ", ",", ";", "\t", ", "}).Draw(t, "between")
		var want []Field
		var parts []string
		for range rapid.IntRange(1, 6).Draw(t, "pairs") {
			text := rapid.StringMatching(`-?[0-9]{1,4}(\.[0-9]{1,3})?`).Draw(t, "number")
			key := rapid.StringMatching(`[a-z_][a-z0-9_/.]{0,8}`).Draw(t, "key")
			value, _, _ := number(text, false)
			want = append(want, Field{Key: key, Value: value})
			parts = append(parts, key+"="+text)
		}
		var l Lines
		got, err := l.Read(strings.Join(parts, between))
		if err != nil || !cmp.Equal(want, got) {
			t.Fatalf("%q: %v, %v", strings.Join(parts, between), got, err)
		}
	})
}

func FuzzLines(f *testing.F) {
	for _, seed := range []string{"a=1 b=2", `{"a":{"b":[1,2]}}`, "a,b\n1,2", "temp:21,hum:4", "#x;y\n1,2;3", "\xb0", `"a"";b`, "1e999", `{"a":-Infinity}`} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var l Lines
		for line := range strings.SplitSeq(text, "\n") {
			fields, err := l.Read(line)
			var e *LineError
			switch {
			case err != nil && (!errors.As(err, &e) || len(fields) > 0):
				t.Fatalf("%q: %v with %v", line, err, fields)
			case len(fields) > mostFields:
				t.Fatalf("%q: %d fields", line, len(fields))
			}
			for _, field := range fields {
				if math.IsInf(field.Value, 0) {
					t.Fatalf("%q: %v", line, field)
				}
			}
		}
	})
}
