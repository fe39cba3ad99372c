package solid

import (
	"math"
	"testing"

	"meltspan/design"
)

// Volumes of revolution in closed form: the area of the section times the way of
// its centroid (Pappus and Guldin; any textbook of calculus), with the centroids
// of rectangle and triangle by hand.
func TestRevolvedIsPappus(t *testing.T) {
	for _, c := range []struct {
		what           string
		points         []Point
		area, centroid float64
	}{
		{"ring of rectangular section", []Point{{2, 0}, {3, 0}, {3, 4}, {2, 4}}, 4, 2.5},
		{"disc", []Point{{0, 0}, {5, 0}, {5, 1}, {0, 1}}, 5, 2.5},
		{"cone", []Point{{0, 0}, {3, 0}, {0, 4}}, 6, 1},
		{"ring of triangular section", []Point{{1, 0}, {4, 0}, {1, 2}}, 3, 2},
	} {
		if got, want := Revolved(c.points), 2*math.Pi*c.centroid*c.area; math.Abs(got/want-1) > 1e-14 {
			t.Errorf("%s: %.15g, by Pappus %.15g", c.what, got, want)
		}
	}
}

// The mesh of a body of revolution is that of an n-cornered prism or frustum: its
// volume is the round one's times n sin(2 pi/n)/(2 pi), the area of the inscribed
// polygon over that of the circle (.998394393036 for n = 64, by hand).
func TestMeshOfRevolutionHasThePolygonsVolume(t *testing.T) {
	p := Part{Label: "pot", Loops: []Loop{
		{"outside", false, []Point{{0, 0}, {0.03, 0}, {0.04, 0.05}, {0.035, 0.05}, {0.025, 0.01}, {0, 0.01}}},
		rectangle("cavity", true, 0, 0.02, 0.002, 0.008),
	}}
	for _, chord := range []float64{1e-3, 1e-4, 1e-5} {
		m := meshed(t, &p, chord)
		n := facets(0.04, chord, leastFacets, 8)
		if sagitta := 0.04 * (1 - math.Cos(math.Pi/float64(n))); sagitta > chord {
			t.Errorf("chord error %.3g m with %d facets, allowed %.3g m", sagitta, n, chord)
		}
		want := p.Volume() * float64(n) * math.Sin(2*math.Pi/float64(n)) / (2 * math.Pi)
		if got := m.Volume(); math.Abs(got/want-1) > 2e-6 { // corners lie on a grid of 1 nm
			t.Errorf("chord %.0e: %.9g m3, want %.9g", chord, got, want)
		}
		if surfaces, genus := m.Bodies(); surfaces != 2 || genus != 0 {
			t.Errorf("%d surfaces of genus %d, want the outside and the cavity, of genus 0", surfaces, genus)
		}
	}
	if got := 64 * math.Sin(2*math.Pi/64) / (2 * math.Pi); math.Abs(got-.998394393036) > 1e-12 {
		t.Errorf("polygon of 64 corners: %.12f of the circle", got)
	}
}

// A body with everything on it: what each feature adds or takes is its own closed
// form, and ribs have parallel sides exactly as far apart as the design says.
func TestFeaturesHaveTheirOwnVolume(t *testing.T) {
	with := func(change func(*design.Design)) (mesh, section float64, genus int) {
		d := demos(t)["generator-on-ice"]
		d.Print.Bridge.SI = 0.5
		d.Stand.Wall.Emissivity, d.Stand.Ribs.Count, d.Stand.Cup.Drains = d.Stand.Emissivity, 0, false
		change(d)
		p := sections(t, d)[0]
		m := meshed(t, &p, 5e-6)
		_, genus = m.Bodies()
		return m.Volume(), p.Volume(), genus
	}
	plain, _, genus := with(func(*design.Design) {})
	if genus != 2 {
		t.Errorf("genus %d, want 2: each cavity of the wall is a closed ring", genus)
	}
	ribbed, _, genus := with(func(d *design.Design) { d.Stand.Ribs.Count, d.Stand.Ribs.Thickness.SI = 7, 1.5e-3 })
	// Cavities of (20 - 2*1.2 - 0.8)/2 = 8.4 mm, 80 - 1.2 - 1.6 mm high, two of
	// them. The rings between ribs fall apart into 14 closed cavities.
	if want := 7 * 1.5e-3 * 8.4e-3 * 77.2e-3 * 2; math.Abs((ribbed-plain)/want-1) > 2e-3 || genus != 0 {
		t.Errorf("seven ribs add %.5g m3, want %.5g; genus %d", ribbed-plain, want, genus)
	}
	pegged, _, _ := with(func(d *design.Design) {
		d.Stand.Pegs.Count, d.Stand.Pegs.Diameter.SI, d.Stand.Pegs.Height.SI = 9, 5e-3, 3e-3
	})
	if want := 9 * math.Pi * 2.5e-3 * 2.5e-3 * 3e-3; math.Abs((pegged-plain)/want-1) > 1e-3 {
		t.Errorf("nine pegs add %.5g m3, want %.5g", pegged-plain, want)
	}
	drained, section, genus := with(func(d *design.Design) { d.Stand.Cup.Drains = true })
	// Four holes through 18 mm of base, and four tubes 1.2 mm thick across its
	// cavity of 15.6 mm.
	want := 4 * math.Pi / 4 * (-5e-3*5e-3*18e-3 + 7.4e-3*7.4e-3*15.6e-3)
	if math.Abs((drained-plain)/want-1) > 5e-3 || genus != 2+8 {
		t.Errorf("four drains change %.5g m3, want %.5g; genus %d, want 4 of the outside and 4 of the cavity more", drained-plain, want, genus)
	}
	if math.Abs(drained/section-1) > 1e-3 {
		t.Errorf("mesh %.6g m3, section %.6g", drained, section)
	}
}
