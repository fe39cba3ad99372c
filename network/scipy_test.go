package network

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"testing"
	"time"
)

// frozen is a network whose conductances are held, as testdata/steps.py reads it.
type frozen struct {
	Capacity []float64    `json:"capacity"`
	Links    [][3]float64 `json:"links"`
	Heat     []float64    `json:"heat"`
	Step     float64      `json:"step"`
	Steps    int          `json:"steps"`
}

// freeze holds a model as it stands some minutes into its run.
func freeze(m *Model, step float64, steps int) frozen {
	r := m.begin(Options{})
	for range 12 {
		m.advance(r.time, 60)
		r.accept(60)
	}
	w := m.work
	f := frozen{Capacity: w.first.capacity, Step: step, Steps: steps}
	for i, e := range w.ends {
		a, b := e.a, e.b
		if a < 0 {
			a, b = b, a
		}
		if g := w.first.g[i]; a >= 0 && a != b && g > 0 {
			f.Links = append(f.Links, [3]float64{float64(a), float64(max(b, -1)), g})
		}
	}
	m.gather(w.first.q, nil)
	f.Heat = append([]float64(nil), w.rhs...)
	return f
}

// steps takes the steps of a frozen network with the model's own linear solver.
func (f *frozen) steps(m *Model) []float64 {
	n := len(f.Capacity)
	links, conductance := make([]ends, len(f.Links)), make([]float64, len(f.Links))
	for i, l := range f.Links {
		links[i], conductance[i] = ends{int(l[0]), int(l[1])}, l[2]
	}
	change, first, second, rhs := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	heat := func(at []float64) {
		copy(rhs, f.Heat)
		for i, l := range links {
			q := conductance[i] * at[l.a]
			if l.b >= 0 {
				q -= conductance[i] * at[l.b]
				rhs[l.b] += q
			}
			rhs[l.a] -= q
		}
	}
	at := make([]float64, n)
	for range f.Steps {
		m.work.linear.assemble(f.Capacity, links, conductance, gamma*f.Step)
		heat(change)
		m.work.linear.solve(rhs, first)
		for i := range at {
			at[i] = change[i] + f.Step*first[i]
			second[i] = -first[i]
		}
		heat(at)
		for i := range rhs {
			rhs[i] -= 2 * f.Capacity[i] * first[i]
		}
		m.work.linear.solve(rhs, second)
		for i := range change {
			change[i] += f.Step * (1.5*first[i] + 0.5*second[i])
		}
	}
	return change
}

// Eight hours of the same frozen section and wedge, in the same steps, by SciPy's
// sparse direct solver: temperatures agree to some millikelvins (the gradients
// stop at one a step). The times of both are logged, not judged.
func TestStepsAgreeWithSciPy(t *testing.T) {
	const python = "/usr/bin/python3"
	if exec.Command(python, "-c", "import scipy").Run() != nil {
		t.Skip("SKIPPED: no SciPy under " + python + " (Debian python3-scipy); steps of time are not compared with its solver")
	}
	d := demo(t, "engine-on-ice").design
	for name, m := range map[string]*Model{"section, 0.5 mm": fineSection(t, d, 0.5e-3), "section, 0.25 mm": fineSection(t, d, 0.25e-3), "3-D, 4 mm": round(t, d, 4e-3)} {
		f := freeze(m, 480, 60)
		if m.depth == DepthRound {
			f.Steps = 8 // direct elimination takes long in three dimensions
		}
		input, err := json.Marshal(f)
		if err != nil {
			t.Fatal(err)
		}
		command := exec.Command(python, "testdata/steps.py")
		command.Stdin, command.Stderr = bytes.NewReader(input), os.Stderr
		output, err := command.Output()
		if err != nil {
			t.Fatal(err)
		}
		var want struct {
			Change  []float64
			Seconds float64
		}
		if err := json.Unmarshal(output, &want); err != nil {
			t.Fatal(err)
		}
		began := time.Now()
		got := f.steps(m)
		took := time.Since(began)
		worst, largest := 0.0, 0.0
		for i := range got {
			worst, largest = max(worst, math.Abs(got[i]-want.Change[i])), max(largest, math.Abs(want.Change[i]))
		}
		t.Logf("%s: %d nodes, %d steps: %v, SciPy %.2f s; apart by %.1e K of %.3g K", name, len(got), f.Steps, took, want.Seconds, worst, largest)
		if !(worst < 5e-3) || largest < 1 {
			t.Errorf("%s: apart by %g K, largest change %g K", name, worst, largest)
		}
	}
}
