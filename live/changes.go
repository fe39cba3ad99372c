package live

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// changes measures how much the region changed between pictures, in units of
// the noise around it.
type changes struct {
	pictures [][]patches
	usual    []float64 // noise between neighbours at each scale, grey levels
}

// Noise below this is that of rounding to whole grey levels, averaged.
const leastNoise = 0.2

// Where this share of the surroundings changes by this many times the noise,
// or the noise grows this much, something stands before the camera, or the
// light changed in a way that cannot be taken out.
const (
	plainShare  = 0.15
	plainChange = 6
	plainNoise  = 3
)

func newChanges(pictures [][]patches) *changes {
	c := &changes{pictures: pictures}
	if len(pictures) == 0 {
		return c
	}
	for s := range pictures[0] {
		noise := []float64{leastNoise}
		for i := 1; i < len(pictures); i++ {
			noise = append(noise, fitView(pictures[i-1][s].around, pictures[i][s].around).noise)
		}
		c.usual = append(c.usual, max(median(noise), leastNoise))
	}
	return c
}

// between is the change of the region between two pictures: the root mean
// square over its cells, after the changes of light and view were taken out,
// in units of the noise, at the scale where it is largest. NaN: the
// surroundings changed too much to tell.
func (c *changes) between(i, j int) float64 {
	most := 0.0
	for s, usual := range c.usual {
		most = max(most, change(&c.pictures[i][s], &c.pictures[j][s], usual)) // NaN if any is
	}
	return most
}

func change(from, to *patches, usual float64) float64 {
	v := fitView(from.around, to.around)
	plain := 0
	for k := range from.around {
		if math.Abs(to.around[k].mean-v.of(from.around[k])) > plainChange*usual {
			plain++
		}
	}
	if v.noise > plainNoise*usual || float64(plain) > plainShare*float64(len(from.around)) {
		return math.NaN()
	}
	left := make([]float64, len(from.inside))
	for k := range left {
		left[k] = to.inside[k].mean - v.of(from.inside[k])
	}
	// What is common to the whole region is light as well: a shadow's edge.
	middle := median(slices.Clone(left))
	sum := 0.0
	for _, x := range left {
		sum += (x - middle) * (x - middle)
	}
	return math.Sqrt(sum/float64(len(left))) / v.noise
}

// view says how light and camera changed between two pictures:
//
//	new = offset + gain old + x slope along x + y slope along y,
//
// with the shift of the picture in pixels, small against the things in it.
type view struct{ offset, gain, x, y, noise float64 }

func (v view) of(p patch) float64 { return v.offset + v.gain*p.mean + v.x*p.slopeX + v.y*p.slopeY }

// lent is the contrast, squared grey levels, that is lent to an unchanged view,
// so that surroundings without any fix no gain and no shift.
const lent = 4

// fitView fits the change to the surroundings by weighted least squares. Cells
// that fit badly, before which something moves, count little: iterated weights
// of Huber (Annals of Mathematical Statistics 35, 1964, 73-101).
func fitView(from, to []patch) view {
	v := view{gain: 1}
	left := make([]float64, len(from))
	residuals := func() {
		for k := range from {
			left[k] = math.Abs(to[k].mean - v.of(from[k]))
		}
	}
	weight := make([]float64, len(from))
	for range 6 {
		residuals()
		scale := max(1.4826*median(slices.Clone(left)), leastNoise)
		var sum, meanFrom, meanTo float64
		for k := range from {
			weight[k] = min(1, 1.345*scale/max(left[k], 1e-9))
			sum += weight[k]
			meanFrom += weight[k] * from[k].mean
			meanTo += weight[k] * to[k].mean
		}
		meanFrom, meanTo = meanFrom/sum, meanTo/sum
		normal, right := mat.NewSymDense(3, nil), mat.NewVecDense(3, []float64{lent * sum, 0, 0})
		for i := range 3 {
			normal.SetSym(i, i, lent*sum)
		}
		for k := range from {
			row := [3]float64{from[k].mean - meanFrom, from[k].slopeX, from[k].slopeY}
			for i := range row {
				for j := i; j < 3; j++ {
					normal.SetSym(i, j, normal.At(i, j)+weight[k]*row[i]*row[j])
				}
				right.SetVec(i, right.AtVec(i)+weight[k]*row[i]*(to[k].mean-meanTo))
			}
		}
		var factor mat.Cholesky
		var solved mat.VecDense
		if !factor.Factorize(normal) || factor.SolveVecTo(&solved, right) != nil {
			break // cannot be: what is lent makes it positive definite
		}
		v.gain, v.x, v.y = solved.AtVec(0), solved.AtVec(1), solved.AtVec(2)
		v.offset = meanTo - v.gain*meanFrom
	}
	residuals()
	v.noise = max(trimmed(left), leastNoise)
	return v
}

// trimmed is the standard deviation of a normal distribution whose smallest
// nine tenths of absolute values are these; their mean square is 0.623 of the
// variance.
func trimmed(absolute []float64) float64 {
	slices.Sort(absolute)
	n := max(1, len(absolute)*9/10)
	sum := 0.0
	for _, x := range absolute[:n] {
		sum += x * x
	}
	return math.Sqrt(sum / float64(n) / 0.623)
}

// median sorts values.
func median(values []float64) float64 {
	slices.Sort(values)
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}
