package design

import (
	"slices"
	"testing"
)

// Every listed word has its value among those allowed, and takes each of them.
func TestWordsAreThoseThatCanBeChosen(t *testing.T) {
	for _, name := range DemoNames() {
		text, err := DemoNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		d, err := Parse(name, text, nil)
		if err != nil {
			t.Fatal(err)
		}
		words := d.Words()
		if !slices.ContainsFunc(words, func(w Word) bool { return w.Path == "stand.material" }) {
			t.Errorf("%s: the stand's material is not among %d words", name, len(words))
		}
		for _, w := range words {
			if now := w.Value(d); now != "" && !slices.Contains(w.Allowed, now) {
				t.Errorf("%s: %s is %q, which is not among %v", name, w.Path, now, w.Allowed)
			}
			for _, word := range w.Allowed {
				if err := w.Choose(d.Clone(), word); err != nil {
					t.Errorf("%s: %v", name, err)
				}
			}
		}
	}
}
