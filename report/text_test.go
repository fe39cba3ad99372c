package report

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/quantity"
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
			if err := Text(&b, quantity.Display{}, a, c.design); err != nil {
				t.Fatal(err)
			}
			checkGolden(t, name, b.Bytes())
		})
	}
	for name, change := range map[string]func(*predict.Comparison){
		"compare":      func(*predict.Comparison) {},
		"compare_self": makeSelf,
	} {
		t.Run(name, func(t *testing.T) {
			c := fixtureComparison()
			change(c)
			var b bytes.Buffer
			if err := CompareText(&b, quantity.Display{}, c); err != nil {
				t.Fatal(err)
			}
			checkGolden(t, name, b.Bytes())
		})
	}
}

// makeSelf is a design compared with itself, interrupted after a few samples.
func makeSelf(c *predict.Comparison) {
	c.A, c.RevisionA, c.RevisionB = c.B, "3f9a1c", "3f9a1c"
	c.BandA, c.NominalA = c.BandB, c.NominalB
	c.Difference, c.Ratio, c.Longer = fixtureBand(-1200, 0, 1300), fixtureBand(0.94, 1, 1.06), 0.49
	c.Difference.Samples, c.Difference.Asked = 12, 512
	c.Residual = math.NaN()
	c.RatioInputs = slices.Clone(c.RatioInputs)
	for i := range c.RatioInputs {
		c.RatioInputs[i].VarianceShare = math.NaN()
	}
	c.RatioInputs[2].Of, c.RatioInputs[3] = "A", c.RatioInputs[2]
	c.RatioInputs[3].Of, c.RatioInputs[3].Change = "B", math.NaN()
	c.Cautions = []string{"Only 12 samples: the band is rough."}
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
	if err := Text(&bytes.Buffer{}, quantity.Display{}, &predict.Answer{}, nil); err == nil {
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
		a.Power[0].Name, a.Power[1].Note = word.Draw(t, "power"), word.Draw(t, "note")
		a.Nominal.Faces[0].Name = word.Draw(t, "face")
		a.Nominal.Budget[0].Label = word.Draw(t, "label")
		a.Nominal.Budget[0].Energy = number.Draw(t, "energy")
		a.Nominal.RunTime = number.Draw(t, "run time")
		a.Ceiling.NoLeak = number.Draw(t, "ceiling")
		c.A, c.BandB.High, c.Ratio.High = a.Design, number.Draw(t, "high"), number.Draw(t, "ratio")
		var b bytes.Buffer
		if err := Text(&b, quantity.Display{}, a, nil); err != nil {
			t.Fatal(err)
		}
		if err := CompareText(&b, quantity.Display{}, c); err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(b.String(), "\n") {
			if n := utf8.RuneCountInString(line); n > textpage.Width {
				t.Fatalf("%d columns: %q", n, line)
			}
		}
	})
}

func TestComparisonWithoutSamplesGivesNominalTimesOnly(t *testing.T) {
	t.Parallel()
	var out strings.Builder
	if err := CompareText(&out, quantity.Display{}, &predict.Comparison{NominalA: 3600, NominalB: 5400}); err != nil {
		t.Fatal(err)
	}
	if want := "With all inputs nominal: A runs for 1 h, B for 1 h 30 min. There is no band.\n"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
}
