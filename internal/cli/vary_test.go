package cli

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"meltspan/predict"
	"meltspan/report"
)

func TestVaryJSONReadsBack(t *testing.T) {
	t.Parallel()
	code, out, errOut := run(t, "vary", "demo", "store.mass", "90 g", "110 g", "--steps", "2", "--samples", "20", "--json")
	var v predict.Variation
	if err := report.ReadJSON([]byte(out), &v); err != nil {
		t.Fatal(err)
	}
	if code != exitDone || errOut != "" || len(v.Points) != 2 || v.Axes[0].Values[1] != 0.11 || !(v.Points[1].Band.Median > v.Points[0].Band.Median) {
		t.Errorf("exit code %d, %s, %+v", code, errOut, v)
	}
}

func TestInterruptKeepsWhatWasVaried(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	var out strings.Builder
	screen := &impatient{interrupt: cancel}
	s := &session{ctx: ctx, out: &output{w: &out}, err: screen, terminal: true}
	code := s.run([]string{"vary", "demo", "stand.wall.cavities", "1", "3", "--samples", "20000", "--json"})
	var v predict.Variation
	if err := report.ReadJSON([]byte(out.String()), &v); err != nil {
		t.Fatal(err)
	}
	if code != exitInterrupted || v.Samples == 0 || v.Samples >= 20000 || !bytes.Contains(screen.shown.Bytes(), []byte("interrupted")) {
		t.Errorf("exit code %d, %d samples, %q", code, v.Samples, screen.shown.String())
	}
}

func TestJoinUnits(t *testing.T) {
	t.Parallel()
	for typed, want := range map[string]string{
		"demo|a|0.8|mm|2|mm":     "demo|a|0.8 mm|2 mm",
		"demo|a|-6|degC|-2 degC": "demo|a|-6 degC|-2 degC",
		"demo|a|1|3|b|1|W/K|2":   "demo|a|1|3|b|1 W/K|2",
		"demo|a|1|3":             "demo|a|1|3",
	} {
		if got := strings.Join(joinUnits(strings.Split(typed, "|")), "|"); got != want {
			t.Errorf("%q became %q, want %q", typed, got, want)
		}
	}
}
