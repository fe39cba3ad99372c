package solid

import (
	"math"
	"testing"

	"meltspan/design"
	"meltspan/internal/designtest"
	"meltspan/network"
)

// demos are the built-in designs and the blind pair's hollow stand.
func demos(t testing.TB) map[string]*design.Design {
	t.Helper()
	out := map[string]*design.Design{}
	for _, name := range design.DemoNames() {
		out[name] = designtest.Demo(t, name)
	}
	return out
}

// variants are the demos, and each again as one piece with closed cavities and
// eight ribs across them.
func variants(t testing.TB) map[string]*design.Design {
	out := demos(t)
	for name, d := range demos(t) {
		d.Print.Bridge.SI = 0.5
		d.Stand.Wall.Filling, d.Stand.Base.Filling = design.FillingAir, design.FillingAir
		d.Stand.Wall.Emissivity, d.Stand.Base.Emissivity = d.Stand.Emissivity, d.Stand.Emissivity
		d.Stand.Ribs.Count = 8
		out[name+"-whole"] = d
	}
	return out
}

func sections(t testing.TB, d *design.Design) []Part {
	t.Helper()
	parts, err := Sections(d)
	if err != nil {
		t.Fatal(err)
	}
	return parts
}

// What is simulated is what is printed: the cells that the models of heat
// conduct through, and the closed form of the printed section. Ribs, pegs, drains
// and pads enter the models by their number and not as cells; the joints of a
// body in pieces leave their clearance open.
func TestSectionIsThatOfTheModels(t *testing.T) {
	for name, d := range demos(t) {
		m, err := network.BuildSection(d, 1e-3)
		if err != nil {
			t.Fatal(err)
		}
		var cells, printed float64
		for _, c := range m.Cells() {
			cells += math.Pi * (c.Out*c.Out - c.In*c.In) * (c.High - c.Low)
		}
		for _, p := range sections(t, d) {
			if !p.Simulated {
				continue
			}
			for _, l := range p.Loops {
				printed += Revolved(l.Points)
			}
		}
		if off := printed/cells - 1; math.Abs(off) > 0.005 {
			t.Errorf("%s: printed %.2f ml, simulated %.2f ml: %+.2f %%", name, 1e6*printed, 1e6*cells, 100*off)
		} else {
			t.Logf("%s: printed %.2f ml, simulated %.2f ml: %+.3f %%", name, 1e6*printed, 1e6*cells, 100*off)
		}
	}
}
