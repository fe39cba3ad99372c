package network

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"testing"

	"gonum.org/v1/gonum/mat"

	"meltspan/design"
)

// sectionCase is one steady section, as testdata/section_fd.py reads it.
type sectionCase struct {
	Name             string  `json:"-"`
	Step             float64 `json:"step"`
	Outer            float64 `json:"outer"`
	Height           float64 `json:"height"`
	Cup              float64 `json:"cup"`
	Depth            float64 `json:"depth"`
	Skin             float64 `json:"skin"`
	Rim              float64 `json:"rim"`
	Polymer          float64 `json:"polymer"`
	Filling          float64 `json:"filling"` // 0: solid
	Level            float64 `json:"level"`   // wetted height of the cup's wall
	In               float64 `json:"h_in"`
	Side             float64 `json:"h_side"`
	Under            float64 `json:"h_under"`
	Contact          float64 `json:"h_contact"`
	Plate            float64 `json:"plate"`
	PlateTemperature float64 `json:"plate_temperature"`
	tolerance        float64
}

func sectionCases() []sectionCase {
	base := sectionCase{
		Step: 0.4e-3, Outer: 0.06, Height: 0.04, Cup: 0.044, Depth: 0.028, Skin: 1.2e-3, Rim: 1.6e-3,
		Polymer: 0.2, Level: 0.022, In: 300, Side: 9, Under: 8, Contact: 100, Plate: 0.05, PlateTemperature: 0.35,
	}
	vary := func(name string, tolerance float64, change func(*sectionCase)) sectionCase {
		c := base
		c.Name, c.tolerance = name, tolerance
		change(&c)
		return c
	}
	return []sectionCase{
		vary("solid", 0.05, func(*sectionCase) {}),
		vary("solid, wet to the rim", 0.05, func(c *sectionCase) { c.Level = c.Depth }),
		vary("solid, tall", 0.05, func(c *sectionCase) { c.Height, c.Depth, c.Level = 0.06, 0.044, 0.04 }),
		vary("filled", 0.05, func(c *sectionCase) { c.Filling = 0.045 }),
		vary("filled, wet to the rim", 0.05, func(c *sectionCase) { c.Filling, c.Level = 0.045, c.Depth }),
		vary("filled, better conductor", 0.05, func(c *sectionCase) { c.Filling = 0.1 }),
		vary("filled, thick rim", 0.05, func(c *sectionCase) { c.Filling, c.Rim = 0.045, 4e-3 }),
		vary("filled, weak film in the cup", 0.05, func(c *sectionCase) { c.Filling, c.In = 0.045, 30 }),
	}
}

// steady solves the section of the network with fixed coefficients.
func (c sectionCase) steady(t *testing.T) float64 {
	t.Helper()
	text, err := os.ReadFile("../testdata/blind/hollow.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := design.Parse("section.yaml", text, nil)
	if err != nil {
		t.Fatal(err)
	}
	s := &d.Stand
	s.OuterDiameter.SI, s.Height.SI, s.Cup.Diameter.SI, s.Cup.Depth.SI = 2*c.Outer, c.Height, 2*c.Cup, c.Depth
	s.Wall.Skin.SI, s.Base.Skin.SI, s.Rim.Thickness.SI = c.Skin, c.Skin, c.Rim
	d.Load.BottomPlate.Diameter.SI = 2 * c.Plate
	const filling = "cork" // the gasket's material: every design has it
	if c.Filling == 0 {
		s.Wall.Cavities, s.Base.Cavities, s.Wall.Infill.SI, s.Base.Infill.SI = 0, 0, 1, 1
	} else {
		s.Wall.Filling, s.Base.Filling = filling, filling
	}
	for i := range d.Materials {
		if d.Materials[i].Name == filling {
			d.Materials[i].Conductivity.SI = c.Filling
		}
		if d.Materials[i].Name == s.Material {
			d.Materials[i].Conductivity.SI, d.Materials[i].Across.SI = c.Polymer, 1
		}
	}
	m, err := Build(d)
	if err != nil {
		t.Fatal(err)
	}
	return c.flow(t, m)
}

func (c sectionCase) flow(t *testing.T, m *Model) float64 {
	n := len(m.nodes)
	a, b := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	for i := range n {
		a.Set(i, i, 1e-12)
	}
	add := func(i, j int, g float64) { a.Set(i, j, a.At(i, j)+g) }
	couple := func(i, j int, g float64) { add(i, i, g); add(j, j, g); add(i, j, -g); add(j, i, -g) }
	var into []struct {
		node int
		g    float64
	}
	fix := func(i int, g, temperature float64) { add(i, i, g); b.SetVec(i, b.AtVec(i)+g*temperature) }
	store := func(i int, g float64) {
		fix(i, g, 0)
		into = append(into, struct {
			node int
			g    float64
		}{i, g})
	}
	under := map[int]float64{}
	stand := func(i int) bool {
		g := m.nodes[i].group
		return i != m.table && (g == groupWall || g == groupBase || g == groupRim)
	}
	for _, f := range m.fixed {
		switch {
		case f.a == m.table || f.b == m.table:
			under[f.a+f.b-m.table] = f.conductance
		case stand(f.a) && stand(f.b):
			couple(f.a, f.b, f.conductance)
		}
	}
	for i := range m.cavities {
		for _, cell := range m.cavities[i].cells {
			inner := m.cavities[i].filling*cell.area + cell.bridge
			couple(cell.a, cell.b, inner/(1+inner*cell.half))
		}
	}
	m.eachFace(func(f *face) {
		if stand(f.node) {
			fix(f.node, c.Side*f.area, 1)
		}
	})
	// The table's contact is replaced by the film under the base.
	total := 0.0
	for _, g := range under {
		total += g
	}
	for node, g := range under {
		fix(node, c.Under*math.Pi*c.Outer*c.Outer*g/total, 1)
	}
	for _, cell := range m.rim {
		fix(m.links[cell.link].a, cell.area*through(c.Contact, cell.half), c.PlateTemperature)
	}
	for _, z := range m.zones {
		wet := overlap(z.low, z.high, 0, c.Level)
		store(z.node, 2*math.Pi*m.cupRadius*wet*through(c.In, z.half))
	}
	for _, cell := range m.floor {
		store(cell.node, (cell.share*cell.ring)*through(c.In, m.floorHalf))
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		if _, ill := err.(mat.Condition); !ill {
			t.Fatal(err)
		}
	}
	q := 0.0
	for _, i := range into {
		q += i.g * x.AtVec(i.node)
	}
	return q
}

// The network's section against finite volumes on a grid of 0.4 mm, an
// independent program on SciPy.
func TestSectionAgreesWithFiniteVolumes(t *testing.T) {
	const python = "/usr/bin/python3"
	if exec.Command(python, "-c", "import scipy").Run() != nil {
		t.Skip("SKIPPED: no SciPy under " + python + " (Debian python3-scipy); the section is not compared with finite volumes")
	}
	cases := sectionCases()
	input, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "testdata/section_fd.py")
	cmd.Stdin = bytes.NewReader(input)
	cmd.Stderr = os.Stderr
	output, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var want []float64
	if err := json.Unmarshal(output, &want); err != nil {
		t.Fatal(err)
	}
	for i, c := range cases {
		got := c.steady(t)
		line := fmt.Sprintf("%s: network %.4f W/K, finite volumes %.4f W/K, %+.1f %%", c.Name, got, want[i], 100*(got/want[i]-1))
		t.Log(line)
		if math.Abs(got/want[i]-1) > c.tolerance {
			t.Error(line)
		}
	}
}
