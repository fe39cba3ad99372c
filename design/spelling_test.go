package design

import "testing"

// Distances counted by hand.
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"abc", "", 3}, {"skin", "skin", 0}, {"skin", "skim", 1}, {"skin", "skins", 1}, {"diamter", "diameter", 1}, {"heigth", "height", 1}, {"room", "rim", 2}} {
		if got := editDistance(c.a, c.b); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

func TestNearestStaysSilentWhenNothingIsNear(t *testing.T) {
	if got := nearest("colour", []string{"name", "note", "load"}); got != "" {
		t.Errorf("got %q", got)
	}
}

func TestIntervalInWordsAndAtItsEnds(t *testing.T) {
	for _, c := range []struct {
		tag, words string
		low, high  bool // whether the ends belong to it
	}{
		{"(0 mm, 1 m]", "more than 0 mm, up to 1 m", false, true},
		{"[0 mm, 1 m]", "from 0 mm to 1 m", true, true},
		{"[0 mm, 1 m)", "from 0 mm, less than 1 m", true, false},
	} {
		r := parseInterval(c.tag, "length")
		if r.String() != c.words || r.holds(0) != c.low || r.holds(1) != c.high || !r.holds(0.5) || r.holds(-0.1) || r.holds(1.1) {
			t.Errorf("%s: %q", c.tag, r)
		}
	}
}
