package field

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"
)

// gridCase is a case as testdata/field_fd.py reads it.
type gridCase struct {
	Name         string      `json:"-"`
	Geometry     Geometry    `json:"geometry"`
	Edges        [][]float64 `json:"edges"`
	Conductivity []float64   `json:"conductivity"` // by cell and axis
	Film         float64     `json:"film"`
	Outside      []float64   `json:"outside"` // by side
	Heat         float64     `json:"heat"`
	Start        float64     `json:"start"`
	End          float64     `json:"end,omitempty"`
	Latent       float64     `json:"latent,omitempty"`
	tolerance    float64     // K
}

// randomCase has cells of random width and conductivities from 0.02 to 200.
func randomCase(name string, geometry Geometry, seed uint64, cells ...int) gridCase {
	r := rand.New(rand.NewPCG(seed, 1))
	c := gridCase{Name: name, Geometry: geometry, Film: 12, Heat: 1e6, Start: 263.15, tolerance: 1e-6}
	count := 1
	for _, n := range cells {
		e := []float64{0}
		for range n {
			e = append(e, e[len(e)-1]+0.002*(0.3+r.Float64()))
		}
		c.Edges = append(c.Edges, e)
		c.Outside = append(c.Outside, 260+40*r.Float64(), 260+40*r.Float64())
		count *= n
	}
	for range count * len(cells) {
		c.Conductivity = append(c.Conductivity, []float64{0.02, 0.2, 2, 200}[r.IntN(4)])
	}
	return c
}

// melts makes the case one of time, of a material of one conductivity.
func (c gridCase) melts(latent, end float64) gridCase {
	for i := range c.Conductivity {
		c.Conductivity[i] = 0.5
	}
	c.Latent, c.End, c.Film, c.tolerance = latent, end, 60, 0.03
	for i := range c.Outside {
		c.Outside[i] = 285 + float64(i)
	}
	return c
}

func (c *gridCase) problem() *Problem {
	p := &Problem{Grid: Grid{Geometry: c.Geometry}}
	axes := copy(p.Grid.Edges[:], c.Edges)
	p.Fill(0, nil)
	for cell := range p.Cells {
		m := Material{Name: fmt.Sprint(cell), HeatCapacity: c.Heat}
		copy(m.Conductivity[:], c.Conductivity[cell*axes:(cell+1)*axes])
		if c.Latent > 0 {
			m.Phase = &PhaseChange{Melting: 273.15, LatentHeat: c.Latent, LiquidConductivity: m.Conductivity, LiquidHeatCapacity: c.Heat}
		}
		p.Materials = append(p.Materials, m)
		p.Cells[cell] = cell
	}
	for side, outside := range c.Outside {
		p.Conditions = append(p.Conditions, Film("outside", c.Film, outside))
		p.Cover(side, Side(side), nil)
	}
	return p
}

func (c *gridCase) temperatures(t *testing.T) []float64 {
	p := c.problem()
	if c.End == 0 {
		return steady(t, p).Temperature
	}
	return transient(t, p, p.Uniform(c.Start), TransientOptions{End: c.End, Step: 0.1, Tolerance: 2e-3}).Temperature
}

// The discrete field against the same finite volumes written and solved
// independently: a sparse direct solver when steady, an explicit integrator of
// high order in time.
func TestAgreesWithSciPy(t *testing.T) {
	const python = "/usr/bin/python3"
	if exec.Command(python, "-c", "import scipy").Run() != nil {
		t.Skip("SKIPPED: no SciPy under " + python + " (Debian python3-scipy); the field is not compared with an independent program")
	}
	cases := []gridCase{
		randomCase("planar", Planar, 1, 17, 12),
		randomCase("axisymmetric", Axisymmetric, 2, 12, 15),
		randomCase("box", Box, 3, 7, 8, 6),
		randomCase("melting, planar", Planar, 4, 8, 6).melts(3e7, 150),
		randomCase("melting, axisymmetric", Axisymmetric, 5, 7, 6).melts(3e7, 150),
		randomCase("no melting, box", Box, 6, 4, 3, 4).melts(0, 20),
	}
	input, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "testdata/field_fd.py")
	cmd.Stdin = bytes.NewReader(input)
	cmd.Stderr = os.Stderr
	output, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var want [][]float64
	if err := json.Unmarshal(output, &want); err != nil {
		t.Fatal(err)
	}
	for i, c := range cases {
		worst := 0.0
		for cell, got := range c.temperatures(t) {
			worst = max(worst, got-want[i][cell], want[i][cell]-got)
		}
		t.Logf("%s: within %.2g K", c.Name, worst)
		if !(worst <= c.tolerance) {
			t.Errorf("%s: off by %g K", c.Name, worst)
		}
	}
}
