package report

import "math"

// field is the temperatures of a frame between the centres of the cells.
type field struct {
	*lattice
	temperature []float64    // of the cells, K
	faces       [][4]float64 // K, at the middles of each cell's sides
	met         [][4]bool    // whether another cell touches the side
}

// newField finds the temperatures at the sides of the cells: between two cells
// that which carries one flux through both halves, and on a bare side that
// which the cell's opposite half leads to.
func newField(l *lattice, temperature []float64) *field {
	n := len(l.spans)
	f := &field{lattice: l, temperature: temperature, faces: make([][4]float64, n), met: make([][4]bool, n)}
	for c := range n {
		for side := range 4 {
			f.faces[c][side], f.met[c][side] = f.between(c, side)
		}
		for side := range 4 {
			if f.met[c][side] {
				continue
			}
			f.faces[c][side] = temperature[c]
			if o := opposite(side); f.met[c][o] {
				f.faces[c][side] = 2*temperature[c] - f.faces[c][o]
			}
		}
	}
	return f
}

// half is the conductance from a cell's centre to one of its sides, W/(m2 K).
func (f *field) half(cell, side int) float64 {
	c := f.section.Cells[cell]
	if side == inwards || side == outwards {
		return positive(c.Outwards) / ((c.Out - c.In) / 2)
	}
	return positive(c.Upwards) / ((c.High - c.Low) / 2)
}

// positive takes a conductivity that is not stated as one like any other.
func positive(conductivity float64) float64 {
	if conductivity > 0 && finite(conductivity) {
		return conductivity
	}
	return 1
}

func (f *field) between(cell, side int) (float64, bool) {
	own, sum, total := f.half(cell, side), 0.0, 0.0
	f.neighbours(cell, side, func(other int, length float64) {
		next := f.half(other, opposite(side))
		sum += length * (own*f.temperature[cell] + next*f.temperature[other]) / (own + next)
		total += length
	})
	if total == 0 {
		return 0, false
	}
	return sum / total, true
}

// flux is the heat flux in the middle of a cell, W/m2 outwards and upwards,
// from the sides where other cells touch it.
func (f *field) flux(cell int) (r, z float64) {
	along := func(low, high int) float64 {
		sum, n := 0.0, 0.0
		if f.met[cell][low] {
			sum += f.half(cell, low) * (f.faces[cell][low] - f.temperature[cell])
			n++
		}
		if f.met[cell][high] {
			sum += f.half(cell, high) * (f.temperature[cell] - f.faces[cell][high])
			n++
		}
		return sum / math.Max(n, 1)
	}
	return along(inwards, outwards), along(below, above)
}

// mesh is a field on triangles.
type mesh struct {
	points    []meshPoint
	triangles [][3]int
}

type meshPoint struct {
	place
	value float64
	count float64 // of the values it is a mean of
}

// mesh divides each cell into eight triangles about its centre. Where cells
// meet, points are the mean of what each has there; a field that is linear
// across the section is rendered as it is.
func (f *field) mesh() *mesh {
	m := &mesh{}
	known := map[[2]int64]int{}
	point := func(r, z, temperature float64) int {
		key := [2]int64{int64(math.Round(r / sameEdge)), int64(math.Round(z / sameEdge))}
		i, ok := known[key]
		if !ok {
			i = len(m.points)
			known[key] = i
			m.points = append(m.points, meshPoint{place: place{r, z}})
		}
		p := &m.points[i]
		p.count++
		p.value += (temperature - p.value) / p.count
		return i
	}
	for i, c := range f.section.Cells {
		t, s, mid := f.temperature[i], f.faces[i], middle(c)
		centre := point(mid.r, mid.z, t)
		ring := [8]int{
			point(c.In, c.Low, s[inwards]+s[below]-t), point(mid.r, c.Low, s[below]),
			point(c.Out, c.Low, s[outwards]+s[below]-t), point(c.Out, mid.z, s[outwards]),
			point(c.Out, c.High, s[outwards]+s[above]-t), point(mid.r, c.High, s[above]),
			point(c.In, c.High, s[inwards]+s[above]-t), point(c.In, mid.z, s[inwards]),
		}
		for k := range ring {
			m.triangles = append(m.triangles, [3]int{centre, ring[k], ring[(k+1)%8]})
		}
	}
	return m
}

// contours are the lines of one value by marching triangles. A
// closed line ends where it starts.
func (m *mesh) contours(level float64) [][]place {
	var nodes []place
	var joined [][]int // to each node, at most two others
	known := map[[2]int]int{}
	node := func(a, b int) int {
		if a > b {
			a, b = b, a
		}
		i, ok := known[[2]int{a, b}]
		if !ok {
			i = len(nodes)
			known[[2]int{a, b}] = i
			p, q := m.points[a], m.points[b]
			part := (level - p.value) / (q.value - p.value)
			nodes = append(nodes, place{p.r + part*(q.r-p.r), p.z + part*(q.z-p.z)})
			joined = append(joined, nil)
		}
		return i
	}
	for _, t := range m.triangles {
		var cut []int
		for k := range 3 {
			a, b := t[k], t[(k+1)%3]
			if (m.points[a].value >= level) != (m.points[b].value >= level) {
				cut = append(cut, node(a, b))
			}
		}
		if len(cut) == 2 {
			joined[cut[0]], joined[cut[1]] = append(joined[cut[0]], cut[1]), append(joined[cut[1]], cut[0])
		}
	}
	return chains(nodes, joined)
}

// chains follows joined nodes from end to end, and then what is left round
// and round.
func chains(nodes []place, joined [][]int) [][]place {
	used := make([]bool, len(nodes))
	follow := func(start int) []place {
		line, at := []place{nodes[start]}, start
		used[start] = true
		for {
			next := -1
			for _, n := range joined[at] {
				if !used[n] {
					next = n
					break
				}
			}
			if next < 0 {
				for _, n := range joined[at] {
					if n == start && len(line) > 2 {
						return append(line, nodes[start])
					}
				}
				return line
			}
			used[next], at = true, next
			line = append(line, nodes[next])
		}
	}
	var out [][]place
	for _, ends := range []bool{true, false} {
		for i := range nodes {
			if !used[i] && (len(joined[i]) == 1) == ends {
				out = append(out, follow(i))
			}
		}
	}
	return out
}
