package cli

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// Every word of a paragraph is printed once and in order, and only a word
// that cannot be broken is wider than the page.
func TestParaKeepsWordsAndWidth(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-zä]{1,90}`)).Draw(t, "words")
		indent, hang := rapid.IntRange(0, 6).Draw(t, "indent"), rapid.IntRange(0, 6).Draw(t, "hang")
		var p page
		p.para(indent, hang, strings.Join(words, " "))
		if got := strings.Fields(p.text()); strings.Join(got, " ") != strings.Join(words, " ") {
			t.Fatalf("words %q became %q", words, got)
		}
		for line := range strings.SplitSeq(p.text(), "\n") {
			if utf8.RuneCountInString(line) > pageWidth && len(strings.Fields(line)) > 1 {
				t.Fatalf("line too wide: %q", line)
			}
		}
	})
}

func TestPlainTakesOutControlCharacters(t *testing.T) {
	t.Parallel()
	if got := plain("a\x1b[2Jb\u009bc ± 3 °"); got != "a [2Jb c +- 3 deg" {
		t.Errorf("%q", got)
	}
}

func TestTableAlignsColumns(t *testing.T) {
	t.Parallel()
	var p page
	p.table([][]string{{"a", "b ±", "c"}, {"längere", "x", ""}})
	if want := "  a        b +-  c\n  längere  x\n"; p.text() != want {
		t.Errorf("%q, want %q", p.text(), want)
	}
}

func TestExplainKeepsTheSecondColumn(t *testing.T) {
	t.Parallel()
	var p page
	p.explain([][]string{{"é", strings.Repeat("word ", 18)}, {"bcd", "x"}})
	want := "  é    " + strings.TrimSpace(strings.Repeat("word ", 14)) + "\n       word word word word\n  bcd  x\n"
	if p.text() != want {
		t.Errorf("%q, want %q", p.text(), want)
	}
}

func TestWithSpreadWritesTheUnitOnce(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ value, spread, want string }{
		{"20 rpm", "6 rpm", "20 +- 6 rpm"},
		{"0.195 W/(m K)", "0.043 W/(m K)", "0.195 +- 0.043 W/(m K)"},
		{"22 degC", "0.5 K", "22 degC +- 0.5 K"},
		{"1 m", "5 mm", "1 m +- 5 mm"},
		{"acrylic", "", "acrylic"},
	} {
		if got := withSpread(c.value, c.spread); got != c.want {
			t.Errorf("%q and %q: %q, want %q", c.value, c.spread, got, c.want)
		}
	}
}

func TestNearest(t *testing.T) {
	t.Parallel()
	names := []string{"predict", "compare", "check"}
	for typed, want := range map[string]string{"predcit": "predict", "comp": "compare", "CHECK": "check", "zzzzzz": "", "": ""} {
		if got := nearest(typed, names); got != want {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
}
