package network

import (
	"errors"
	"math"
	"testing"

	"meltspan/design"
)

func ribbed(d *design.Design) {
	d.Stand.Wall.Cavities, d.Stand.Ribs.Count, d.Stand.Ribs.Thickness = 1, 8, stated(2e-3)
	d.Stand.Pegs.Count = 4
}

// fourCubes puts four cubes side by side under the plate.
func fourCubes(d *design.Design) {
	d.Store.Form, d.Store.Edge, d.Store.Mass = design.FormCubes, stated(26e-3), stated(4*0.01612)
	d.Stand.Pegs.Count = 0
}

func round(t *testing.T, d *design.Design, spacing float64) *Model {
	t.Helper()
	m, err := BuildRound(d, spacing)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func fineSection(t *testing.T, d *design.Design, spacing float64) *Model {
	t.Helper()
	m, err := BuildSection(d, spacing)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Three dimensions and section are the same equations: they agree within 2 % on
// the run time where what stands round the axis is thin, and both books close.
func TestRoundAgreesWithSection(t *testing.T) {
	for name, edit := range map[string]func(*design.Design){
		"pegs": func(*design.Design) {}, "ribs and pegs": ribbed, "four cubes": fourCubes,
	} {
		d := demo(t, "engine-on-ice", edit).design
		run, err := round(t, d, 4e-3).Run(t.Context(), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if want := fineSection(t, d, 4e-3).Time(Options{}).RunTime; !(math.Abs(run.RunTime/want-1) < 0.02) {
			t.Errorf("%s: 3-D %.0f s, section %.0f s", name, run.RunTime, want)
		}
		if math.Abs(run.Energy.Residual) > 1e-12 || math.Abs(run.Water.Residual) > 1e-12 {
			t.Errorf("%s: residuals %g and %g", name, run.Energy.Residual, run.Water.Residual)
		}
	}
}

// Every volume of the body is there once: the heat capacities are those of the
// section and of the ribs, which it leaves out.
func TestRoundHoldsTheWholeBody(t *testing.T) {
	capacity := func(m *Model) float64 {
		sum := 0.0
		for _, n := range m.nodes {
			if n.name != "cavity face" {
				sum += n.capacity
			}
		}
		return sum
	}
	d := demo(t, "engine-on-ice", ribbed).design
	width := d.Stand.Wall.CavityWidth((d.Stand.OuterDiameter.SI - d.Stand.Cup.Diameter.SI) / 2)
	height := d.Stand.Height.SI - d.Stand.Rim.Thickness.SI - d.Stand.Base.Skin.SI
	ribs := 8 * 2e-3 * width * height * layerOf(d, 0, 1, true).heat
	if got, want := capacity(round(t, d, 2e-3)), capacity(fineSection(t, d, 2e-3))+ribs; math.Abs(got/want-1) > 0.002 {
		t.Errorf("3-D %.2f J/K, section with ribs %.2f J/K", got, want)
	}
}

// Heat spreads from a rib into thin skins, and that takes a resistance that
// smeared ribs leave out: less comes in than through those, more than without.
func TestRibsSpreadTheirHeat(t *testing.T) {
	with := demo(t, "engine-on-ice", ribbed).design
	without := demo(t, "engine-on-ice", func(d *design.Design) { ribbed(d); d.Stand.Ribs.Count = 0 }).design
	placed := round(t, with, 2e-3).Time(Options{}).RunTime
	low, high := fineSection(t, with, 2e-3).Time(Options{}).RunTime, fineSection(t, without, 2e-3).Time(Options{}).RunTime
	if !(low < placed && placed < high) {
		t.Errorf("run times: smeared %.0f s, placed %.0f s, none %.0f s", low, placed, high)
	}
}

func TestRoundNeedsSomethingRoundTheAxis(t *testing.T) {
	d := demo(t, "engine-on-ice", func(d *design.Design) { d.Stand.Pegs.Count = 0 }).design
	if _, err := BuildRound(d, 2e-3); !errors.Is(err, ErrNothingRound) {
		t.Errorf("got %v", err)
	}
	if _, err := BuildRound(d, 1e-5); err == nil {
		t.Error("cells of a hundredth of a millimetre were accepted")
	}
}

// The sectors of a wedge and its copies make the whole circle; shares add up,
// and the points under pegs to the pegs' area.
func TestSectorsMakeTheCircle(t *testing.T) {
	m := demo(t, "engine-on-ice", func(d *design.Design) { ribbed(d); d.Stand.Pegs.Count = 12 })
	r := round(t, m.design, 1e-3)
	share, pegs := 0.0, 0.0
	for _, c := range r.floor {
		share += c.share * c.ring
		pegs += c.share * c.ring * c.pegs
	}
	if math.Abs(share/r.cupArea-1) > 1e-12 {
		t.Errorf("the floor's cells make %.6f of the floor", share/r.cupArea)
	}
	d := m.design.Stand.Pegs.Diameter.SI
	if want := 12 * math.Pi / 4 * d * d; math.Abs(pegs/want-1) > 0.05 {
		t.Errorf("pegs cover %.1f mm2, should be %.1f", 1e6*pegs, 1e6*want)
	}
	for _, p := range []plate{r.load.lower, r.load.upper} {
		face, cup, load := 0.0, 0.0, 0.0
		for _, c := range p.cells {
			face, cup, load = face+c.face, cup+c.cup, load+c.load
		}
		if math.Abs(face-1)+math.Abs(cup-1)+math.Abs(load-1) > 1e-12 {
			t.Errorf("shares of a plate: %.9f, %.9f, %.9f", face, cup, load)
		}
	}
}

func TestPiecesSideBySide(t *testing.T) {
	for _, c := range []struct {
		count, edge, cup float64
		n                int
		circle           float64
	}{
		{4.03, 31e-3, 45e-3, 4, (15.5e-3 + math.Sqrt(45e-3*45e-3-15.5e-3*15.5e-3) - 15.5e-3) / 2},
		{1, 30e-3, 45e-3, 1, 0},
		{4, 45e-3, 45e-3, 0, 0},   // too large
		{1.4, 20e-3, 45e-3, 0, 0}, // no whole number
		{40, 10e-3, 45e-3, 0, 0},  // a bed
	} {
		n, circle := sideBySide(c.count, c.edge, c.cup)
		if n != c.n || math.Abs(circle-c.circle) > 1e-9 {
			t.Errorf("%g pieces of %g m: %d on %g m", c.count, c.edge, n, circle)
		}
	}
}
