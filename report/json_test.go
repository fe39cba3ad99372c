package report

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"meltspan/calibrate"
	"meltspan/predict"
	"meltspan/result"
)

func TestJSONRoundTripOfAnswer(t *testing.T) {
	a := fixtureAnswer()
	a.Nominal.Channels[2].Values[7] = math.NaN()
	checkRoundTrip(t, a, &predict.Answer{})
}

func TestJSONRoundTripOfComparison(t *testing.T) {
	c := fixtureComparison()
	c.RunA.LastIce = math.NaN()
	checkRoundTrip(t, c, &predict.Comparison{})
}

func checkRoundTrip(t *testing.T, in, out any) {
	t.Helper()
	var b bytes.Buffer
	if err := JSON(&b, in); err != nil {
		t.Fatal(err)
	}
	if err := ReadJSON(b.Bytes(), out); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(in, out, cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("changed on the way (-in +out):\n%s", diff)
	}
}

func TestJSONWritesUndefinedAndInfiniteAsNull(t *testing.T) {
	var b bytes.Buffer
	if err := JSON(&b, map[string]any{"b": math.Inf(-1), "a": []float64{1, math.NaN()}}); err != nil {
		t.Fatal(err)
	}
	want := "{\n  \"a\": [\n    1,\n    null\n  ],\n  \"b\": null\n}\n"
	if b.String() != want {
		t.Errorf("got %s, want %s", b.String(), want)
	}
}

// Where encoding/json can write a value, JSON writes the same.
func TestJSONAgreesWithEncodingJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		finite := rapid.Float64Range(-1e300, 1e300)
		run := result.Run{
			Design: rapid.String().Draw(t, "design"), RunTime: finite.Draw(t, "run time"),
			Times:    rapid.SliceOf(finite).Draw(t, "times"),
			Warnings: rapid.SliceOf(rapid.String()).Draw(t, "warnings"),
			Events:   []result.Event{{Kind: result.Started, Time: finite.Draw(t, "event"), Detail: rapid.String().Draw(t, "detail")}},
		}
		want, err := json.MarshalIndent(run, "", "  ")
		if err != nil {
			t.Fatal(err)
		}
		var got bytes.Buffer
		if err := JSON(&got, run); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want)+"\n", got.String()); diff != "" {
			t.Fatal(diff)
		}
	})
}

func FuzzReadJSON(f *testing.F) {
	f.Add([]byte(`{"run_time_s": null, "times_s": [1, null]}`))
	f.Add([]byte(`{"times_s": {"a": null}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var run result.Run
		if err := ReadJSON(data, &run); err != nil {
			return
		}
		var b bytes.Buffer
		if err := JSON(&b, run); err != nil {
			t.Fatalf("what was read cannot be written: %v", err)
		}
	})
}

// Members of an embedded struct stand where encoding/json looks for them, and
// come back with their holes.
func TestEmbeddedStructsComeBack(t *testing.T) {
	before := calibrate.Learned{Column: calibrate.Column{Path: "store.mass", Of: "trial 1"}, Prior: calibrate.Interval{Low: 1, Median: math.NaN(), High: 3}, Spread: 0.5}
	before.Value.SI = math.NaN()
	var b bytes.Buffer
	if err := JSON(&b, before); err != nil {
		t.Fatal(err)
	}
	var after calibrate.Learned
	if err := ReadJSON(b.Bytes(), &after); err != nil {
		t.Fatal(err)
	}
	if after.Path != before.Path || after.Of != before.Of || after.Spread != before.Spread || !math.IsNaN(after.Value.SI) || !math.IsNaN(after.Prior.Median) {
		t.Errorf("%+v came back as %+v from %s", before, after, b.Bytes())
	}
}
