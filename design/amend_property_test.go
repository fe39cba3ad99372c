package design_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/design"
	"meltspan/internal/designtest"
	"meltspan/quantity"
)

// stated is all that a text says, by path, but for one key.
func stated(d *design.Design, but string) map[string]string {
	said := map[string]string{}
	for _, s := range d.Statements() {
		if s.Key != but {
			said[s.Key] = s.Value + " ± " + s.Spread
		}
	}
	return said
}

// keepsTheRest checks that one place of a text was changed, or lines were put
// in at one place, and all before and behind is as it was.
func keepsTheRest(t interface{ Fatalf(string, ...any) }, before, after string) {
	b, a := strings.Split(before, "\n"), strings.Split(after, "\n")
	head := 0
	for head < min(len(a), len(b)) && a[head] == b[head] {
		head++
	}
	tail := 0
	for tail < min(len(a), len(b))-head && a[len(a)-1-tail] == b[len(b)-1-tail] {
		tail++
	}
	lost, fresh := b[head:len(b)-tail], a[head:len(a)-tail]
	switch {
	case len(lost) == 0: // lines put in
	case len(lost) == 1 && len(fresh) == 1: // a line changed: what is behind a # stays
		_, was, _ := strings.Cut(lost[0], "#")
		if _, is, _ := strings.Cut(fresh[0], "#"); is != was {
			t.Fatalf("the remark %q became %q", was, is)
		}
	default:
		t.Fatalf("lines %q became %q", lost, fresh)
	}
}

// spellings are ways in which editors and people write the same text.
var spellings = map[string]func(string) string{
	"as it is":     func(s string) string { return s },
	"CR LF":        func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
	"mark ahead":   func(s string) string { return "\ufeff" + s },
	"no last line": func(s string) string { return strings.TrimRight(s, "\n") },
}

func spelled(t *rapid.T, text string) string {
	names := []string{"as it is", "CR LF", "mark ahead", "no last line"}
	return spellings[rapid.SampledFrom(names).Draw(t, "spelling")](text)
}

// What is asked for reads back, and nothing else that the text says changes.
func TestAmendChangesWhatWasAskedForAndNothingElse(t *testing.T) {
	done := 0
	rapid.Check(t, func(t *rapid.T) {
		text := spelled(t, designtest.Text(t))
		before, err := design.Parse("x.yaml", []byte(text), nil)
		if err != nil {
			t.Fatal(err)
		}
		in := rapid.SampledFrom(before.Quantities()).Draw(t, "input")
		to := in.Value.SI * rapid.Float64Range(0.97, 1.03).Draw(t, "change")
		spread := in.Kind
		if spread == quantity.Temperature {
			spread = quantity.TemperatureDifference
		}
		value := quantity.FormatIn(to, in.Kind, quantity.Units(in.Kind)[0], 9) + " +- " + quantity.FormatIn(in.Value.Spread/2, spread, quantity.Units(spread)[0], 9)
		got, d, err := design.Amend("x.yaml", []byte(text), []design.Amendment{{Path: in.Path, Value: value}}, nil)
		if err != nil {
			if p, ok := err.(design.Problem); ok && strings.HasPrefix(p.What, "the text is written") {
				t.Fatalf("%s = %s: %v in\n%s", in.Path, value, err, text)
			}
			return // the design cannot be so
		}
		done++
		want, err := quantity.Parse(value, in.Kind)
		if err != nil {
			t.Fatal(err)
		}
		get, err := design.Accessor(in.Path)
		if err != nil {
			t.Fatal(err)
		}
		if v := get(d); v.SI != want.SI || v.Spread != want.Spread || v.Origin != quantity.Stated {
			t.Fatalf("%s = %s reads as %+v", in.Path, value, v)
		}
		if was, is := stated(before, in.Path), stated(d, in.Path); len(was) != len(is) {
			t.Fatalf("%s: said before %v, now %v", in.Path, was, is)
		} else {
			for path, v := range was {
				if is[path] != v {
					t.Fatalf("%s: %s was %s, and is %s", in.Path, path, v, is[path])
				}
			}
		}
		keepsTheRest(t, text, string(got))
		again, _, err := design.Amend("x.yaml", got, []design.Amendment{{Path: in.Path, Value: value}}, nil)
		if err != nil || string(again) != string(got) {
			t.Fatalf("once more: %v\n%s", err, again)
		}
	})
	if done < 20 {
		t.Errorf("only %d designs were amended", done)
	}
}

// Counts and words likewise.
func TestAmendCountsAndWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := spelled(t, designtest.Text(t))
		x := rapid.SampledFrom([]design.Amendment{{Path: "stand.wall.cavities", Value: "2"}, {Path: "stand.base.cavities", Value: "0"}, {Path: "stand.ribs.count", Value: "3"},
			{Path: "stand.material", Value: "petg"}, {Path: "stand.wall.filling", Value: "cork"}, {Path: "print.wall_lines", Value: "3"}}).Draw(t, "amendment")
		got, d, err := design.Amend("x.yaml", []byte(text), []design.Amendment{x}, nil)
		if err != nil {
			if p, ok := err.(design.Problem); ok {
				t.Fatal(p)
			}
			return
		}
		keepsTheRest(t, text, string(got))
		read, err := design.Parse("x.yaml", got, nil)
		if err != nil || read.Revision() != d.Revision() {
			t.Fatal(err)
		}
		if w, err := read.FindWord(x.Path); err == nil {
			if w.Value(read) != x.Value {
				t.Fatalf("%v reads as %s", x, w.Value(read))
			}
		} else if k, err := read.FindKnob(x.Path); err != nil || k.Value(read) != float64(x.Value[0]-'0') {
			t.Fatalf("%v reads as %v, %v", x, k.Value(read), err)
		}
	})
}

// A text whose design has the value already is left as it is, to the byte.
func TestAmendToThePresentValueLeavesTheText(t *testing.T) {
	for _, name := range design.DemoNames() {
		demo, err := design.DemoNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		for spelling, spell := range spellings {
			text := spell(string(demo))
			d, err := design.Parse(name, []byte(text), nil)
			if err != nil {
				t.Fatal(err)
			}
			var paths []string
			for _, in := range d.Quantities() {
				paths = append(paths, in.Path)
			}
			for _, s := range d.Statements() {
				if k, err := d.FindKnob(s.Key); err == nil && !slices.Contains(paths, k.Path) {
					paths = append(paths, k.Path)
				}
			}
			for _, path := range paths {
				k, err := d.FindKnob(path)
				if err != nil || math.IsNaN(k.Value(d)) {
					t.Fatal(path, err)
				}
				if got, _, err := design.AmendNumbers(name, []byte(text), []design.Number{{Path: path, SI: k.Value(d)}}, nil); err != nil || string(got) != text {
					t.Errorf("%s, %s, %s: changed, or %v", name, spelling, path, err)
				}
			}
			for _, s := range d.Statements() {
				if _, err := d.FindWord(s.Key); err != nil {
					continue
				}
				if got, _, err := design.Amend(name, []byte(text), []design.Amendment{{Path: s.Key, Value: s.Value}}, nil); err != nil || string(got) != text {
					t.Errorf("%s, %s, %s = %s: changed, or %v", name, spelling, s.Key, s.Value, err)
				}
			}
		}
	}
}
