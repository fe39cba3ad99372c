package solid

import "testing"

// Two tetrahedra: apart, one through the other, and sharing one face.
func TestSelfIntersectionsAreFound(t *testing.T) {
	tetrahedron := func(x float64) Mesh {
		return Mesh{
			Vertices:  [][3]float64{{x, 0, 0}, {x + 1, 0, 0}, {x, 1, 0}, {x, 0, 1}},
			Triangles: [][3]int32{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {2, 0, 3}},
		}
	}
	both := func(x, y, z float64) *Mesh {
		a, b := tetrahedron(0), tetrahedron(x)
		for _, v := range b.Vertices {
			a.Vertices = append(a.Vertices, [3]float64{v[0], v[1] + y, v[2] + z})
		}
		for _, t := range b.Triangles {
			a.Triangles = append(a.Triangles, [3]int32{t[0] + 4, t[1] + 4, t[2] + 4})
		}
		return &a
	}
	for _, c := range []struct {
		what    string
		x, y, z float64
		meet    bool
	}{
		{"far apart", 3, 0, 0, false},
		{"boxes overlap, bodies do not", 0.6, 0.6, 0.6, false},
		{"through each other", 0.2, 0.1, 0.1, true},
		{"bases on each other", 0.2, 0.1, 0, true},
		{"in one place", 0, 0, 0, true},
	} {
		pairs, _ := both(c.x, c.y, c.z).SelfIntersections()
		if (pairs > 0) != c.meet {
			t.Errorf("%s: %d pairs", c.what, pairs)
		}
	}
	one := tetrahedron(0)
	if pairs, _ := one.SelfIntersections(); pairs != 0 {
		t.Errorf("a tetrahedron alone: %d pairs", pairs)
	}
}

// Faults that a mesh can have are told.
func TestOpenAndTurnedMeshesAreFound(t *testing.T) {
	parts := sections(t, demos(t)["engine-on-ice"])
	m := meshed(t, &parts[0], 1e-4)
	whole := m.Triangles
	m.Triangles = whole[1:]
	if m.Closed() == nil {
		t.Error("a missing triangle was not missed")
	}
	m.Triangles = append([][3]int32{{whole[0][1], whole[0][0], whole[0][2]}}, whole[1:]...)
	if m.Closed() == nil {
		t.Error("a turned triangle was not found")
	}
}
