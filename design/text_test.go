package design

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"meltspan/internal/plainyaml"
)

// one expects a single problem and returns it.
func one(t *testing.T, text string) Problem {
	t.Helper()
	problems := problemsOf(t, text)
	if len(problems) != 1 {
		t.Fatalf("want one problem, got %d:\n%v", len(problems), problems)
	}
	return problems[0]
}

func TestTextThatIsNoDesign(t *testing.T) {
	bomb := "a: &a [x, x]\n"
	for c := 'b'; c < 'k'; c++ {
		bomb += fmt.Sprintf("%c: &%c [*%c, *%c, *%c]\n", c, c, c-1, c-1, c-1)
	}
	indented := ""
	for i := range 200 {
		indented += strings.Repeat(" ", i) + "a:\n"
	}
	cases := []struct {
		name, text   string
		line, column int
		what         string
	}{
		{"empty", "", 1, 1, "the file is empty"},
		{"blank", "\n \n\n", 1, 1, "the file is empty"},
		{"comments only", "# nothing yet\n# at all\n", 1, 1, "the file is empty"},
		{"header only", "---\n", 1, 1, "the file is empty"},
		{"list", "- name: bench\n- room: 1\n", 1, 1, "a list where keys are expected"},
		{"single word", "bench\n", 1, 1, "the file holds no keys"},
		{"single number", "120 mm\n", 1, 1, "the file holds no keys"},
		{"deep brackets", strings.Repeat("[", 100000), 1, 17, "nested more than 16 deep"},
		{"deep braces", "a: " + strings.Repeat("{a: ", 1000), 1, 64, "nested more than 16 deep"},
		{"deep dashes", strings.Repeat("- ", 9000), 1, 33, "nested more than 16 deep"},
		{"deep indent", indented, 17, 18, "nested more than 16 deep"},
		{"many keys", strings.Repeat("a: 1\n", 100000), 6667, 4, "more than 20000 words"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p := one(t, c.text)
			if p.Line != c.line || p.Column != c.column || !strings.Contains(p.What, c.what) {
				t.Errorf("want %d:%d %q, got\n%v", c.line, c.column, c.what, p)
			}
		})
	}
	t.Run("alias bomb", func(t *testing.T) {
		for _, p := range problemsOf(t, bomb) {
			if !strings.Contains(p.What, "anchors") {
				t.Errorf("%v", p)
			}
		}
	})
}

func TestLargeNoiseIsRefusedBySize(t *testing.T) {
	noise := make([]byte, 10<<20)
	random := rand.New(rand.NewPCG(1, 2))
	for i := range noise {
		noise[i] = byte(random.Uint32())
	}
	if p := one(t, string(noise)); !strings.Contains(p.What, "larger than 1 MB") || p.Line != 0 {
		t.Errorf("%v", p)
	}
}

func TestLineEndsAndByteOrderMarkMakeNoDifference(t *testing.T) {
	plain, err := Parse("d", []byte(base), nil)
	if err != nil {
		t.Fatal(err)
	}
	other, err := Parse("d", []byte("\ufeff"+strings.ReplaceAll(base, "\n", "\r\n")), nil)
	if err != nil {
		t.Fatal(err)
	}
	if plain.Revision() != other.Revision() {
		t.Error("the revisions differ")
	}
}

func TestMissingKeyIsPlacedAtItsSection(t *testing.T) {
	cases := []struct {
		cut          string // from the base
		line, column int
		key, right   string
	}{
		{"  outer_diameter: 116 mm\n", 13, 1, "stand.outer_diameter", `add "outer_diameter: 120 mm" under stand (of the body)`},
		{"    depth: 28 mm\n", 16, 3, "stand.cup.depth", `"depth: 120 mm" under stand.cup`},
		{"meltspan: 1\n", 1, 1, "meltspan", `"meltspan: 1" at the top of the file`},
		{"  temperature: 22 degC\n", 21, 1, "room.temperature", `"temperature: 24 degC" under room`},
		{"room:\n  temperature: 22 degC\n  humidity: 55 %\n", 1, 1, "room", `the section "room:"`},
		{"  engine: {}\n", 3, 1, "load", "engine, generator, leak or sample"},
		{"  top_plate:\n    diameter: 92 mm\n", 3, 1, "load.top_plate", "add top_plate with its diameter"},
	}
	for _, c := range cases {
		if strings.Count(base, c.cut) != 1 {
			t.Fatalf("%q is not in the base", c.cut)
		}
		p := one(t, strings.Replace(base, c.cut, "", 1))
		if p.Line != c.line || p.Column != c.column || p.Key != c.key || !strings.Contains(p.Right, c.right) {
			t.Errorf("want %d:%d %s, right %q; got\n%v", c.line, c.column, c.key, c.right, p)
		}
	}
}

func TestWhatFollowsFromOmissionsIsPlacedAtTheSection(t *testing.T) {
	cases := []struct {
		old, new     string
		line, column int
		key, what    string
	}{
		{"  substance: ice", "  substance: ice\n  form: cubes", 9, 1, "store.edge", "store.edge is missing"},
		{"  skin: 1.2 mm", "  skin: 1.2 mm\n  contact: {mode: no_contact}\n  pegs: {count: 3, height: 8 mm}", 11, 9, "store.mass", "high in a cup of 28 mm depth"},
		{"room:", "envelope: {diameter: 110 mm}\nroom:", 14, 19, "stand.outer_diameter", "wider than the envelope (110 mm)"},
		{"room:", "envelope: {height: 40 mm}\nroom:", 0, 0, "", ""},
	}
	for _, c := range cases {
		problems := problemsOf(t, strings.Replace(base, c.old, c.new, 1))
		if c.what == "" {
			if len(problems) > 0 {
				t.Errorf("valid, but\n%v", problems)
			}
			continue
		}
		if p := problems[0]; p.Line != c.line || p.Column != c.column || p.Key != c.key || !strings.Contains(p.What, c.what) {
			t.Errorf("want %d:%d %s %q; got\n%v", c.line, c.column, c.key, c.what, p)
		}
	}
}

func TestAllMistakesAreReportedInOrder(t *testing.T) {
	text := strings.NewReplacer("1.2 mm", "1.2", "  mass: 110 g", "  mass: 110 mm", "55 %", "555 %", "name: bench", "nane: bench").Replace(base)
	problems := problemsOf(t, text)
	var lines []int
	for _, p := range problems {
		lines = append(lines, p.Line)
	}
	if got, want := fmt.Sprint(lines), "[1 2 11 20 23]"; got != want {
		t.Errorf("lines %s, want %s\n%v", got, want, problems)
	}
}

func TestManyMistakesAreCappedInPrint(t *testing.T) {
	text := base
	for i := range 50 {
		text += fmt.Sprintf("key%d: 1\n", i)
	}
	problems := problemsOf(t, text)
	print := problems.Error()
	if len(problems) != 50 || strings.Count(print, "right:") != 20 || !strings.HasSuffix(print, "... and 30 more") {
		t.Errorf("%d problems, print ends %q", len(problems), print[len(print)-40:])
	}
}

func TestProblemPrintsPlaceExcerptAndAdvice(t *testing.T) {
	text, _, _ := spoil(t, "    skin: 1.2 mm", "    skin: 1.2 ^g")
	want := `d.yaml:20:15: stand.wall.skin: 1.2 g is a mass
   20 |     skin: 1.2 g
      |               ^
  right: a length such as 120 mm is needed`
	if got := problemsOf(t, text).Error(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestExcerptOfALongLineKeepsTheCaret(t *testing.T) {
	for _, before := range []int{0, 40, 60, 500} {
		line := strings.Repeat("x", before) + "!" + strings.Repeat("y", 500)
		parts := strings.Split(Excerpt([]string{line}, 1, before+1), "\n")
		if len(parts) != 2 || len(parts[0]) != 80 || len(parts[1]) > 80 {
			t.Fatalf("not two lines of 80 columns: %q", parts)
		}
		if at := strings.IndexByte(parts[1], '^'); parts[0][at] != '!' {
			t.Errorf("the caret points at %q", parts[0][at])
		}
	}
}

func TestExcerptHoldsNoControlCharacters(t *testing.T) {
	got := Excerpt([]string{"a\x1b[2J\tb\u009b2Jc\u0085d\x7fe"}, 1, 12)
	want := "    1 | a [2J b 2Jc d e\n      |            ^"
	if got != want {
		t.Errorf("got\n%q, want\n%q", got, want)
	}
}

func TestEmptyFileNamesTheStarter(t *testing.T) {
	if p := one(t, ""); !strings.Contains(p.Right, "meltspan starter") {
		t.Errorf("%q", p.Right)
	}
}

// flow is the base again, its sections in braces on one line each.
const flow = `meltspan: 1
name: flow
load: {engine: {screws: {count: 4, diameter: 3 mm}, displacer: {diameter: 80 mm, thickness: 7 mm}, stall_difference: 6 K, chamber_height: 12 mm, ring_wall: 2 mm}, bottom_plate: {diameter: 92 mm, thickness: 2 mm}, top_plate: {diameter: 92 mm}}
store: {substance: ice, mass: 110 g, temperature: -6 degC, freezer: {temperature: -18 degC, film: 10 W/(m2 K), water: 15 degC}}
stand: {outer_diameter: 116 mm, height: 38 mm, cup: {diameter: 80 mm, depth: 28 mm}, wall: {skin: 1.2 mm, cavities: 2}, base: {skin: 1.2 mm}, rim: {thickness: 1.6 mm}, ribs: {count: 0}, pegs: {count: 0}, feet: {height: 0 mm}, tray: {capacity: 0 ml}, contact: {mode: on_rim}}
room: {temperature: 22 degC, humidity: 55 %, daily: {swing: 2 K, warmest_after: 4 h}}
model: {side_film: 1, top_film: 1, cavity: 1, radiation: 1, vapour: 1, pool: 1, table: 1, gap: 1, bypass: 1, still: 1, infill: 1}
`

func TestMapsInBracesAreNotTakenForDeepNesting(t *testing.T) {
	inOne := "{" + strings.ReplaceAll(strings.TrimSpace(flow), "\n", ", ") + "}"
	listed := flow + "materials: [{name: pla, density: 1240 kg/m3}, {name: nylon, density: 1140 kg/m3}, {name: acrylic, density: 1180 kg/m3}]\n"
	for _, text := range []string{flow, inOne, listed} {
		if problems := problemsOf(t, text); len(problems) > 0 {
			t.Errorf("%v", problems)
		}
	}
}

func TestBracketsClosedTooOftenDoNotHideDeepNesting(t *testing.T) {
	text := strings.Repeat("- ]\n", 500) + "- " + strings.Repeat("[", 500)
	if p := problemsOf(t, text)[0]; !strings.Contains(p.What, "nested more than 16 deep") {
		t.Errorf("%v", p)
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(base))
	for _, name := range DemoNames() {
		text, err := DemoNamed(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	for _, m := range mistakes {
		f.Add([]byte(strings.Replace(base, m.old, strings.Replace(m.new, mark, "", 1), 1)))
	}
	for _, m := range impossible {
		f.Add([]byte(strings.Replace(base, m.old, strings.Replace(m.new, mark, "", 1), 1)))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := Parse("f.yaml", text, nil)
		if err == nil {
			if problems := d.Check(); len(problems) > 0 {
				t.Errorf("accepted, but: %v", problems)
			}
			if again, err := Parse("again", d.YAML(), nil); err != nil {
				t.Errorf("written out, it is refused: %v\n%s", err, d.YAML())
			} else if again.Revision() != d.Revision() {
				t.Errorf("written out, it is another design:\n%s", d.YAML())
			}
			return
		}
		lines := strings.Count(string(text), "\n") + 1
		for _, p := range err.(Problems) {
			if p.What == "" || p.Right == "" || p.Line > lines {
				t.Errorf("a problem without words, or out of the file: %#v", p)
			}
		}
	})
}

// Of a great many faults only the first are given an excerpt, so that hostile text
// costs no more time than it is worth.
func TestManyFaultsInAnotherFile(t *testing.T) {
	var faults []plainyaml.Fault
	for i := range 2 * excerpted {
		faults = append(faults, plainyaml.Fault{Line: i + 1, Column: 1, What: "wrong", Right: "right"})
	}
	excerpts := 0
	for _, p := range ProblemsIn("m.yaml", []byte(strings.Repeat("x\n", 2*excerpted)), faults) {
		if p.Excerpt != "" {
			excerpts++
		}
		if p.File != "m.yaml" || p.What != "wrong" || p.Right != "right" {
			t.Errorf("%+v", p)
		}
	}
	if excerpts != excerpted {
		t.Errorf("%d excerpts, want %d", excerpts, excerpted)
	}
}
