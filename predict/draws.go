package predict

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"meltspan/design"
	"meltspan/quantity"
)

// Draws are values of inputs of a design, SI, one row for each draw: a posterior,
// or any other state of knowledge. Weights of nil count all rows alike.
type Draws struct {
	Paths   []string
	Rows    [][]float64
	Weights []float64

	Deviates bool // the rows hold standard normal deviates, as a design means them, not values

	Pace   []float64 // for each row, the factor of what the model gets wrong of all times of this design; nil: not known
	Repeat []float64 // the same of one trial of it: what repeats scatter
	From   string    // where they come from, in words
}

// Learned says what an answer took from trials.
type Learned struct {
	From   string `json:"from"`
	Draws  int    `json:"draws"`
	Inputs int    `json:"inputs"` // that the trials had
	Paced  bool   `json:"paced"`  // the band holds what the model gets wrong as a whole
}

func (d *Draws) about() *Learned {
	return &Learned{d.From, len(d.Rows), len(d.Paths), d.Pace != nil || d.Repeat != nil}
}

// Resampled picks n rows in proportion to their weights, evenly spread
// (systematic resampling: Kitagawa, J. Comput. Graph. Stat. 5 (1996) 1-25).
func (d *Draws) Resampled(n int) ([]int, error) {
	if len(d.Rows) == 0 {
		return nil, errors.New("there are no draws")
	}
	if d.Weights != nil && len(d.Weights) != len(d.Rows) {
		return nil, fmt.Errorf("%d weights for %d draws", len(d.Weights), len(d.Rows))
	}
	total := 0.0
	weight := func(i int) float64 {
		if d.Weights == nil {
			return 1
		}
		return d.Weights[i]
	}
	for i, row := range d.Rows {
		if len(row) != len(d.Paths) {
			return nil, fmt.Errorf("draw %d holds %d values for %d inputs", i+1, len(row), len(d.Paths))
		}
		if !(weight(i) >= 0) || math.IsInf(weight(i), 0) {
			return nil, fmt.Errorf("the weight of draw %d is %g", i+1, weight(i))
		}
		total += weight(i)
	}
	if !(total > 0) {
		return nil, errors.New("all draws have weight 0")
	}
	out := make([]int, n)
	at, sum := 0, weight(0)
	for k := range out {
		target := (float64(k) + 0.5) / float64(n) * total
		for sum < target && at < len(d.Rows)-1 {
			at++
			sum += weight(at)
		}
		out[k] = at
	}
	return out, nil
}

// knowledge is draws made ready for a prediction.
type knowledge struct {
	centre  *design.Design    // the design with the means of the draws
	columns map[int][]float64 // deviates, by the place of the input
	pace    []float64         // of each sample; nil: not known
}

// condition puts the draws in the place of what a design says of its inputs vs,
// for a number of samples.
func (d *Draws) condition(of *design.Design, vs []variable, samples int) (knowledge, error) {
	k := knowledge{centre: of.Clone(), columns: map[int][]float64{}}
	rows, err := d.Resampled(samples)
	if err != nil {
		return k, err
	}
	for at, path := range d.Paths {
		i := indexOf(vs, path)
		if i < 0 {
			return k, fmt.Errorf("the design has no uncertain input %q", path)
		}
		z, values := make([]float64, samples), make([]float64, samples)
		for row, from := range rows {
			z[row] = d.Rows[from][at]
			if !d.Deviates {
				z[row] = vs[i].deviate(z[row])
			}
			if math.IsNaN(z[row]) || math.IsInf(z[row], 0) {
				return k, fmt.Errorf("%s cannot be %g", path, d.Rows[from][at])
			}
			values[row] = vs[i].at(z[row])
		}
		k.columns[i] = z
		mean, spread := stat.MeanStdDev(z, nil)
		_, deviation := stat.MeanStdDev(values, nil)
		if math.Abs(mean) < littleLearnt && math.Abs(spread-1) < littleLearnt {
			continue // as before: no news about it
		}
		if deviation == 0 { // all alike, or held at an end of the range
			deviation = vs[i].Value.Spread
		}
		*vs[i].set(k.centre) = quantity.Value{SI: vs[i].at(mean), Spread: deviation, Origin: quantity.Fitted, Source: d.From}
	}
	k.centre.Rederive()
	k.pace = d.paces(rows)
	return k, nil
}

// littleLearnt is the change of an input, in standard deviations of what the
// design says, that chance alone gives a few hundred draws.
const littleLearnt = 0.1

// paces are the factors of the rows; nil where none is known.
func (d *Draws) paces(rows []int) []float64 {
	if d.Pace == nil && d.Repeat == nil {
		return nil
	}
	out := make([]float64, len(rows))
	for i, from := range rows {
		out[i] = 1
		if d.Pace != nil {
			out[i] *= d.Pace[from]
		}
		if d.Repeat != nil {
			out[i] *= d.Repeat[from]
		}
	}
	return out
}

// scale stretches the times of an outcome. What was still running at the
// horizon stays there.
func (o *outcome) scale(factor, horizon float64) {
	if o.runTime < horizon {
		o.runTime = math.Min(o.runTime*factor, horizon)
	}
	o.lastIce *= factor
}

// sharesOfDependent is shares for inputs that hang together: the first-order
// share of each, its squared correlation with the outcome. Inputs that trials
// have tied to each other share it, so that the shares may add up to more than 1.
// What chance alone gives (threshold standard errors) counts as nothing.
func sharesOfDependent(z *mat.Dense, rows []int, values []float64) (share []float64, rest float64) {
	_, columns := z.Dims()
	share = make([]float64, columns)
	_, deviation := stat.MeanStdDev(values, nil)
	enough := len(values) >= leastPerInput*(columns+1) && deviation > 1e-6*stat.Mean(values, nil)
	for j := range share {
		share[j] = math.NaN()
		if !enough {
			continue
		}
		x := make([]float64, len(rows))
		for i, row := range rows {
			x[i] = z.At(row, j)
		}
		share[j] = math.Pow(stat.Correlation(x, values, nil), 2)
		if !(share[j]*float64(len(values)) >= threshold*threshold) {
			share[j] = 0
		}
	}
	if !enough {
		return share, math.NaN()
	}
	a, b, y, err := regress(z, rows, values, stat.Mean(values, nil))
	if err != nil {
		return share, math.NaN()
	}
	return share, math.Min(residualVariance(a, b, y)/(deviation*deviation), 1)
}
