package solid

import (
	"cmp"
	"errors"
	"slices"
)

// touching is how near a corner lies to an edge to count as lying on it, in
// steps of the grid: both come from rounding to it.
const touching = 4

// insertCorners puts every corner of the lines of one level that lies on an edge
// of another line into that edge.
func insertCorners(groups ...[]chain) {
	var corners []xy
	for _, g := range groups {
		for i := range g {
			corners = append(corners, g[i].points...)
		}
	}
	slices.SortFunc(corners, xy.compare)
	corners = slices.Compact(corners)
	for _, g := range groups {
		for i := range g {
			g[i].insert(corners)
		}
	}
}

// insert puts the corners that lie on the chain's edges into it. The corners are
// sorted by x.
func (c *chain) insert(corners []xy) {
	line := c.points
	c.points = nil
	for k, a := range line {
		b := line[(k+1)%len(line)]
		c.start[k] = len(c.points)
		c.points = append(c.points, a)
		var on []xy
		length := distance(a, b)
		from, _ := slices.BinarySearchFunc(corners, min(a.x, b.x)-touching, func(p xy, x int64) int { return cmp.Compare(p.x, x) })
		for _, p := range corners[from:] {
			if p.x > max(a.x, b.x)+touching {
				break
			}
			if p == a || p == b {
				continue
			}
			along := (float64(p.x-a.x)*float64(b.x-a.x) + float64(p.y-a.y)*float64(b.y-a.y)) / length
			off := float64(cross(a, b, p)) / length
			if along > touching && along < length-touching && off < touching && off > -touching {
				on = append(on, p)
			}
		}
		slices.SortFunc(on, func(p, q xy) int {
			if distance(a, p) < distance(a, q) {
				return -1
			}
			return 1
		})
		c.points = append(c.points, on...)
	}
}

var errTouching = errors.New("two outlines touch in one corner or cross, and such a body cannot be printed")

// level makes the level faces between two slabs: the boundary of what is below
// only, and of what is above only.
func (b *meshBuilder) level(z int64, below, above []chain) error {
	// Edges of below, and of above turned round; where both have an edge, material
	// goes on and nothing is left of it. To the left of what remains lies a face
	// that looks up, or to its right one that looks down.
	type edge struct{ from, to xy }
	left := map[edge]int{}
	var order []edge
	put := func(e edge) {
		if left[edge{e.to, e.from}] > 0 {
			left[edge{e.to, e.from}]--
			return
		}
		left[e]++
		order = append(order, e)
	}
	for i, chains := range [][]chain{below, above} {
		for _, c := range chains {
			for k, p := range c.points {
				q := c.points[(k+1)%len(c.points)]
				if i == 1 {
					p, q = q, p
				}
				put(edge{p, q})
			}
		}
	}
	next := map[xy]xy{}
	var starts []xy
	for _, e := range order {
		if left[e] == 0 {
			continue
		}
		if _, twice := next[e.from]; twice || left[e] > 1 {
			return errTouching
		}
		next[e.from] = e.to
		starts = append(starts, e.from)
	}
	var loops [][]xy
	for _, s := range starts {
		if _, open := next[s]; !open {
			continue
		}
		var loop []xy
		for p := s; ; {
			q, ok := next[p]
			if !ok {
				if p != s {
					return errTouching
				}
				break
			}
			loop = append(loop, p)
			delete(next, p)
			p = q
		}
		loops = append(loops, loop)
	}
	return b.levelFaces(z, loops)
}

// levelFaces triangulates the faces that loops go round: counter-clockwise those
// that look up, clockwise those that look down, each with the loops just inside
// it as holes.
func (b *meshBuilder) levelFaces(z int64, loops [][]xy) error {
	areas := make([]int64, len(loops))
	for i := range loops {
		areas[i] = area2(loops[i])
	}
	depth, parent := make([]int, len(loops)), make([]int, len(loops))
	for i := range loops {
		parent[i] = -1
		for j := range loops {
			if i == j || size(areas[j]) <= size(areas[i]) || !contains(loops[j], loops[i][0]) {
				continue
			}
			depth[i]++
			if parent[i] < 0 || size(areas[j]) < size(areas[parent[i]]) {
				parent[i] = j
			}
		}
	}
	for i := range loops {
		if depth[i]%2 == 1 {
			continue
		}
		var holes [][]xy
		for j := range loops {
			if parent[j] == i && depth[j] == depth[i]+1 {
				holes = append(holes, oriented(loops[j], false))
			}
		}
		triangles, err := triangulate(oriented(loops[i], true), holes)
		if err != nil {
			return err
		}
		for _, t := range triangles {
			p, q, r := b.vertex(t[0], z), b.vertex(t[1], z), b.vertex(t[2], z)
			if areas[i] > 0 {
				b.triangle(p, q, r)
			} else {
				b.triangle(p, r, q)
			}
		}
	}
	return nil
}

func size(a int64) int64 { return max(a, -a) }

// oriented is a copy of a line, counter-clockwise or the other way round.
func oriented(line []xy, ccw bool) []xy {
	out := slices.Clone(line)
	if (area2(line) > 0) != ccw {
		turn(out)
	}
	return out
}

// contains reports whether a point that does not lie on a closed line lies
// within it, by the crossings of a ray to the right.
func contains(line []xy, p xy) bool {
	in := false
	for i, a := range line {
		b := line[(i+1)%len(line)]
		if (a.y > p.y) == (b.y > p.y) {
			continue
		}
		if c := cross(a, b, p); (c > 0) == (b.y > a.y) {
			in = !in
		}
	}
	return in
}
