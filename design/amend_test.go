package design

import (
	"errors"
	"math"
	"strings"
	"testing"

	"meltspan/quantity"
)

// Values go in where they stand, and nothing else of the text changes.
func TestAmendLeavesTheRestAsItWas(t *testing.T) {
	text := string(Demo())
	got, _, err := Amend("demo.yaml", []byte(text), []Amendment{
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
		"quotes":        {"  engine:\n    stall_difference: \"6 K\" # it stops", "  engine:\n    stall_difference: \"5 K\" # it stops"},
		"line endings":  {"  engine:\r\n    mass: 100 g\r", "  engine:\r\n    stall_difference: 5 K\r\n    mass: 100 g\r"},
		"other letters": {"  engine: {stall_difference: 6 K} # größer", "  engine: {stall_difference: 5 K} # größer"},
	} {
		head := "meltspan: 1\nname: x\nload:\n  bottom_plate: {diameter: 92 mm}\n  top_plate: {diameter: 92 mm}\n"
		tail := "\nstore: {substance: ice, mass: 122 g, temperature: -6 degC}\nstand: {outer_diameter: 116 mm, height: 38 mm, cup: {diameter: 80 mm, depth: 28 mm}}\nroom: {temperature: 22 degC, humidity: 55 %}\n"
		got, _, err := Amend("x.yaml", []byte(head+c.text+tail), []Amendment{{"load.engine.stall_difference", "5 K"}}, nil)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if string(got) != head+c.want+tail {
			t.Errorf("%s: %q, want %q", name, got, head+c.want+tail)
		}
	}
}

func TestAmendRefusesWhatCannotBe(t *testing.T) {
	for _, a := range []Amendment{{"load.engine.stall_difference", "5 W"}, {"load.engine.stal", "5 K"}, {"load.generator.least_difference", "5 K"}} {
		if got, _, err := Amend("demo.yaml", Demo(), []Amendment{a}, nil); err == nil || got != nil {
			t.Errorf("%v: %v", a, err)
		}
	}
}

// A number takes unit, spread, quotes and remark of the text that it replaces.
func TestAmendNumbersKeepsTheNotation(t *testing.T) {
	text := string(Demo())
	for _, c := range []struct {
		path     string
		value    float64
		old, new string
	}{
		{"store.mass", 0.0905, "mass: 110 g                   # weigh", "mass: 90.5 g                  # weigh"},
		{"stand.wall.cavities", 3, "cavities: 2 ", "cavities: 3 "},
		{"load.engine.stall_difference", 5, "stall_difference: 6 K +- 0.6 K ", "stall_difference: 5 K +- 0.6 K "},
		{"room.temperature", 300.15, "temperature: 22 degC", "temperature: 27 degC"},
		{"print.bed.width", 0.25, "width: 220 mm", "width: 250 mm"},
		{"stand.base.skin", 0.0015, "  base:\n    cavities: 1\n", "  base:\n    skin: 1.5 mm\n    cavities: 1\n"},
		{"model.cavity", 1.2, "height: 250 mm}\n", "height: 250 mm}\nmodel:\n  cavity: 120 %\n"},
		{"stand.ribs.count", 4, "stand:\n", "stand:\n  ribs:\n    count: 4\n"},
		{"materials.pla.conductivity", 0.2, "height: 250 mm}\n", "height: 250 mm}\nmaterials:\n  - name: pla\n    conductivity: 0.2 W/(m K)\n"},
	} {
		got, d, err := AmendNumbers("demo", Demo(), []Number{{c.path, c.value}}, nil)
		if err != nil {
			t.Errorf("%s: %v", c.path, err)
			continue
		}
		if want := strings.Replace(text, c.old, c.new, 1); string(got) != want || want == text {
			t.Errorf("%s: the text differs elsewhere, or reads\n%s", c.path, got)
		}
		if k, _ := d.FindKnob(c.path); math.Abs(k.Value(d)-c.value) > 1e-9 {
			t.Errorf("%s: reads back as %v, want %v", c.path, k.Value(d), c.value)
		}
	}
}

// Values that can be only together are put in together.
func TestAmendNumbersTogether(t *testing.T) {
	wide := []Number{{"stand.cup.diameter", 0.100}, {"stand.outer_diameter", 0.118}, {"load.bottom_plate.diameter", 0.110}}
	if _, _, err := AmendNumbers("demo", Demo(), wide[:1], nil); err == nil {
		t.Error("a cup wider than the plate on its rim is taken")
	}
	got, d, err := AmendNumbers("demo", Demo(), wide, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.NewReplacer("    diameter: 80 mm", "    diameter: 100 mm", "outer_diameter: 116 mm", "outer_diameter: 118 mm").Replace(string(Demo()))
	if want = strings.Replace(want, "diameter: 92 mm", "diameter: 110 mm", 1); string(got) != want || d.Stand.Cup.Diameter.SI != 0.1 {
		t.Errorf("the text reads\n%s", got)
	}
}

func TestRenumbered(t *testing.T) {
	for _, c := range []struct {
		old  string
		si   float64
		kind quantity.Kind
		want string
	}{
		{"80 mm +- 0.2 mm", 0.082, quantity.Length, "82 mm +- 0.2 mm"},
		{"8 cm ± 1 %", 0.082, quantity.Length, "8.2 cm ± 1 %"},
		{"0.55", 0.6, quantity.Fraction, "0.6"},
		{"0.55 +- 5 %", 0.6, quantity.Fraction, "0.6 +- 5 %"},
		{"55 %", 0.6, quantity.Fraction, "60 %"},
		{"6 h 40 min +- 10 min", 23400, quantity.Time, "6.5 h +- 10 min"},
		{"-6 degC", 268.15, quantity.Temperature, "-5 degC"},
		{"−6 °C +/- 1 K", 268.15, quantity.Temperature, "-5 °C +/- 1 K"},
		{"1e2 g", 0.1234567, quantity.Mass, "123.46 g"},
		{"", 0.1, quantity.Mass, "100 g"},
	} {
		got := renumbered(c.old, c.si, c.kind)
		if got != c.want {
			t.Errorf("%q to %v: %q, want %q", c.old, c.si, got, c.want)
		}
		if v, err := quantity.Parse(got, c.kind); err != nil || math.Abs(v.SI-c.si) > 1e-4*math.Abs(c.si) {
			t.Errorf("%q reads as %v, %v", got, v.SI, err)
		}
	}
}

// Lists of materials are amended in every way in which they are written.
func TestAmendMaterials(t *testing.T) {
	for old, want := range map[string]string{
		"materials:\n  - name: pla\n    density: 1200 kg/m3\n":                       "materials:\n  - name: pla\n    conductivity: 0.2 W/(m K)\n    density: 1200 kg/m3\n",
		"materials:\n- name: petg\n  density: 1200 kg/m3\n":                          "materials:\n- name: pla\n  conductivity: 0.2 W/(m K)\n- name: petg\n  density: 1200 kg/m3\n",
		"materials: [{name: pla, density: 1200 kg/m3}]\n":                            "materials: [{conductivity: 0.2 W/(m K), name: pla, density: 1200 kg/m3}]\n",
		"materials: [{name: petg, density: 1200 kg/m3}]\n":                           "materials: [{name: pla, conductivity: 0.2 W/(m K)}, {name: petg, density: 1200 kg/m3}]\n",
		"materials: # my own\n  - conductivity: 0.1 W/(m K) # thin\n    name: PLA\n": "materials: # my own\n  - conductivity: 0.2 W/(m K) # thin\n    name: PLA\n",
	} {
		got, _, err := Amend("x.yaml", []byte(string(Demo())+old), []Amendment{{"materials.pla.conductivity", "0.2 W/(m K)"}}, nil)
		if err != nil {
			t.Errorf("%q: %v", old, err)
		} else if string(got) != string(Demo())+want {
			t.Errorf("%q: %q", old, strings.TrimPrefix(string(got), string(Demo())))
		}
	}
}

// Each refusal says where in the text as it was given, and what would be right.
func TestAmendSaysWhatWhereAndWhatWouldBeRight(t *testing.T) {
	log := func(string) ([]byte, error) {
		return []byte("time_s,temperature_degC,humidity_percent\n0,20,50\n3600,21,50\n"), nil
	}
	demo := string(Demo())
	for _, c := range []struct {
		text, path, value string
		line              string // the text of the line told
		what, right       string
	}{
		{demo, "store.mass", "110 parsecs", "  mass: 110 g ", "parsecs", ""},
		{demo, "store.mass", "-1 g", "  mass: 110 g ", "store.mass is -1 g", "0"},
		{demo, "stand.wall.cavities", "2.5", "    cavities: 2 ", `"2.5"`, "whole number"},
		{demo, "stand.wall.cavities", "-1", "    cavities: 2 ", `"-1"`, "whole number"},
		{demo, "stand.material", "plaa", "  material: pla", `stand.material cannot be "plaa"`, "pla"},
		{demo, "stand.contact.mode", "glued", "    mode: on_rim ", `"glued"`, "on_rim"},
		{demo, "stand.cup.diameter", "130 mm", "    diameter: ", "", ""},     // wider than the stand
		{demo, "stand.base.skin", "9 mm", "  base:", "two skins", "thinner"}, // not in the text
		{strings.Replace(demo, "mass: 110 g ", "mass: |\n    110 g\n  # ", 1), "store.mass", "100 g", "  mass: |", "written in a way", "store.mass = 100 g"},
		{strings.Replace(demo, "  temperature: 22 degC\n  humidity: 55 %", "  log: room.csv", 1), "room.temperature", "20 degC", "room:", `log "room.csv"`, "another log"},
	} {
		got, d, err := Amend("x.yaml", []byte(c.text), []Amendment{{c.path, c.value}}, log)
		if err == nil || got != nil || d != nil {
			t.Errorf("%s = %s is taken: %v", c.path, c.value, err)
			continue
		}
		var p Problem
		var list Problems
		if errors.As(err, &list) {
			p = list[0]
		} else if !errors.As(err, &p) {
			t.Errorf("%s = %s: an error of no place: %v", c.path, c.value, err)
			continue
		}
		if lines := strings.Split(c.text, "\n"); p.Line < 1 || !strings.HasPrefix(lines[p.Line-1], c.line) || p.Excerpt == "" {
			t.Errorf("%s = %s: told at line %d, %q", c.path, c.value, p.Line, p.Excerpt)
		}
		if !strings.Contains(p.What, c.what) || !strings.Contains(p.Right, c.right) || p.Right == "" {
			t.Errorf("%s = %s: %q, right: %q", c.path, c.value, p.What, p.Right)
		}
	}
}

// FuzzAmend puts any value under any path of any text: it reads back as asked
// for, the text is left alone, or it is refused.
func FuzzAmend(f *testing.F) {
	for _, name := range DemoNames() {
		text, err := DemoNamed(name)
		if err != nil {
			f.Fatal(err)
		}
		for _, x := range []Amendment{{"load.engine.stall_difference", "5.21 K +- 0.12 K"}, {"store.mass", "0.1 kg"}, {"stand.wall.cavities", "3"}, {"stand.material", "abs"}, {"materials.pla.density", "1200 kg/m3"}} {
			f.Add(string(text), x.Path, x.Value)
		}
	}
	f.Add("meltspan: 1\nname: \"ä\"\nload: {bottom_plate: {diameter: 92 mm}, leak: {power: 1 W, limit: 8 degC}}\nstore: {substance: ice, mass: '100 g', temperature: -6 degC}\n"+
		"stand: {outer_diameter: 116 mm, height: 38 mm, cup: {diameter: 80 mm, depth: 28 mm}}\nroom: {temperature: 22 degC, humidity: 55 %}\n", "store.mass", "0.1 kg")
	f.Fuzz(func(t *testing.T, text, path, value string) {
		got, d, err := Amend("x.yaml", []byte(text), []Amendment{{path, value}}, nil)
		if err != nil {
			return
		}
		want, err := Parse("x.yaml", []byte(text), nil)
		if err != nil {
			t.Fatal(err)
		}
		if w, err := want.FindWord(path); err == nil {
			if is := w.Value(d); !strings.EqualFold(is, strings.TrimSpace(value)) && w.Choose(want, strings.TrimSpace(value)) == nil && is != w.Value(want) {
				t.Errorf("%s = %q reads as %q", path, value, is)
			}
			return
		}
		if err := want.State(path, strings.TrimSpace(value), quantity.Stated); err != nil {
			t.Fatal(err)
		}
		k, err := d.FindKnob(path)
		if err != nil {
			t.Fatal(err)
		}
		if !sameNumber(k.Value(d), k.Value(want)) {
			t.Errorf("%s = %q reads as %v, in\n%s", path, value, k.Value(d), got)
		}
	})
}

// FuzzAmendNumbers moves any input of any text: what comes back reads as asked,
// or the text is refused; a line is changed, or a few are put in.
func FuzzAmendNumbers(f *testing.F) {
	for _, name := range DemoNames() {
		text, err := DemoNamed(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text), "store.mass", 0.1)
		f.Add(string(text), "room.temperature", 300.0)
		f.Add(string(text), "stand.wall.cavities", 3.0)
		f.Add(string(text), "print.bed.depth", 0.3)
	}
	f.Fuzz(func(t *testing.T, text, path string, value float64) {
		got, d, err := AmendNumbers("x.yaml", []byte(text), []Number{{path, value}}, nil)
		if err != nil {
			return
		}
		before := strings.Count(text, "\n")
		if after := strings.Count(string(got), "\n"); after < before || after > before+4 {
			t.Errorf("%d lines became %d", before, after)
		}
		k, err := d.FindKnob(path)
		if err != nil {
			t.Fatalf("%s is gone: %v", path, err)
		}
		v := k.Value(d)
		if k.Count {
			value = math.Round(value)
		}
		offset := 0.0
		if k.Kind == quantity.Temperature {
			offset = 273.15 // five digits of degrees Celsius
		}
		if math.Abs(v-value) > 1e-4*(math.Abs(value)+offset) {
			t.Errorf("%s reads back as %v, want %v, in\n%s", path, v, value, got)
		}
	})
}

func BenchmarkAmendNumbers(b *testing.B) {
	for i := range b.N {
		if _, _, err := AmendNumbers("demo", Demo(), []Number{{"store.mass", 0.09 + 0.0001*float64(i%100)}}, nil); err != nil {
			b.Fatal(err)
		}
	}
}
