package design_test

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"meltspan/design"
	"meltspan/internal/designtest"
	"meltspan/quantity"
)

func TestDesignWrittenOutReadsBackEqual(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := designtest.Valid(t)
		text := d.YAML()
		again, err := design.Parse("again.yaml", text, nil)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if diff := cmp.Diff(d, again, cmpopts.IgnoreUnexported(design.Design{})); diff != "" {
			t.Fatalf("%s\n%s", diff, text)
		}
		if d.Revision() != again.Revision() {
			t.Fatal("the revisions differ")
		}
	})
}

func TestAnyValueSetIsWrittenOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := designtest.Valid(t)
		in := rapid.SampledFrom(d.Quantities()).Draw(t, "input")
		si := in.Value.SI * rapid.Float64Range(0.9999, 1.0001).Draw(t, "factor")
		if err := d.Set(in.Path, si); err != nil || d.Check() != nil {
			t.Skip("not valid any more")
		}
		again, err := design.Parse("again.yaml", d.YAML(), nil)
		if err != nil {
			t.Fatalf("%v\n%s", err, d.YAML())
		}
		get, err := design.Accessor(in.Path)
		if err != nil {
			t.Fatal(err)
		}
		// Written in mm, g or degC, a number may come back one rounding off.
		if got := get(again).SI; math.Abs(got-si) > 1e-14*math.Abs(si) {
			t.Fatalf("%s: wrote %v, read %v\n%s", in.Path, si, got, d.YAML())
		}
	})
}

func TestWrittenDesignHoldsOnlyWhatWasStated(t *testing.T) {
	d, err := design.Parse("demo.yaml", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	text := string(d.YAML())
	for _, want := range []string{"name: \"school bench\"\n", "    cavities: 2\n", "  mass: 110 g\n", "stall_difference: 6 K +- 0.6 K\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing from\n%s", want, text)
		}
	}
	for _, not := range []string{"intake_per_cycle", "model:", "materials:", "radiant_temperature"} {
		if strings.Contains(text, not) {
			t.Errorf("%q was not stated, but stands in\n%s", not, text)
		}
	}
}

func TestCountChangedByProgramIsWrittenOut(t *testing.T) {
	d, err := design.Parse("demo.yaml", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	d.Stand.Ribs.Count = 6
	if !strings.Contains(string(d.YAML()), "  ribs:\n    count: 6\n") {
		t.Errorf("%s", d.YAML())
	}
}

func TestFittedValuesAreWrittenOut(t *testing.T) {
	d, err := design.Parse("demo.yaml", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	d.Model.Cavity = quantity.Value{SI: 1.17, Spread: 0.06, Origin: quantity.Fitted}
	if !strings.Contains(string(d.YAML()), "model:\n  cavity: 117 % +- 6 %\n") {
		t.Errorf("%s", d.YAML())
	}
}
