package solid

import "fmt"

// Closed reports whether a mesh is watertight and oriented: every edge of a
// triangle is met by exactly one other triangle, which runs along it the other
// way round (3MF core specification 1.4.0, chapter 4, asks the same).
func (m *Mesh) Closed() error {
	edges := make(map[[2]int32]int, 3*len(m.Triangles))
	for _, t := range m.Triangles {
		for k := range 3 {
			a, b := t[k], t[(k+1)%3]
			if a == b {
				return fmt.Errorf("a triangle has two corners in one place")
			}
			if edges[[2]int32{a, b}]++; edges[[2]int32{a, b}] > 1 {
				return fmt.Errorf("two triangles run the same way along one edge, at %s", m.where(a))
			}
		}
	}
	for e := range edges {
		if edges[[2]int32{e[1], e[0]}] != 1 {
			return fmt.Errorf("an edge is open, at %s", m.where(e[0]))
		}
	}
	return nil
}

func (m *Mesh) where(i int32) string {
	v := m.Vertices[i]
	return fmt.Sprintf("x %.4g mm, y %.4g mm, z %.4g mm", 1e3*v[0], 1e3*v[1], 1e3*v[2])
}

// Bodies is the number of closed surfaces: 1 for the outside and 1 for each
// closed cavity. Genus is the number of handles (through holes) of all of them
// together, by Euler's formula.
func (m *Mesh) Bodies() (surfaces, genus int) {
	parent := make([]int32, len(m.Vertices))
	for i := range parent {
		parent[i] = int32(i)
	}
	find := func(i int32) int32 {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	for _, t := range m.Triangles {
		parent[find(t[0])] = find(t[1])
		parent[find(t[1])] = find(t[2])
	}
	for i := range parent {
		if find(int32(i)) == int32(i) {
			surfaces++
		}
	}
	// V - E + F = 2 (surfaces - genus), and E = 3 F / 2 on a closed surface.
	f := len(m.Triangles)
	return surfaces, surfaces - (len(m.Vertices)-f/2)/2
}
