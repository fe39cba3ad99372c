package design

import (
	"errors"
	"strings"
	"testing"
)

// base is a valid design that the cases below spoil, one place each.
const base = `meltspan: 1
name: bench
load:
  bottom_plate:
    diameter: 92 mm
  top_plate:
    diameter: 92 mm
  engine: {}
store:
  substance: ice
  mass: 110 g
  temperature: -6 degC
stand:
  outer_diameter: 116 mm
  height: 38 mm
  cup:
    diameter: 80 mm
    depth: 28 mm
  wall:
    skin: 1.2 mm
room:
  temperature: 22 degC
  humidity: 55 %
`

// mark stands in a spoilt text where the caret must point.
const mark = "^"

// spoil puts new for old in the base and takes the mark out again.
func spoil(t *testing.T, old, new string) (text string, line, column int) {
	t.Helper()
	if strings.Count(base, old) != 1 || strings.Count(new, mark) != 1 {
		t.Fatalf("the case is wrong: %q must stand once in the base, the mark once in %q", old, new)
	}
	text = strings.Replace(base, old, new, 1)
	before, after, _ := strings.Cut(text, mark)
	line = strings.Count(before, "\n") + 1
	column = len([]rune(before[strings.LastIndexByte(before, '\n')+1:])) + 1
	return before + after, line, column
}

func problemsOf(t *testing.T, text string) Problems {
	t.Helper()
	_, err := Parse("d.yaml", []byte(text), nil)
	if err == nil {
		return nil
	}
	var problems Problems
	if !errors.As(err, &problems) || len(problems) == 0 {
		t.Fatalf("Parse returned %T: %v", err, err)
	}
	return problems
}

// mistakes are single slips, each with what is said and what is advised.
var mistakes = []struct {
	name, old, new string
	key            string
	what, right    string
}{
	// Keys.
	{"unknown key, near spelling", "  outer_diameter: 116 mm", "  ^outer_diamter: 116 mm\n  outer_diameter: 116 mm", "stand.outer_diamter", `no key "outer_diamter" under stand`, "did you mean outer_diameter?"},
	{"unknown key, nothing near", "name: bench", "name: bench\n^colour: red", "colour", `no key "colour" at the top`, "allowed here: meltspan, name"},
	{"key with a blank", "    skin: 1.2 mm", "    skin: 1.2 mm\n    ^cavity emissivity: 0.5", "stand.wall.cavity emissivity", "no key", "did you mean cavity_emissivity?"},
	{"key in capitals", "room:\n", "^Room:\n  temperature: 20 degC\nroom:\n", "Room", `no key "Room"`, "did you mean room?"},
	{"duplicate key", "  mass: 110 g", "  mass: 110 g\n  ^mass: 120 g", "store.mass", "written twice, first on line 11", "keep one"},
	{"duplicate section", "room:\n", "^store:\n  mass: 2 g\nroom:\n", "store", "written twice, first on line 9", "keep one"},
	{"key with no value", "    skin: 1.2 mm", "    ^skin:", "stand.wall.skin", "stand.wall.skin has no value", "or delete the line"},
	{"key with null", "    skin: 1.2 mm", "    ^skin: null", "stand.wall.skin", "has no value", "write"},
	{"section with no value", "  engine: {}", "  ^engine:", "load.engine", "load.engine is empty", "{} to take every default"},

	// Shapes.
	{"list for a section", "  wall:\n    skin: 1.2 mm", "  ^wall:\n    - skin: 1.2 mm", "stand.wall", "a list stands here", "leave out the dashes"},
	{"value for a section", "  wall:\n    skin: 1.2 mm", "  wall: ^1.2 mm", "stand.wall", "a section of its own", "skin"},
	{"section for a value", "    skin: 1.2 mm", "    ^skin:\n      thickness: 1.2 mm", "stand.wall.skin", "takes one value, but keys stand under it", `"skin: 120 mm"`},
	{"list for a value", "    skin: 1.2 mm", "    ^skin: [1.2 mm, 1.4 mm]", "stand.wall.skin", "takes one value, but a list stands here", `"skin: 120 mm"`},
	{"materials as a map", "room:\n", "^materials:\n  pla: 1\nroom:\n", "materials", "must be a list", "- name: pla"},
	{"material without dash content", "room:\n", "materials:\n  - ^pla\nroom:\n", "materials", "entry 1 of materials is no section", "- name: pla"},

	// Quantities.
	{"missing unit", "    skin: 1.2 mm", "    skin: 1.2^", "stand.wall.skin", "1.2 has no unit", "write 1.2 mm"},
	{"wrong dimension", "    skin: 1.2 mm", "    skin: 1.2 ^g", "stand.wall.skin", "1.2 g is a mass", "a length such as 120 mm"},
	{"unknown unit", "    skin: 1.2 mm", "    skin: 1.2 ^mn", "stand.wall.skin", `"mn" is not a known unit`, "mm"},
	{"decimal comma", "    skin: 1.2 mm", "    skin: 1^,2 mm", "stand.wall.skin", "comma", "1.2"},
	{"words for a number", "    skin: 1.2 mm", "    skin: ^thin", "stand.wall.skin", `"thin" is not a number`, "120 mm"},
	{"quoted quantity", "    skin: 1.2 mm", `    skin: "1.2 ^mn"`, "stand.wall.skin", `"mn" is not a known unit`, "mm"},
	{"negative wall", "    skin: 1.2 mm", "    skin: ^-1.2 mm", "stand.wall.skin", "stand.wall.skin is -1.2 mm", "more than 0 mm, up to 100 mm"},
	{"zero wall", "    skin: 1.2 mm", "    skin: ^0 mm", "stand.wall.skin", "is 0 mm", "more than 0 mm"},
	{"out of range", "  humidity: 55 %", "  humidity: ^155 %", "room.humidity", "room.humidity is 155 %", "from 0 % to 100 %"},
	{"bare per cent", "  humidity: 55 %", "  humidity: ^55", "room.humidity", "room.humidity is 55", "from 0 % to 100 %"},
	{"not a number", "    skin: 1.2 mm", "    skin: ^.nan", "stand.wall.skin", "not a finite number", "120 mm"},
	{"infinite", "    skin: 1.2 mm", "    skin: ^.inf", "stand.wall.skin", "not a finite number", "120 mm"},
	{"huge number", "    skin: 1.2 mm", "    skin: ^1e400 mm", "stand.wall.skin", "too large", "120 mm"},
	{"very long value", "    skin: 1.2 mm", "    skin: ^" + strings.Repeat("1", 300) + " mm", "stand.wall.skin", "too long for a quantity", "120 mm"},
	{"below absolute zero", "  temperature: -6 degC", "  temperature: ^-300 degC", "store.temperature", "below absolute zero", "-273.15 degC"},
	{"ice above the range", "  temperature: -6 degC", "  temperature: ^120 degC", "store.temperature", "is 120 degC", "from -80 degC to 99 degC"},
	{"spread without unit", "    skin: 1.2 mm", "    skin: 1.2 mm +- 0.1^", "stand.wall.skin", "after ± has no unit", "± 0.1 mm"},

	// Words, counts and truths.
	{"wrong choice", "  substance: ice", "  substance: ice\n  support: ^float", "store.support", `cannot be "float"`, "did you mean floats?"},
	{"unknown substance", "  substance: ice", "  substance: ^icee", "store.substance", "no substance known here", "did you mean ice?"},
	{"unknown material", "  height: 38 mm", "  height: 38 mm\n  material: ^plaa", "stand.material", "no material known here", "did you mean pla?"},
	{"unknown filling", "    skin: 1.2 mm", "    skin: 1.2 mm\n    filling: ^corc", "stand.wall.filling", "no material known here", "did you mean cork?"},
	{"count with a fraction", "    skin: 1.2 mm", "    skin: 1.2 mm\n    cavities: ^1.5", "stand.wall.cavities", "must be a whole number", "from 0 to 6"},
	{"count too large", "    skin: 1.2 mm", "    skin: 1.2 mm\n    cavities: ^7", "stand.wall.cavities", "is 7", "from 0 to 6"},
	{"count negative", "    skin: 1.2 mm", "    skin: 1.2 mm\n    cavities: ^-1", "stand.wall.cavities", "is -1", "from 0 to 6"},
	{"yes for true", "    depth: 28 mm", "    depth: 28 mm\n    drains: ^yes", "stand.cup.drains", "must be true or false", "drains: true"},
	{"empty name", "name: bench", `name: ^""`, "name", "name is empty", "write"},
	{"long name", "name: bench", "name: ^" + strings.Repeat("a", 201), "name", "too long", "200"},
	{"other format version", "meltspan: 1", "meltspan: ^2", "meltspan", "version 2", "version 1"},

	// Loads.
	{"two loads", "  engine: {}", "  engine: {}\n  ^leak:\n    power: 1 W\n    limit: 8 degC", "load.leak", "more than one load: engine, leak", "keep one"},

	// Materials of one's own.
	{"new material without values", "room:\n", "materials:\n  - ^name: wool\n    conductivity: 0.04 W/(m K)\n    density: 20 kg/m3\nroom:\n", "materials.wool.specific_heat", "specific_heat is missing", "specific_heat: 1800"},
	{"material listed twice", "room:\n", "materials:\n  - name: pla\n    density: 1200 kg/m3\n  - ^name: PLA\n    density: 1210 kg/m3\nroom:\n", "materials.pla", "listed twice, first on line 22", "merge"},
	{"material with an odd name", "room:\n", "materials:\n  - ^name: My Wool\n    density: 20 kg/m3\nroom:\n", "materials", "cannot be the name of a material", "small letters"},

	// YAML that designs do without.
	{"tab", "    skin: 1.2 mm", "^\tskin: 1.2 mm", "", "indented with a tab", "indent with blanks"},
	{"tab after blanks", "    skin: 1.2 mm", "  ^\tskin: 1.2 mm", "", "indented with a tab", "indent with blanks"},
	{"anchor", "  wall:\n", "  wall: ^&w\n", "", "anchors", "write the values out"},
	{"alias", "  wall:\n    skin: 1.2 mm", "  wall: ^*w", "", "anchors (&name) and aliases", "write the values out"},
	{"merge key", "    skin: 1.2 mm", "    ^<<: {skin: 1.2 mm}", "", "merge keys", "write the keys out"},
	{"tag", "name: bench", "name: ^!!str bench", "", "tags (!name)", "delete the tag"},
	{"directive", "meltspan: 1", "^%YAML 1.2\n---\nmeltspan: 1", "", "directives", "delete the line"},
	{"explicit key", "name: bench", "^? name\n: bench", "", `the sign "?"`, "key: value"},
	{"second document", "room:\n", "^---\nroom:\n", "", "a second document", "a design for each file"},
	{"colon missing", "name: bench", "^name bench", "", "missing its colon", "key: value"},
	{"open quotes", "name: bench", `name: ^"bench`, "", "not closed", "close the quotes"},
	{"unknown escape", "name: bench", `name: "be\^qnch"`, "", "a backslash stands before", `\\`},
	{"reserved sign", "name: bench", "name: ^@bench", "", "a sign that YAML reserves", "in quotes"},
	{"list not closed", "load:\n", "note: [a\n^load:\n", "", "a list opened with [ is not closed before this", "close it with ]"},
	{"text after a bar", "name: bench", "name: bench\nnote: ^|| a", "", "is followed by more text", "indented"},
	{"second colon", "name: bench", "name: ^bench: blue", "", `a second ":" on the line`, "in quotes"},
	{"control character", "name: bench", "name: be^\x00nch", "", "control character (U+0000)", "plain text"},
	{"no UTF-8", "name: bench", "name: be^\xffnch", "", "not text in UTF-8", "UTF-8"},
}

func TestMistakeIsPlacedAndExplained(t *testing.T) {
	for _, m := range mistakes {
		t.Run(m.name, func(t *testing.T) {
			text, line, column := spoil(t, m.old, m.new)
			problems := problemsOf(t, text)
			if len(problems) != 1 {
				t.Fatalf("want one problem, got %d:\n%v", len(problems), problems)
			}
			p := problems[0]
			if p.Line != line || p.Column != column || p.Key != m.key {
				t.Errorf("placed at %d:%d key %q, want %d:%d %q\n%v", p.Line, p.Column, p.Key, line, column, m.key, p)
			}
			if !strings.Contains(p.What, m.what) || !strings.Contains(p.Right, m.right) {
				t.Errorf("says %q and advises %q; want %q and %q", p.What, p.Right, m.what, m.right)
			}
		})
	}
}
