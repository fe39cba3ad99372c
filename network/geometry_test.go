package network

import (
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"

	"meltspan/design"
)

// demo builds a model of an embedded example, changed by the given edits.
func demo(t testing.TB, name string, edits ...func(*design.Design)) *Model {
	t.Helper()
	text, err := design.DemoNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return built(t, name, text, edits)
}

// blind builds a model of one of the blind pair.
func blind(t testing.TB, name string, edits ...func(*design.Design)) *Model {
	t.Helper()
	text, err := os.ReadFile("../testdata/blind/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	return built(t, name, text, edits)
}

func built(t testing.TB, name string, text []byte, edits []func(*design.Design)) *Model {
	t.Helper()
	d, err := design.Parse(name, text, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, edit := range edits {
		edit(d)
	}
	d.Rederive()
	m, err := Build(d)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Solid and liquid fill the cup up to the level, however the solid stands.
func TestVolumeBalance(t *testing.T) {
	m := blind(t, "hollow")
	rapid.Check(t, func(t *rapid.T) {
		m.setPhase(phaseMelting)
		m.store.rests = rapid.Bool().Draw(t, "rests")
		solid := rapid.Float64Range(1e-4, 0.13).Draw(t, "solid")
		radius := rapid.Float64Range(0.02, 0.042).Draw(t, "radius")
		liquid := 0.13 - solid
		var g geometry
		m.place(solid, liquid, radius, &g)
		submerged := g.footprint * overlap(g.bottom, g.top, 0, g.level)
		want := liquid/m.store.liquidDensity + submerged
		if got := m.cupArea * g.level; math.Abs(got-want) > 1e-9 {
			t.Fatalf("the level holds %g m3, liquid and submerged solid take %g m3", got, want)
		}
		if g.bottom < 0 || g.top < g.bottom {
			t.Fatalf("the solid lies from %g to %g m", g.bottom, g.top)
		}
	})
}

// A floating block stands out of the water by 1 - rho_ice/rho_water of its
// height (Archimedes; densities at 0 degC 916.72 and 999.84 kg/m3, IAPWS
// R10-06 and IAPWS-95: 8.3 %).
func TestFloatingIceStandsOutByArchimedes(t *testing.T) {
	m := blind(t, "hollow")
	m.setPhase(phaseMelting)
	var g geometry
	m.place(0.06, 0.07, 0.04, &g)
	if share := (g.top - g.level) / g.height; math.Abs(share-(1-916.72/999.84)) > 2e-4 {
		t.Errorf("%.4f of the height stands out", share)
	}
}

// Melted, 25.6 mm of ice in a cup of its own width leave water 8.3 % lower
// (same densities): the surface sinks from under a plate on the rim by more
// than two millimetres, as design.md's rough figure of 2.5 mm of 28 mm says.
func TestSurfaceSinksFromUnderThePlate(t *testing.T) {
	m := blind(t, "hollow", func(d *design.Design) { d.Store.Diameter.SI = d.Stand.Cup.Diameter.SI })
	m.setPhase(phaseSolid)
	var before, after geometry
	m.place(0.13, 0, m.cupRadius, &before)
	m.setPhase(phaseLiquid)
	m.place(0, 0.13, m.cupRadius, &after)
	if sunk := (before.top - after.level) / before.top; math.Abs(sunk-(1-916.72/999.84)) > 2e-4 {
		t.Errorf("sinks by %.4f of its height", sunk)
	}
}
