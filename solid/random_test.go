package solid

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"meltspan/internal/designtest"
)

// Any design that can be stated has parts whose meshes are closed, turn the
// right way out, do not cut themselves, and hold what the section says.
func TestMeshesOfRandomDesigns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := designtest.Valid(t)
		d.Stand.Ribs.Count = rapid.IntRange(0, 12).Draw(t, "ribs")
		d.Stand.Ribs.Thickness.SI = rapid.Float64Range(0.4e-3, 3e-3).Draw(t, "thickness")
		d.Print.Bridge.SI = rapid.SampledFrom([]float64{5e-3, 15e-3, 0.5}).Draw(t, "bridge")
		d.Print.Clearance.SI = rapid.SampledFrom([]float64{0, 2e-4, 1e-3}).Draw(t, "clearance")
		if rapid.Bool().Draw(t, "thick skins") {
			d.Print.WatertightWall.SI = 0.015 // of tray, lid and mould
		}
		parts, err := Sections(d)
		var fault *Fault
		if errors.As(err, &fault) {
			t.Skip(err)
		}
		if err != nil {
			t.Fatal(err)
		}
		chord := rapid.SampledFrom([]float64{5e-5, 1e-4, 1e-3}).Draw(t, "chord")
		var pieces []Piece
		for i := range parts {
			p := &parts[i]
			m, err := NewMesh(p, chord)
			if err != nil {
				t.Fatal(err)
			}
			if err := m.Closed(); err != nil {
				t.Fatalf("%s: %v", p.Label, err)
			}
			if off := m.Volume()/p.Volume() - 1; math.Abs(off) > 0.005 {
				t.Fatalf("%s: mesh %.4g ml, section %.4g ml", p.Label, 1e6*m.Volume(), 1e6*p.Volume())
			}
			pieces = append(pieces, Piece{p, m})
		}
		if chord < 1e-3 {
			return // looking for cuts costs the most
		}
		for _, f := range Check(d, pieces, nil) {
			if f.Check == CheckMesh && f.Verdict != Fine {
				t.Fatalf("%s: %s", f.Part, f.Text)
			}
			if strings.Contains(f.Text, "NaN") || strings.Contains(f.Text, "Inf") || strings.Contains(f.Text, "%!") {
				t.Fatalf("%s: %s", f.Check, f.Text)
			}
		}
	})
}
