package report

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"meltspan/design"
	"meltspan/predict"
	"meltspan/result"
)

var update = flag.Bool("update", false, "write the expected texts anew")

func TestTextGoldens(t *testing.T) {
	coldDesign := fixtureDesign()
	hotDesign := fixtureDesign()
	hotDesign.Store.Substance = "water"
	hotDesign.Store.Temperature.SI = 343.15
	cases := map[string]struct {
		design *design.Design
		change func(*predict.Answer)
	}{
		"cold":          {coldDesign, func(*predict.Answer) {}},
		"hot":           {hotDesign, makeHot},
		"never_started": {coldDesign, makeNeverStarted},
		"still_running": {nil, makeStillRunning},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			a := fixtureAnswer()
			c.change(a)
			var b bytes.Buffer
			if err := Text(&b, a, c.design); err != nil {
				t.Fatal(err)
			}
			checkGolden(t, name, b.Bytes())
		})
	}
	t.Run("compare", func(t *testing.T) {
		var b bytes.Buffer
		if err := CompareText(&b, fixtureComparison()); err != nil {
			t.Fatal(err)
		}
		checkGolden(t, "compare", b.Bytes())
	})
}

func checkGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name+".txt")
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("text differs from %s (-want +got); run with -update if that is meant:\n%s", path, diff)
	}
}

func makeHot(a *predict.Answer) {
	a.Freezing = nil
	a.LastIce = predict.Band{}
	a.Nominal.LastIce = math.NaN()
	a.Nominal.Channels = nil
	a.Nominal.TrayLeft = -2e-6
	for i := range a.Nominal.Faces {
		a.Nominal.Faces[i].FirstSweat = math.NaN()
	}
}

func makeNeverStarted(a *predict.Answer) {
	a.Nominal.End, a.Nominal.RunTime, a.Nominal.Start = result.EndNeverStarted, 0, math.NaN()
	a.Nominal.PeakDifference = 6.2
	a.Band.Low, a.Band.Median, a.Band.High, a.Band.NeverStarted = 0, 0, 2*3600, 0.62
}

func makeStillRunning(a *predict.Answer) {
	a.Nominal.End, a.Nominal.RunTime = result.EndHorizon, a.Nominal.Simulated
	a.Band.High, a.Band.StillRunning = a.Nominal.Simulated, 0.31
	a.Band.Samples = 300
}

func TestTextRefusesAnswerWithoutRun(t *testing.T) {
	if err := Text(&bytes.Buffer{}, &predict.Answer{}, nil); err == nil {
		t.Error("no error for an answer without a run")
	}
}

// Whatever a user writes into a design, no line is wider than the page.
func TestTextStaysWithin80Columns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, c := fixtureAnswer(), fixtureComparison()
		word := rapid.StringN(0, 120, 300)
		number := rapid.Float64()
		a.Design, a.Criterion = word.Draw(t, "name"), word.Draw(t, "criterion")
		a.Cautions = []string{word.Draw(t, "caution")}
		a.Inputs[0].Path = word.Draw(t, "path")
		a.Inputs[1].Value.SI = number.Draw(t, "value")
		a.Nominal.Faces[0].Name = word.Draw(t, "face")
		a.Nominal.Budget[0].Label = word.Draw(t, "label")
		a.Nominal.Budget[0].Energy = number.Draw(t, "energy")
		a.Nominal.RunTime = number.Draw(t, "run time")
		a.Ceiling.NoLeak = number.Draw(t, "ceiling")
		c.A, c.BandB.High, c.Ratio.High = a.Design, number.Draw(t, "high"), number.Draw(t, "ratio")
		var b bytes.Buffer
		if err := Text(&b, a, nil); err != nil {
			t.Fatal(err)
		}
		if err := CompareText(&b, c); err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(b.String(), "\n") {
			if n := utf8.RuneCountInString(line); n > textWidth {
				t.Fatalf("%d columns: %q", n, line)
			}
		}
	})
}
