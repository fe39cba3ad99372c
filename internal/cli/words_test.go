package cli

import "testing"

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
