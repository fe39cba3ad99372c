package solid

import (
	"cmp"
	"errors"
	"slices"
)

var errTriangulate = errors.New("its face cannot be divided into triangles")

// triangulate divides the face inside a counter-clockwise line and outside
// clockwise holes into triangles over their corners, by cutting off ears: holes
// are first joined to the line by a bridge each (D. Eberly, Triangulation by Ear
// Clipping, section 3: the common method, from memory). All decisions are exact.
func triangulate(line []xy, holes [][]xy) ([][3]xy, error) {
	want := area2(line)
	for _, h := range holes {
		want += area2(h)
	}
	slices.SortStableFunc(holes, func(a, b []xy) int { return rightmost(b).compare(rightmost(a)) })
	for _, h := range holes {
		var ok bool
		if line, ok = bridge(line, h); !ok {
			return nil, errTriangulate
		}
	}
	triangles, ok := clipEars(line)
	if !ok {
		return nil, errTriangulate
	}
	for _, t := range triangles {
		want -= cross(t[0], t[1], t[2])
	}
	if want != 0 {
		return nil, errTriangulate
	}
	return triangles, nil
}

// compare orders places from left to right, and upwards where that is the same.
func (p xy) compare(q xy) int {
	if p.x != q.x {
		return cmp.Compare(p.x, q.x)
	}
	return cmp.Compare(p.y, q.y)
}

func rightmost(line []xy) xy { return slices.MaxFunc(line, xy.compare) }

// bridge joins a hole to the line round it: from the hole's rightmost corner to
// the nearest corner of the line, further right, that it sees. Holes that reach
// further right are in the line already, the others lie to the left of the
// bridge.
func bridge(line, hole []xy) ([]xy, bool) {
	m := rightmost(hole)
	start := slices.Index(hole, m)
	order := make([]int, len(line))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		da, db := distance(line[a], m), distance(line[b], m)
		switch {
		case da < db:
			return -1
		case da > db:
			return 1
		}
		return a - b
	})
	for _, i := range order {
		p := line[i]
		before, after := line[(i+len(line)-1)%len(line)], line[(i+1)%len(line)]
		if p.compare(m) <= 0 || !inCone(before, p, after, m) || !sees(line, m, p) || !sees(hole, m, p) {
			continue
		}
		joined := append([]xy(nil), line[:i+1]...)
		for k := range hole {
			joined = append(joined, hole[(start+k)%len(hole)])
		}
		joined = append(joined, m)
		return append(joined, line[i:]...), true
	}
	return line, false
}

// inCone reports whether the way from p to m starts inside a line that comes
// from before and goes to after.
func inCone(before, p, after, m xy) bool {
	if cross(before, p, after) > 0 {
		return cross(p, m, before) > 0 && cross(m, p, after) > 0
	}
	return !(cross(p, m, after) >= 0 && cross(m, p, before) >= 0)
}

// sees reports whether the straight way from m to p meets the line nowhere but
// at its ends.
func sees(line []xy, m, p xy) bool {
	for i, a := range line {
		b := line[(i+1)%len(line)]
		if a == m || a == p || b == m || b == p {
			// Touches at an end; a corner beyond it must not lie on the way.
			for _, q := range []xy{a, b} {
				if q != m && q != p && between(m, p, q) {
					return false
				}
			}
			continue
		}
		if meet(a, b, m, p) {
			return false
		}
	}
	return true
}

// between reports whether q lies on the straight way from m to p.
func between(m, p, q xy) bool {
	return cross(m, p, q) == 0 && min(m.x, p.x) <= q.x && q.x <= max(m.x, p.x) && min(m.y, p.y) <= q.y && q.y <= max(m.y, p.y)
}

// meet reports whether two straight ways have a point in common.
func meet(a, b, c, d xy) bool {
	s1, s2, s3, s4 := sign(cross(a, b, c)), sign(cross(a, b, d)), sign(cross(c, d, a)), sign(cross(c, d, b))
	if s1 != s2 && s3 != s4 && (s1*s2 < 0 || s3*s4 < 0) {
		return true
	}
	return between(a, b, c) || between(a, b, d) || between(c, d, a) || between(c, d, b)
}

func sign(x int64) int { return cmp.Compare(x, 0) }

// clipEars cuts triangles off a line until nothing is left.
func clipEars(line []xy) ([][3]xy, bool) {
	n := len(line)
	before, after := make([]int, n), make([]int, n)
	for i := range line {
		before[i], after[i] = (i+n-1)%n, (i+1)%n
	}
	var out [][3]xy
	at := 0
	for idle := 0; n > 3; {
		a, b, c := before[at], at, after[at]
		if idle > n {
			return nil, false
		}
		if !isEar(line, after, a, b, c) {
			at, idle = after[at], idle+1
			continue
		}
		out = append(out, [3]xy{line[a], line[b], line[c]})
		after[a], before[c] = c, a
		n, idle = n-1, 0
		at = c
	}
	a, b, c := line[before[at]], line[at], line[after[at]]
	return append(out, [3]xy{a, b, c}), cross(a, b, c) > 0
}

// isEar reports whether the triangle over three neighbours lies inside the line:
// it turns left, and no other corner lies in it or on its edges.
func isEar(line []xy, after []int, a, b, c int) bool {
	p, q, r := line[a], line[b], line[c]
	if cross(p, q, r) <= 0 {
		return false
	}
	lowX, highX := min(p.x, q.x, r.x), max(p.x, q.x, r.x)
	lowY, highY := min(p.y, q.y, r.y), max(p.y, q.y, r.y)
	for i := after[c]; i != a; i = after[i] {
		s := line[i]
		if s.x < lowX || s.x > highX || s.y < lowY || s.y > highY || s == p || s == q || s == r {
			continue
		}
		if cross(p, q, s) >= 0 && cross(q, r, s) >= 0 && cross(r, p, s) >= 0 {
			return false
		}
	}
	return true
}
