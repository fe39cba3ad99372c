package network

import (
	"fmt"
	"os"
	"testing"

	"meltspan/design"
)

// BenchmarkTrial holds the speed claim of docs/benchmarks.md: a whole trial of
// some eight hours, melt, stall and cold tail included.
func BenchmarkTrial(b *testing.B) {
	d, err := design.Read(os.DirFS("../testdata/blind"), "hollow.yaml")
	if err != nil {
		b.Fatal(err)
	}
	m, err := Build(d)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		m.Time(Options{})
	}
}

func BenchmarkBuild(b *testing.B) {
	d, err := design.Read(os.DirFS("../testdata/blind"), "hollow.yaml")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Build(d); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSection is a whole trial on the section, BenchmarkRound in three
// dimensions: of the demo, of eight ribs and four pegs, and of a solid body on
// two pegs with three cubes, where nothing repeats and half of all cells must be
// there.
func BenchmarkSection(b *testing.B) {
	d := demo(b, "engine-on-ice").design
	for _, spacing := range []float64{1e-3, 0.5e-3, 0.25e-3} {
		b.Run(fmt.Sprintf("%g mm", 1e3*spacing), func(b *testing.B) {
			m, err := BuildSection(d, spacing)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				m.Time(Options{})
			}
			b.ReportMetric(float64(len(m.nodes)), "nodes")
		})
	}
}

func BenchmarkRound(b *testing.B) {
	for _, c := range []struct {
		name    string
		spacing float64
		edit    func(*design.Design)
	}{
		{"twelve pegs, 1 mm", 1e-3, func(*design.Design) {}},
		{"eight ribs, 2 mm", 2e-3, ribbed},
		{"eight ribs, 1 mm", 1e-3, ribbed},
		{"solid, nothing repeats, 2 mm", 2e-3, lopsided},
		{"solid, nothing repeats, 1 mm", 1e-3, lopsided},
	} {
		b.Run(c.name, func(b *testing.B) {
			m, err := BuildRound(demo(b, "engine-on-ice", c.edit).design, c.spacing)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				m.Time(Options{})
			}
			b.ReportMetric(float64(len(m.nodes)), "nodes")
		})
	}
}

// lopsided is a solid body on two pegs and three cubes: only halves mirror.
func lopsided(d *design.Design) {
	d.Stand.Wall.Cavities, d.Stand.Base.Cavities, d.Stand.Pegs.Count = 0, 0, 2
	d.Store.Form, d.Store.Edge, d.Store.Mass = design.FormCubes, stated(26e-3), stated(3*0.01612)
}
