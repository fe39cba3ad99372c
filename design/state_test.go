package design

import (
	"errors"
	"strings"
	"testing"

	"meltspan/quantity"
)

// A value stated for one trial means what the same text means in the file.
func TestStateMeansWhatTheFileMeans(t *testing.T) {
	text := string(Demo())
	for path, value := range map[string]string{
		"store.mass":                   "119.4 g +- 0.2 g",
		"store.temperature":            "-9 degC",
		"room.temperature":             "295.4 K",
		"room.humidity":                "31 %",
		"load.engine.stall_difference": "5.2 K +- 4 %",
		"stand.wall.cavities":          "3",
	} {
		stated, err := Parse("demo", []byte(text), nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := stated.State(path, value, quantity.Stated); err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		// Written out and read again, nothing changes.
		written, err := Parse("written", stated.YAML(), nil)
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		if written.Revision() != stated.Revision() {
			t.Errorf("%s: the file says something else", path)
		}
	}
}

func TestStateRefusesInWords(t *testing.T) {
	d, err := Parse("demo", Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	before := d.Revision()
	for _, c := range []struct{ path, text, want string }{
		{"store.mass", "120", "has no unit"},
		{"store.mass", "-5 g", "more than 0 g"},
		{"store.mass", "120 gramms", "not a known unit"},
		{"store.mas", "120 g", "did you mean mass"},
		{"load.generator.seebeck", "1 V/K", "no such part"},
		{"stand.wall.cavities", "1.5", "whole number"},
		{"stand.material", "abs", "holds no quantity"},
		{"name", "x", "holds no quantity"},
	} {
		err := d.State(c.path, c.text, quantity.Measured)
		var p Problem
		if !errors.As(err, &p) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %s gives %v, want %q in it", c.path, c.text, err, c.want)
		}
	}
	if d.Revision() != before {
		t.Error("a refused statement changed the design")
	}
}
