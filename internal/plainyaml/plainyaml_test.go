package plainyaml

import (
	"strings"
	"testing"

	"github.com/goccy/go-yaml/ast"
)

var letter = Kind{One: "a letter", Many: "letters", Shape: `lines such as "to: you"`, Begin: "a first line", Bytes: 1 << 10, Tokens: 100, Depth: 3}

// What a text is refused for is told with its place, in the words of its kind.
func TestTextsThatAreRefused(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]Fault{
		strings.Repeat("a: b\n", 300): {0, 0, "larger than 1 kB", "a letter is a text"},
		"to: y\xffou":                 {1, 6, "UTF-8", "UTF-8"},
		"to: you\nfrom: \x07me":       {2, 7, "U+0007", "a letter is plain text"},
		"to:\n\tname: you":            {2, 1, "tab", "blanks"},
		"":                            {1, 1, "the file is empty", "a first line"},
		"- you":                       {1, 1, "a list where keys", `"to: you"`},
		"you":                         {1, 1, "no keys", `"to: you"`},
		"to: !!str you":               {1, 5, "not used in letters", "tag"},
		"to: &a you":                  {1, 5, "not used in letters", "write the values out"},
		"? to\n: you":                 {1, 1, "not used in letters", "key: value"},
		"%YAML 1.2\n---\nto: you":     {1, 1, "directives", "delete"},
		"to: you\n---\nto: me":        {2, 1, "second document", "a letter for each file"},
		"a:\n b:\n  c:\n   d: e":      {4, 5, "more than 3 deep", "a letter has fewer"},
		"to: [you":                    {1, 5, "not closed", "close it with ]"},
		"to: [" + strings.Repeat("a,", 60) + "a]": {1, 103, "more than 100 words", "a letter needs"},
	} {
		root, faults := letter.Parse(Clean([]byte(text)))
		if root != nil || len(faults) == 0 {
			t.Errorf("%q: read, with %v", text, faults)
			continue
		}
		f := faults[0]
		if f.Line != want.Line || f.Column != want.Column || !strings.Contains(f.What, want.What) || !strings.Contains(f.Right, want.Right) {
			t.Errorf("%q: %+v, want %+v", text, f, want)
		}
	}
}

func TestCleanTextsAreRead(t *testing.T) {
	t.Parallel()
	root, faults := letter.Parse(Clean([]byte("\ufeffto: you\r\nfrom: me\r\n")))
	if root == nil || len(faults) > 0 {
		t.Fatal(faults)
	}
	var keys []string
	for it := root.MapRange(); it.Next(); {
		keys = append(keys, it.Key().GetToken().Value)
	}
	if strings.Join(keys, " ") != "to from" {
		t.Errorf("%q", keys)
	}
}

// No text panics; what is read has a place for every key.
func FuzzParse(f *testing.F) {
	f.Add([]byte("to: you\nfrom:\n  name: me\n  places: [a, 'b c', \"d\"]\n"))
	f.Add([]byte("columns:\n ! #0000000000000000"))
	f.Fuzz(func(t *testing.T, text []byte) {
		text = Clean(text)
		root, faults := letter.Parse(text)
		if (root == nil) != (len(faults) > 0) {
			t.Fatalf("map %v, faults %v", root, faults)
		}
		lines := strings.Split(string(text), "\n")
		for _, f := range faults {
			if f.Line < 0 || f.Line > len(lines) || f.What == "" || f.Right == "" {
				t.Fatalf("%+v", f)
			}
		}
		if n, ok := root.(ast.Node); root != nil && (!ok || n == nil) {
			t.Fatal("the map is no node")
		}
	})
}
