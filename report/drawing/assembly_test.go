package drawing

import (
	"strings"
	"testing"

	"meltspan/design"
	"meltspan/internal/designtest"
	"meltspan/solid"
)

// Every part in use has a number that points into its own material and no
// other's, and stands in the list; the hatchings of touching parts differ.
func TestAssemblyShowsEveryPartInItsPlace(t *testing.T) {
	for _, name := range design.DemoNames() {
		d := designtest.Demo(t, name)
		parts, err := solid.Sections(d)
		if err != nil {
			t.Fatal(err)
		}
		drawn, err := Assembly(parts, Info{Title: d.Name, Identification: d.Revision()})
		if err != nil {
			t.Fatal(err)
		}
		fair(t, drawn)
		var pieces []solid.Part
		lowest, edge, listed := 0.0, d.Stand.OuterDiameter.SI/2, ""
		for _, p := range parts {
			if inUse(&p) {
				lowest = min(lowest, p.Lift)
			}
		}
		for _, p := range parts {
			if inUse(&p) {
				pieces = append(pieces, moved(&p, p.Lift-lowest, edge))
			}
		}
		for _, x := range drawn.Sheet.Texts() {
			listed += x.Content + "\n"
		}
		if len(drawn.balloons) != len(pieces) {
			t.Errorf("%s: %d numbers for %d parts", name, len(drawn.balloons), len(pieces))
		}
		for i := range pieces {
			at, err := middleOf(&pieces[i], 2000)
			if err != nil {
				t.Fatal(err)
			}
			for k := range pieces {
				if in := newBody(&pieces[k]).inside(at.R, at.Z); in != (k == i) {
					t.Errorf("%s: the place of %s is inside %s: %t", name, pieces[i].Name, pieces[k].Name, in)
				}
			}
			if !strings.Contains(listed, pieces[i].Label) {
				t.Errorf("%s: %s is not listed", name, pieces[i].Label)
			}
		}
	}
}

// Three feet of 14 mm stand near the edge, one of them turned into the section.
func TestFeetStandNearTheEdge(t *testing.T) {
	d := designtest.Demo(t, "generator-on-ice")
	parts, err := solid.Sections(d)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range parts {
		if p.Count < 2 {
			continue
		}
		b := newBody(new(moved(&p, 0, 0.055)))
		for _, c := range []struct {
			r  float64
			in bool
		}{{0.040, false}, {0.042, true}, {0.048, true}, {0.054, true}, {-0.048, true}, {0.056, false}} {
			if b.inside(c.r, 0.006) != c.in {
				t.Errorf("a foot at %g m: %t", c.r, !c.in)
			}
		}
	}
}
