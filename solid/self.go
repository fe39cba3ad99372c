package solid

import (
	"math"
	"slices"
)

type vec = [3]float64

func minus(a, b vec) vec   { return vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func dot(a, b vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func times(a, b vec) vec {
	return vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
func length(a vec) float64        { return math.Sqrt(dot(a, a)) }
func scaled(a vec, f float64) vec { return vec{a[0] * f, a[1] * f, a[2] * f} }

// flush is the distance within which a corner lies in a plane, m: half of what
// rounding to the grid moves it.
const flush = grid / 2

// cells are the boxes of space, in a row each way, in which triangles look for
// others that may meet them.
const cells = 40

// box is the range of cells that a triangle takes up.
type box struct{ low, high [3]int }

// boxes sorts the triangles into cells.
func (m *Mesh) boxes() (of []box, in [][]int32) {
	low, high := vec{math.Inf(1), math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	for _, v := range m.Vertices {
		for k, x := range v {
			low[k], high[k] = min(low[k], x), max(high[k], x)
		}
	}
	cell := func(k int, x float64) int {
		return min(int(cells*(x-low[k])/max(high[k]-low[k], grid)), cells-1)
	}
	of, in = make([]box, len(m.Triangles)), make([][]int32, cells*cells*cells)
	for i, t := range m.Triangles {
		for k := range 3 {
			a, b, c := m.Vertices[t[0]][k], m.Vertices[t[1]][k], m.Vertices[t[2]][k]
			of[i].low[k], of[i].high[k] = cell(k, min(a, b, c)), cell(k, max(a, b, c))
		}
		of[i].each(func(at int) { in[at] = append(in[at], int32(i)) })
	}
	return of, in
}

func (b *box) each(visit func(at int)) {
	for x := b.low[0]; x <= b.high[0]; x++ {
		for y := b.low[1]; y <= b.high[1]; y++ {
			for z := b.low[2]; z <= b.high[2]; z++ {
				visit((x*cells+y)*cells + z)
			}
		}
	}
}

// SelfIntersections counts the pairs of triangles that pass through each other or
// lie on each other, and returns where the first of them does, m.
func (m *Mesh) SelfIntersections() (pairs int, where [3]float64) {
	of, in := m.boxes()
	for at, list := range in {
		for k, i := range list {
			for _, j := range list[k+1:] {
				// Each pair once: in the first cell that both share.
				first := 0
				for c := range 3 {
					first = first*cells + max(of[i].low[c], of[j].low[c])
				}
				if first == at && m.meet(m.Triangles[i], m.Triangles[j]) {
					if pairs == 0 {
						where = m.Vertices[m.Triangles[i][0]]
					}
					pairs++
				}
			}
		}
	}
	return pairs, where
}

// meet reports whether two triangles have more in common than corners and edges.
func (m *Mesh) meet(s, t [3]int32) bool {
	var a, b [3]vec
	for k := range 3 {
		a[k], b[k] = m.Vertices[s[k]], m.Vertices[t[k]]
	}
	for k := range 3 {
		if max(a[0][k], a[1][k], a[2][k]) < min(b[0][k], b[1][k], b[2][k]) || max(b[0][k], b[1][k], b[2][k]) < min(a[0][k], a[1][k], a[2][k]) {
			return false
		}
	}
	n := times(minus(a[1], a[0]), minus(a[2], a[0]))
	size := length(n)
	if size == 0 {
		return false // an empty triangle is a fault of its own
	}
	n = scaled(n, 1/size)
	level := 0
	for _, p := range b {
		if math.Abs(dot(n, minus(p, a[0]))) < flush {
			level++
		}
	}
	if level == 3 {
		return overlap(n, a, b)
	}
	return pierced(s, t, a, b) || pierced(t, s, b, a)
}

// pierced reports whether an edge of the second triangle passes through the
// inside of the first.
func pierced(s, t [3]int32, a, b [3]vec) bool {
	n := times(minus(a[1], a[0]), minus(a[2], a[0]))
	size := length(n)
	for k := range 3 {
		if slices.Contains(s[:], t[k]) || slices.Contains(s[:], t[(k+1)%3]) {
			continue // it starts on the triangle and leaves it there
		}
		p, q := b[k], b[(k+1)%3]
		dp, dq := dot(n, minus(p, a[0]))/size, dot(n, minus(q, a[0]))/size
		if dp*dq >= 0 || math.Abs(dp) < flush || math.Abs(dq) < flush {
			continue
		}
		f := dp / (dp - dq)
		x := vec{p[0] + f*(q[0]-p[0]), p[1] + f*(q[1]-p[1]), p[2] + f*(q[2]-p[2])}
		inside := true
		for i := range 3 {
			edge := minus(a[(i+1)%3], a[i])
			if dot(times(n, edge), minus(x, a[i]))/(size*length(edge)) < flush {
				inside = false
				break
			}
		}
		if inside {
			return true
		}
	}
	return false
}

// overlap reports whether two triangles in one plane, with its normal, cover a
// common piece of it: no edge of either has the other wholly on its outer side.
func overlap(n vec, a, b [3]vec) bool {
	return !apart(n, a, b) && !apart(n, b, a)
}

func apart(n vec, a, b [3]vec) bool {
	if dot(n, times(minus(a[1], a[0]), minus(a[2], a[0]))) < 0 {
		n = scaled(n, -1)
	}
	for i := range 3 {
		edge := minus(a[(i+1)%3], a[i])
		out, long := times(n, edge), length(edge)
		beyond := true
		for _, p := range b {
			if dot(out, minus(p, a[i]))/long > 2*flush {
				beyond = false
				break
			}
		}
		if beyond {
			return true
		}
	}
	return false
}
