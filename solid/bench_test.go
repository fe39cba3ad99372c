package solid

import "testing"

// BenchmarkDemo makes all parts of the demo at 0.1 mm chord error: sections,
// meshes, checks and files.
func BenchmarkDemo(b *testing.B) {
	d := demos(b)["engine-on-ice"]
	for b.Loop() {
		parts, err := Sections(d)
		if err != nil {
			b.Fatal(err)
		}
		var pieces []Piece
		for i := range parts {
			m, err := NewMesh(&parts[i], 1e-4)
			if err != nil {
				b.Fatal(err)
			}
			pieces = append(pieces, Piece{&parts[i], m})
		}
		Check(d, pieces, nil)
		if _, err := ThreeMF(Origin{}, pieces); err != nil {
			b.Fatal(err)
		}
		for _, p := range pieces {
			p.Mesh.STL(p.Part.Name)
		}
	}
}

// BenchmarkMeshes is the meshes of the same alone.
func BenchmarkMeshes(b *testing.B) {
	d := demos(b)["engine-on-ice"]
	for b.Loop() {
		parts, err := Sections(d)
		if err != nil {
			b.Fatal(err)
		}
		for i := range parts {
			if _, err := NewMesh(&parts[i], 1e-4); err != nil {
				b.Fatal(err)
			}
		}
	}
}
