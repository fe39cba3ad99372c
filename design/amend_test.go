package design

import (
	"strings"
	"testing"
)

// Values go in where they stand, and nothing else of the text changes.
func TestAmendLeavesTheRestAsItWas(t *testing.T) {
	text := string(Demo())
	got, err := Amend("demo.yaml", []byte(text), []Amendment{
		{"load.engine.stall_difference", "5.21 K +- 0.12 K"},
		{"load.engine.still_conductance", "0.097 W/K +- 0.011 W/K"}, // not in the text
	}, nil)
	if err != nil {
		t.Fatal(err)
	}
	before, after := strings.Split(text, "\n"), strings.Split(string(got), "\n")
	kept := 0
	for _, line := range before {
		for _, other := range after {
			if line == other {
				kept++
				break
			}
		}
	}
	if len(after) != len(before)+1 || kept != len(before)-1 {
		t.Errorf("%d lines of %d stay as they were, %d lines now; want all but one, and one more", kept, len(before), len(after))
	}
	for _, want := range []string{"    stall_difference: 5.21 K +- 0.12 K  # it stops below this\n", "  engine:\n    still_conductance: 0.097 W/K +- 0.011 W/K\n"} {
		if !strings.Contains(string(got), want) {
			t.Errorf("the text has no %q:\n%s", want, got)
		}
	}
	d, err := Parse("demo.yaml", got, nil)
	if err != nil {
		t.Fatal(err)
	}
	if e := d.Load.Engine; e.StallDifference.SI != 5.21 || e.StallDifference.Spread != 0.12 || e.StillConductance.SI != 0.097 {
		t.Errorf("read back: %+v, %+v", e.StallDifference, e.StillConductance)
	}
}

func TestAmendInOtherNotations(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"braces":        {"  engine: {stall_difference: 6 K, mass: 100 g}", "  engine: {stall_difference: 5 K, mass: 100 g}"},
		"missing":       {"  engine: {mass: 100 g}", "  engine: {stall_difference: 5 K, mass: 100 g}"},
		"empty":         {"  engine: {}", "  engine: {stall_difference: 5 K}"},
		"quotes":        {"  engine:\n    stall_difference: \"6 K\" # it stops", "  engine:\n    stall_difference: 5 K   # it stops"},
		"line endings":  {"  engine:\r\n    mass: 100 g\r", "  engine:\r\n    stall_difference: 5 K\r\n    mass: 100 g\r"},
		"other letters": {"  engine: {stall_difference: 6 K} # größer", "  engine: {stall_difference: 5 K} # größer"},
	} {
		head := "meltspan: 1\nname: x\nload:\n  bottom_plate: {diameter: 92 mm}\n  top_plate: {diameter: 92 mm}\n"
		tail := "\nstore: {substance: ice, mass: 122 g, temperature: -6 degC}\nstand: {outer_diameter: 116 mm, height: 38 mm, cup: {diameter: 80 mm, depth: 28 mm}}\nroom: {temperature: 22 degC, humidity: 55 %}\n"
		got, err := Amend("x.yaml", []byte(head+c.text+tail), []Amendment{{"load.engine.stall_difference", "5 K"}}, nil)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if string(got) != head+c.want+tail {
			t.Errorf("%s: %q, want %q", name, got, head+c.want+tail)
		}
	}
}

func TestAmendRefusesWhatCannotBe(t *testing.T) {
	for _, a := range []Amendment{{"load.engine.stall_difference", "5 W"}, {"load.engine.stal", "5 K"}, {"load.generator.least_difference", "5 K"}} {
		if got, err := Amend("demo.yaml", Demo(), []Amendment{a}, nil); err == nil || got != nil {
			t.Errorf("%v: %v", a, err)
		}
	}
}

// Whatever the text, a change that is made says what was asked for.
func FuzzAmend(f *testing.F) {
	for _, name := range DemoNames() {
		text, err := DemoNamed(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text), "5.21 K +- 0.12 K")
	}
	f.Add("meltspan: 1\nload:\n  engine: {stall_difference: 6 K}\n", "5 K")
	f.Fuzz(func(t *testing.T, text, value string) {
		const path = "load.engine.stall_difference"
		got, err := Amend("x.yaml", []byte(text), []Amendment{{path, value}}, nil)
		if err != nil {
			return
		}
		d, err := Parse("x.yaml", got, nil)
		if err != nil {
			t.Fatalf("it no longer reads: %v\n%s", err, got)
		}
		want, err := Parse("x.yaml", []byte(text), nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := want.State(path, value, "stated"); err != nil {
			t.Fatal(err)
		}
		if d.Load.Engine.StallDifference.SI != want.Load.Engine.StallDifference.SI {
			t.Errorf("%q became %v", value, d.Load.Engine.StallDifference)
		}
	})
}
