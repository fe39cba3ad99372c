package textpage

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Every word of a paragraph is printed once and in order, and only a word
// that cannot be broken is wider than the page.
func TestParaKeepsWordsAndWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-zä]{1,90}|%`)).Draw(t, "words")
		indent, hang := rapid.IntRange(0, 6).Draw(t, "indent"), rapid.IntRange(0, 6).Draw(t, "hang")
		var p Page
		p.Para(indent, hang, strings.Join(words, " "))
		if got := strings.Fields(p.String()); strings.Join(got, " ") != strings.Join(words, " ") {
			t.Fatalf("words %q became %q", words, got)
		}
		for line := range strings.SplitSeq(p.String(), "\n") {
			if plain := strings.ReplaceAll(line, " %", ""); Columns(line) > Width && len(strings.Fields(plain)) > 1 {
				t.Fatalf("line too wide: %q", line)
			}
		}
	})
}

// A page that cuts loses no character of a paragraph and keeps its width.
func TestCutParaKeepsCharactersAndWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-zä%]{1,200} ){0,5}`).Draw(t, "text")
		p := Page{CutLong: true}
		p.Para(rapid.IntRange(0, 6).Draw(t, "indent"), rapid.IntRange(0, 6).Draw(t, "hang"), text)
		bare := strings.NewReplacer(" ", "", "\n", "")
		if got, want := bare.Replace(p.String()), bare.Replace(text); got != want {
			t.Fatalf("%q became %q", want, got)
		}
		for line := range strings.SplitSeq(p.String(), "\n") {
			if Columns(line) > Width {
				t.Fatalf("line too wide: %q", line)
			}
		}
	})
}

func TestParaKeepsANumberWithItsPerCent(t *testing.T) {
	var p Page
	p.Para(0, 0, strings.Repeat("x", 75)+" 100 % more")
	if want := strings.Repeat("x", 75) + "\n100 % more\n"; p.String() != want {
		t.Errorf("%q, want %q", p.String(), want)
	}
}

func TestPlainTakesOutControlCharacters(t *testing.T) {
	if got := Plain("a\x1b[2Jb\u009bc ± 3 °"); got != "a [2Jb c +- 3 deg" {
		t.Errorf("%q", got)
	}
}

func TestTableAlignsColumns(t *testing.T) {
	var p Page
	p.Table("lr", [][]string{{"a", "b ±", "c"}, {"längere", "x", ""}})
	if want := "  a        b +-  c\n  längere     x\n"; p.String() != want {
		t.Errorf("%q, want %q", p.String(), want)
	}
}

func TestTableIsCutWhereItsColumnsAreWidest(t *testing.T) {
	p := Page{CutLong: true}
	p.Table("", [][]string{{strings.Repeat("x", 100), "kept"}})
	if want := "  " + strings.Repeat("x", 69) + "...  kept\n"; p.String() != want {
		t.Errorf("%q, want %q", p.String(), want)
	}
}

func TestExplainKeepsTheSecondColumn(t *testing.T) {
	var p Page
	p.Explain([][]string{{"é", strings.Repeat("word ", 18)}, {"bcd", "x"}})
	want := "  é    " + strings.TrimSpace(strings.Repeat("word ", 14)) + "\n       word word word word\n  bcd  x\n"
	if p.String() != want {
		t.Errorf("%q, want %q", p.String(), want)
	}
}
