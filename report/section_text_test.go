package report

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"meltspan/internal/textpage"
	"meltspan/quantity"
	"meltspan/result"
)

func TestSectionCompareGolden(t *testing.T) {
	network, section := fixtureRun(), sectionRun(invented)
	section.RunTime *= 0.95
	section.Budget[1].Energy *= 1.5
	section.Budget = append(section.Budget, result.Path{ID: "open", Label: "open ring beside the plate", Energy: -0.2 * wh, Share: -0.02})
	var b bytes.Buffer
	if err := DepthsText(&b, quantity.Display{}, network, section); err != nil {
		t.Fatal(err)
	}
	checkGolden(t, "section_compare", b.Bytes())
}

// Of two heats that leave, the section's is 10 % more: the share says so,
// whatever the sign.
func TestChangeOfLossesIsByTheirSize(t *testing.T) {
	for _, c := range []struct {
		a, b float64
		want string
	}{{-1, -1.1, "+10.0 %"}, {1, 1.1, "+10.0 %"}, {1, -1, "-200.0 %"}, {0, 1, absent}, {1, nan, absent}} {
		if got := change(c.a, c.b); got != c.want {
			t.Errorf("from %g to %g: %q, want %q", c.a, c.b, got, c.want)
		}
	}
}

func TestSectionCompareNeedsBothRuns(t *testing.T) {
	if err := DepthsText(&bytes.Buffer{}, quantity.Display{}, fixtureRun(), nil); err == nil {
		t.Error("no error for a missing run")
	}
}

func TestSectionCompareStaysWithin80Columns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := fixtureRun(), fixtureRun()
		b.Design, b.Budget[0].Label = rapid.String().Draw(t, "design"), rapid.String().Draw(t, "label")
		a.Budget[1].Energy, b.RunTime = rapid.Float64().Draw(t, "energy"), rapid.Float64().Draw(t, "run time")
		var out bytes.Buffer
		if err := DepthsText(&out, quantity.Display{}, a, b); err != nil {
			t.Fatal(err)
		}
		for line := range strings.SplitSeq(out.String(), "\n") {
			if n := utf8.RuneCountInString(line); n > textpage.Width {
				t.Fatalf("%d columns: %q", n, line)
			}
		}
	})
}
