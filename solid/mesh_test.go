package solid

import (
	"math"
	"testing"
)

func meshed(t testing.TB, p *Part, chord float64) *Mesh {
	t.Helper()
	m, err := NewMesh(p, chord)
	if err != nil {
		t.Fatal(err)
	}
	if err := m.Closed(); err != nil {
		t.Fatalf("%s: %v", p.Label, err)
	}
	return m
}

func TestMeshOfTheDemos(t *testing.T) {
	for name, d := range demos(t) {
		for _, p := range sections(t, d) {
			m := meshed(t, &p, 1e-4)
			off := m.Volume()/p.Volume() - 1
			if math.Abs(off) > 0.005 {
				t.Errorf("%s %s: mesh %.3f ml, section %.3f ml", name, p.Name, 1e6*m.Volume(), 1e6*p.Volume())
			}
		}
	}
}
