package solid

import "math"

// Turn is the mesh turned about the axis by an angle, rad.
func (m *Mesh) Turn(angle float64) *Mesh {
	sin, cos := math.Sincos(angle)
	out := &Mesh{Vertices: make([][3]float64, len(m.Vertices)), Triangles: m.Triangles}
	for i, v := range m.Vertices {
		out.Vertices[i] = [3]float64{v[0]*cos - v[1]*sin, v[0]*sin + v[1]*cos, v[2]}
	}
	return out
}

// Half is what is left of a mesh behind the plane y = 0: polygons in space, and
// the outlines of the cut itself as closed lines of x and z, material to the left
// seen from the front.
func (m *Mesh) Half() (faces [][][3]float64, cut [][][2]float64) {
	behind := func(i int32) bool { return m.Vertices[i][1] >= 0 }
	// The place where an edge crosses the plane is worked out from its lower-numbered
	// end, so that both triangles at it agree to the last bit.
	cross := func(i, j int32) [3]float64 {
		if i > j {
			i, j = j, i
		}
		a, b := m.Vertices[i], m.Vertices[j]
		f := a[1] / (a[1] - b[1])
		return [3]float64{a[0] + f*(b[0]-a[0]), 0, a[2] + f*(b[2]-a[2])}
	}
	next := map[[2]float64][][2]float64{}
	var order [][2]float64
	for _, t := range m.Triangles {
		var face [][3]float64
		var in, out [3]float64
		crossed := false
		for k := range 3 {
			i, j := t[k], t[(k+1)%3]
			if behind(i) {
				face = append(face, m.Vertices[i])
			}
			if behind(i) == behind(j) {
				continue
			}
			crossed = true
			p := cross(i, j)
			face = append(face, p)
			if behind(i) {
				out = p
			} else {
				in = p
			}
		}
		if len(face) > 2 {
			faces = append(faces, face)
		}
		a, b := [2]float64{out[0], out[2]}, [2]float64{in[0], in[2]}
		if crossed && a != b {
			if len(next[b]) == 0 {
				order = append(order, b)
			}
			next[b] = append(next[b], a)
		}
	}
	for _, start := range order {
		for len(next[start]) > 0 {
			var line [][2]float64
			for p := start; len(next[p]) > 0; {
				q := next[p][0]
				next[p] = next[p][1:]
				line = append(line, p)
				p = q
			}
			cut = append(cut, line)
		}
	}
	return faces, cut
}
