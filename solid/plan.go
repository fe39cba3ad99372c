package solid

import "math"

// Plan views are kept on a grid of whole nanometres, so that the geometry of
// the mesh is decided by exact arithmetic: coordinates up to 1 m give products
// below 2^62.
const grid = 1e-9 // m

// xy is a place in plan, in steps of the grid.
type xy struct{ x, y int64 }

func snap(x, y float64) xy {
	return xy{int64(math.Round(x / grid)), int64(math.Round(y / grid))}
}

// cross is twice the area of the triangle a, b, c: positive to the left.
func cross(a, b, c xy) int64 {
	return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
}

func distance(a, b xy) float64 { return math.Hypot(float64(a.x-b.x), float64(a.y-b.y)) }

// area2 is twice the area that a closed line goes round, positive
// counter-clockwise.
func area2(line []xy) int64 {
	var sum int64
	for i, a := range line {
		b := line[(i+1)%len(line)]
		sum += a.x*b.y - a.y*b.x
	}
	return sum
}

// upright is one face of a slab: a closed line at its underside and the one at
// its top that belongs to it point by point. Material lies to the left.
type upright struct{ bottom, top []xy }

// facets is how many flat faces stand for a full circle of a radius, so that
// none lies further from it than the chord error, m.
func facets(radius, chord float64, least, step int) int {
	n := least
	if chord < radius {
		n = max(n, int(math.Ceil(math.Pi/math.Acos(1-chord/radius))))
	}
	return (n + step - 1) / step * step
}

// round says how circles about the axis are divided: all into n facets at the
// same angles.
type round struct {
	n     int
	close bool // a corner has come closer to one of the circle's own than nearCorner
}

func (r *round) step() float64 { return 2 * math.Pi / float64(r.n) }

// polygon is the circle about the axis, its corners on the circle;
// counter-clockwise or the other way round.
func (r *round) polygon(radius float64, ccw bool) []xy {
	line := make([]xy, r.n)
	for i := range line {
		sin, cos := math.Sincos(r.step() * float64(i))
		line[i] = snap(radius*cos, radius*sin)
	}
	if !ccw {
		turn(line)
	}
	return line
}

func turn(line []xy) {
	for i, j := 0, len(line)-1; i < j; i, j = i+1, j-1 {
		line[i], line[j] = line[j], line[i]
	}
}

// pin is a small circle off the axis, with facets for its own radius. Its
// polygon has the circle's area: corners a little outside, faces a little
// inside, both by less than the chord error.
func pin(at place, radius, chord float64, ccw bool) []xy {
	n := facets(radius, chord, 16, 4)
	step := 2 * math.Pi / float64(n)
	r := radius * math.Sqrt(step/math.Sin(step))
	line := make([]xy, n)
	for i := range line {
		sin, cos := math.Sincos(step * (float64(i) + 0.5))
		line[i] = snap(at.x+r*cos, at.y+r*sin)
	}
	if !ccw {
		turn(line)
	}
	return line
}

// A corner is a circle's own when it falls nearer to it than sameCorner, which
// is rounding. Up to nearCorner it would make an edge that files in single
// precision cannot hold: other facets then serve better. m.
const (
	sameCorner = 3 * grid
	nearCorner = 1e-6
)

// corner is where a line parallel to the radius at an angle, a distance aside of
// it to the left, leaves the polygon of a circle, and the angle at which it does.
func (r *round) corner(radius, angle, aside float64) (at xy, theta float64) {
	step := r.step()
	sin, cos := math.Sincos(angle)
	guess := angle + math.Asin(aside/radius)
	k := math.Floor(guess / step)
	for _, j := range []float64{k, k - 1, k + 1} {
		middle := step * (j + 0.5)
		ms, mc := math.Sincos(middle)
		// Along the line, at t from its foot: (t u + aside v) m = radius cos(step/2).
		t := (radius*math.Cos(step/2) - aside*(cos*ms-sin*mc)) / (cos*mc + sin*ms)
		x, y := t*cos-aside*sin, t*sin+aside*cos
		along := math.Remainder(math.Atan2(y, x)-middle, 2*math.Pi)
		if math.Abs(along) > step/2*(1+1e-9) {
			continue
		}
		for _, end := range []float64{j, j + 1} {
			es, ec := math.Sincos(step * end)
			switch d := math.Hypot(x-radius*ec, y-radius*es); {
			case d < sameCorner:
				return snap(radius*ec, radius*es), step * end
			case d < nearCorner:
				r.close = true
			}
		}
		return snap(x, y), middle + along
	}
	panic("solid: a rib does not meet its circle") // ruled out by its width
}

// arc is the polygon of a circle from one corner to another, counter-clockwise,
// both ends included.
func (r *round) arc(radius, from, fromAside, to, toAside float64) []xy {
	start, first := r.corner(radius, from, fromAside)
	end, last := r.corner(radius, to, toAside)
	line := []xy{start}
	step, margin := r.step(), sameCorner/radius
	for k := math.Floor(first/step) + 1; step*k < last-margin; k++ {
		if step*k <= first+margin {
			continue
		}
		sin, cos := math.Sincos(step * k)
		line = append(line, snap(radius*cos, radius*sin))
	}
	return append(line, end)
}
