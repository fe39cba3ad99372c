package design

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
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
		{"deep braces", "a: " + strings.Repeat("{a: ", 1000), 1, 66, "nested more than 16 deep"},
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
	line := strings.Repeat("x", 500) + "!" + strings.Repeat("y", 500)
	parts := strings.Split(excerpt([]string{line}, 1, 501), "\n")
	if len(parts) != 2 || len(parts[0]) > excerptWidth+8 {
		t.Fatalf("%q", parts)
	}
	if at := strings.IndexByte(parts[1], '^'); parts[0][at] != '!' {
		t.Errorf("the caret points at %q", parts[0][at])
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
