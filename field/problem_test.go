package field

import (
	"math"
	"strings"
	"testing"
)

// wall is a sound problem to spoil.
func wall() *Problem {
	p := rod(Material{Name: "brick", Conductivity: Isotropic(1), HeatCapacity: 1e6}, 0.1, 4, 300)
	p.Conditions = append(p.Conditions, Film("air", 8, 290))
	p.Cover(1, Upper(0), nil)
	return p
}

func TestFaultsAreNamed(t *testing.T) {
	for want, spoil := range map[string]func(*Problem){
		"geometry 7 is unknown":            func(p *Problem) { p.Grid.Geometry = 7 },
		"leave the third empty":            func(p *Problem) { p.Grid.Edges[2] = []float64{0, 1} },
		"a cell needs two":                 func(p *Problem) { p.Grid.Edges[0] = []float64{1} },
		"must be finite and rise":          func(p *Problem) { p.Grid.Edges[0][2] = 0 },
		"radii start at 0":                 func(p *Problem) { p.Grid.Geometry = Axisymmetric; p.Grid.Edges[0][0] = -1 },
		"conductivity along axis 1":        func(p *Problem) { p.Materials[0].Conductivity[1] = 0 },
		"heat capacity":                    func(p *Problem) { p.Materials[0].HeatCapacity = math.NaN() },
		"latent heat":                      func(p *Problem) { m := freezing(); m.Phase.LatentHeat = 0; p.Materials[0] = m },
		"liquid heat capacity":             func(p *Problem) { m := freezing(); m.Phase.LiquidHeatCapacity = 0; p.Materials[0] = m },
		"liquid conductivity":              func(p *Problem) { m := freezing(); m.Phase.LiquidConductivity[0] = -1; p.Materials[0] = m },
		"melting temperature":              func(p *Problem) { m := freezing(); m.Phase.Melting = 0; p.Materials[0] = m },
		"3 entries for a grid of 4":        func(p *Problem) { p.Cells = p.Cells[:3] },
		"material 5":                       func(p *Problem) { p.Cells[1] = 5 },
		"every cell is void":               func(p *Problem) { p.Fill(Void, nil) },
		"unknown kind 9":                   func(p *Problem) { p.Conditions[0].Kind = 9 },
		"has no temperature":               func(p *Problem) { p.Conditions[0].Temperature = nil },
		"has no coefficient":               func(p *Problem) { p.Conditions[1].Coefficient = nil },
		"has no flux":                      func(p *Problem) { p.Conditions[0] = Condition{Kind: FluxKind} },
		"has no density":                   func(p *Problem) { p.Sources = []Source{{}} },
		"in cell 99":                       func(p *Problem) { p.Sources = []Source{{Density: everywhere(1), Cells: []int{99}}} },
		"face 2 is side 0 of cell -1":      func(p *Problem) { p.Faces = append(p.Faces, Face{-1, 0, 0}) },
		"face 2 has condition 2":           func(p *Problem) { p.Faces = append(p.Faces, Face{0, 0, 2}) },
		"inside the body":                  func(p *Problem) { p.Faces = append(p.Faces, Face{1, Upper(0), 0}) },
		"a fixed temperature stands alone": func(p *Problem) { p.Cover(1, Lower(0), nil) },
		"must lie between two cells":       func(p *Problem) { p.Contacts = []Contact{{0, Lower(0), 1}} },
		"a resistance of -1":               func(p *Problem) { p.Contacts = []Contact{{0, Upper(0), -1}} },
		"values must be finite":            func(p *Problem) { p.Conditions[0] = Fixed("cold", math.Inf(1)) },
		"coefficient 0 or above":           func(p *Problem) { p.Conditions[1] = Film("air", -1, 290) },
		"is not finite in cell 0":          func(p *Problem) { p.Sources = []Source{{Density: everywhere(math.NaN())}} },
	} {
		p := wall()
		spoil(p)
		_, err := Transient(t.Context(), p, p.Uniform(300), TransientOptions{End: 1, Step: 1})
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

func TestFaultyCourses(t *testing.T) {
	p := wall()
	for want, c := range map[string]struct {
		start State
		o     TransientOptions
	}{
		"it must end after it starts": {p.Uniform(300), TransientOptions{End: 0, Step: 1}},
		"the step is 0 s":             {p.Uniform(300), TransientOptions{End: 1}},
		"must be 0 or above":          {p.Uniform(300), TransientOptions{End: 1, Step: 1, Tolerance: -1}},
		"integrator 4":                {p.Uniform(300), TransientOptions{End: 1, Step: 1, Method: 4}},
		"0 temperatures":              {State{}, TransientOptions{End: 1, Step: 1}},
		"above 0 K":                   {p.Uniform(-1), TransientOptions{End: 1, Step: 1}},
	} {
		if _, err := Transient(t.Context(), p, c.start, c.o); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

// A part that meets only fluxes, or is cut off by a contact, has no steady
// temperature.
func TestLoosePartIsFound(t *testing.T) {
	p := wall()
	p.Faces = p.Faces[:1]
	p.Contacts = []Contact{{2, Upper(0), math.Inf(1)}}
	_, err := Steady(t.Context(), p, SteadyOptions{})
	if err == nil || !strings.Contains(err.Error(), "around cell 3") {
		t.Errorf("got %v", err)
	}
}

// Sun on a face in moving air: what the air takes is less than the sun brings
// by what goes into the wall. By hand, resistances in series.
func TestSunAndAirOnOneFace(t *testing.T) {
	p := wall()
	p.Conditions = append(p.Conditions, Flux("sun", 400))
	p.Cover(2, Upper(0), nil)
	f := steady(t, p)
	surface := (300*1/0.1 + 8*290 + 400) / (1/0.1 + 8)
	lowest, _, mean, ok := f.SurfaceTemperature(2)
	near(t, "surface", mean, surface, 1e-8)
	near(t, "lowest", lowest, surface, 1e-8)
	near(t, "air, W", f.Ledger.Conditions[1], 8*(290-surface), 1e-7)
	near(t, "sun, W", f.Ledger.Conditions[2], 400, 0)
	if !ok {
		t.Error("no surface")
	}
}

// A void parts what is left and right of it; faces beside it can be covered.
func TestVoid(t *testing.T) {
	p := wall()
	p.Cells[1] = Void
	p.Cover(1, Upper(0), func(c [3]float64) bool { return c[0] < 0.03 })
	f := steady(t, p)
	near(t, "left of it", f.Ledger.Conditions[0], 10/(0.025+1.0/8), 1e-8)
	near(t, "right of it", f.read(t, 0.06, 0.5, 0), 290, 1e-8)
	if !math.IsNaN(f.Temperature[1]) {
		t.Errorf("the void is at %g K", f.Temperature[1])
	}
	if _, err := f.At([3]float64{0.03, 0.5, 0}); err == nil {
		t.Error("a temperature in the void")
	}
	if _, err := f.At([3]float64{1, 0.5, 0}); err == nil {
		t.Error("a temperature outside the grid")
	}
}

// Reading is exact for a linear field, kinks at layers included.
func TestReadingIsExactInLayers(t *testing.T) {
	p := wall()
	p.Materials = append(p.Materials, Material{Name: "cork", Conductivity: Isotropic(0.05)})
	p.Cells[2] = 1
	f := steady(t, p)
	flow := 10 / (0.075 + 0.025/0.05 + 1.0/8)
	for x, want := range map[float64]float64{
		0: 300, 0.01: 300 - 0.01*flow, 0.05: 300 - 0.05*flow, 0.06: 300 - (0.05+0.2)*flow, 0.1: 290 + flow/8,
	} {
		near(t, "K", f.read(t, x, 0.3, 0), want, 1e-8)
	}
}

func TestGradedEdges(t *testing.T) {
	e := graded(t, 1e-3, 1.5, 1e-2, 0, 0.05, 0.0505, 0.2)
	marks := 0
	for i := 1; i < len(e); i++ {
		if w := e[i] - e[i-1]; !(w > 0) || w > 1e-2*(1+1e-9) {
			t.Errorf("cell %d is %g m wide", i-1, w)
		}
		if e[i] == 0.05 || e[i] == 0.0505 || e[i] == 0.2 {
			marks++
		}
	}
	if marks != 3 {
		t.Errorf("%d of 3 marks are edges: %v", marks, e)
	}
	for want, bad := range map[string][]float64{"needs two": {1}, "marks must rise": {0, 0}} {
		if _, err := Graded(bad, 1e-3, 1.5, 1e-2); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	if _, err := Graded([]float64{0, 1}, 0, 2, 1); err == nil {
		t.Error("a width of 0")
	}
}

// A box's volume and faces are those of its body, whatever the spacing.
func TestVolumeOfRings(t *testing.T) {
	g := Grid{Axisymmetric, [3][]float64{{0, 0.01, 0.04, 0.05}, {0, 0.02, 0.1}}}
	sum := 0.0
	for cell := range g.Count() {
		sum += g.Volume(cell)
		at := g.Place(cell)
		if g.Index(at[0], at[1], at[2]) != cell || g.Find(g.Node(cell)) != cell {
			t.Errorf("cell %d is not where it is", cell)
		}
	}
	near(t, "m3", sum, math.Pi*0.05*0.05*0.1, 1e-15)
	near(t, "m2", g.Area(2, Upper(0)), 2*math.Pi*0.05*0.02, 1e-15)
	near(t, "axis", g.Area(0, Lower(0)), 0, 0)
}
