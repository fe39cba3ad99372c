package report

import (
	"math"

	"meltspan/report/sheet"
)

// curvePath turns a course into outlines in pixels: it breaks where a value
// has no meaning and leaves out points that would not be seen.
func curvePath(times, values []float64, x, y func(float64) float64) sheet.Path {
	var path sheet.Path
	var piece []sheet.Point
	flush := func() {
		if len(piece) == 1 { // a lone value shows as a dot
			path.Move(piece[0].X-1, piece[0].Y).Line(piece[0].X+1, piece[0].Y)
			piece = piece[:0]
		}
		for i, p := range thinned(piece, 0.15) {
			if i == 0 {
				path.Move(p.X, p.Y)
			} else {
				path.Line(p.X, p.Y)
			}
		}
		piece = piece[:0]
	}
	for i := range min(len(times), len(values)) {
		if !finite(times[i]) || !finite(values[i]) {
			flush()
			continue
		}
		piece = append(piece, sheet.Point{X: x(times[i]), Y: y(values[i])})
	}
	flush()
	return path
}

// thinned keeps the points without which the line would move by more than
// tolerance: Douglas & Peucker, Cartographica 10 (1973) 112-122.
func thinned(points []sheet.Point, tolerance float64) []sheet.Point {
	if len(points) < 3 {
		return points
	}
	keep := make([]bool, len(points))
	keep[0], keep[len(points)-1] = true, true
	stack := [][2]int{{0, len(points) - 1}}
	for len(stack) > 0 {
		from, to := stack[len(stack)-1][0], stack[len(stack)-1][1]
		stack = stack[:len(stack)-1]
		worst, at := tolerance, -1
		for i := from + 1; i < to; i++ {
			if d := offLine(points[i], points[from], points[to]); d > worst {
				worst, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, [2]int{from, at}, [2]int{at, to})
		}
	}
	var out []sheet.Point
	for i, p := range points {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// offLine is the distance of p from the line through a and b, or from a where
// the two coincide.
func offLine(p, a, b sheet.Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	length := math.Hypot(dx, dy)
	if length == 0 {
		return math.Hypot(p.X-a.X, p.Y-a.Y)
	}
	return math.Abs(dy*(p.X-a.X)-dx*(p.Y-a.Y)) / length
}

// lastFinite returns the index of the last meaningful value, -1 when none is.
func lastFinite(times, values []float64) int {
	for i := min(len(times), len(values)) - 1; i >= 0; i-- {
		if finite(values[i]) && finite(times[i]) {
			return i
		}
	}
	return -1
}
