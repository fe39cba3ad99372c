package predict

import (
	"context"
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"

	"meltspan/design"
	"meltspan/network"
	"meltspan/quantity"
)

// shares regresses an outcome on the standard normal deviates of the inputs
// and returns each input's share of the outcome's variance, and the share that
// no straight line through one input explains. values[i] belongs to rows[i]
// of z. All are NaN where the values do not vary or are too few.
func shares(z *mat.Dense, rows []int, values []float64) (share []float64, rest float64) {
	_, columns := z.Dims()
	share = make([]float64, columns)
	mean := 0.0
	for _, v := range values {
		mean += v / float64(len(values))
	}
	variance := 0.0
	for _, v := range values {
		variance += (v - mean) * (v - mean) / float64(len(values))
	}
	if variance <= 1e-12*mean*mean || len(values) < leastPerInput*(columns+1) {
		for j := range share {
			share[j] = math.NaN()
		}
		return share, math.NaN()
	}
	a, b, y, err := regress(z, rows, values, mean)
	if err != nil {
		for j := range share {
			share[j] = math.NaN()
		}
		return share, math.NaN()
	}
	// The deviates are all but orthogonal and of unit variance, so a
	// coefficient's own standard error is near that of the residuals over the
	// root of the number of samples. What does not stand out from it by
	// threshold times counts as nothing.
	unexplained := residualVariance(a, b, y)
	noise := unexplained / float64(len(values)-columns-1)
	rest = 1
	for j := range columns {
		square := b.AtVec(j+1) * b.AtVec(j+1)
		if square < threshold*threshold*noise {
			continue
		}
		share[j] = square / variance
		rest -= share[j]
	}
	return share, math.Max(rest, 0)
}

// regress fits values less their mean by a constant (first in b) and a straight
// line through each column of z.
func regress(z *mat.Dense, rows []int, values []float64, mean float64) (a *mat.Dense, b, y *mat.VecDense, err error) {
	_, columns := z.Dims()
	a, y, b = mat.NewDense(len(values), columns+1, nil), mat.NewVecDense(len(values), nil), &mat.VecDense{}
	for i, row := range rows {
		a.Set(i, 0, 1)
		for j := range columns {
			a.Set(i, j+1, z.At(row, j))
		}
		y.SetVec(i, values[i]-mean)
	}
	return a, b, y, b.SolveVec(a, y)
}

// slopes are the coefficients of that regression that stand out from chance;
// all 0 where the values do not vary or are too few.
func slopes(z *mat.Dense, rows []int, values []float64) []float64 {
	_, columns := z.Dims()
	out := make([]float64, columns)
	if len(values) < leastPerInput*(columns+1) {
		return out
	}
	a, b, y, err := regress(z, rows, values, 0)
	if err != nil {
		return out
	}
	noise := residualVariance(a, b, y) / float64(len(values)-columns-1)
	for j := range out {
		if s := b.AtVec(j + 1); s*s > threshold*threshold*noise {
			out[j] = s
		}
	}
	return out
}

// leastPerInput is how many samples an input must have before shares are
// worked out.
const leastPerInput = 2

// threshold, in standard errors, from which an input's share of the variance
// is told from chance: three, so that among a hundred inputs without effect
// about one is listed by chance every fourth time.
const threshold = 3

func residualVariance(a *mat.Dense, b, y *mat.VecDense) float64 {
	var fit mat.VecDense
	fit.MulVec(a, b)
	fit.SubVec(y, &fit)
	return mat.Dot(&fit, &fit) / float64(y.Len())
}

// step is the +10 % change of an input that the sensitivities use. Ten per
// cent of a temperature in kelvins means nothing: a tenth of the difference
// between room and store is taken.
func step(d *design.Design, v *variable) float64 {
	if v.Kind == quantity.Temperature {
		return 0.1 * math.Abs(d.Room.Temperature.SI-storeLevel(d))
	}
	if v.Value.SI == 0 {
		return v.Value.Spread
	}
	return 0.1 * v.Value.SI
}

// changes works out the relative change of run time for a step of each input,
// one at a time from the nominal design.
func changes(ctx context.Context, d *design.Design, vs []variable, nominal, horizon float64) (steps, change []float64) {
	steps, change = make([]float64, len(vs)), make([]float64, len(vs))
	own := d.Clone()
	for i := range vs {
		steps[i] = step(d, &vs[i])
		value := vs[i].set(own)
		value.SI = vs[i].Value.SI + steps[i]
		if vs[i].Kind == quantity.Fraction && vs[i].Value.SI < 1 {
			value.SI = math.Min(value.SI, 1)
		}
		own.Rederive()
		change[i] = math.NaN()
		if ctx.Err() != nil {
			continue
		}
		if m, err := network.BuildDraw(own, d.ColdStore()); err == nil && nominal > 0 {
			change[i] = m.Time(network.Options{Horizon: horizon}).RunTime/nominal - 1
		}
		value.SI = vs[i].Value.SI
	}
	return steps, change
}

// influences joins both measures and sorts by importance: share of the band's
// variance first, since that is what the user does not know.
func influences(vs []variable, steps, change, share []float64) []Influence {
	out := make([]Influence, len(vs))
	for i, v := range vs {
		out[i] = Influence{
			Path: v.Path, About: v.About, Kind: v.Kind, Value: v.Value,
			Step: steps[i], Change: change[i], VarianceShare: share[i],
		}
	}
	return ranked(out)
}

// ranked sorts inputs, most important first.
func ranked(out []Influence) []Influence {
	sort.SliceStable(out, func(i, j int) bool {
		a, b := orZero(out[i].VarianceShare), orZero(out[j].VarianceShare)
		if a != b {
			return a > b
		}
		return math.Abs(orZero(out[i].Change)) > math.Abs(orZero(out[j].Change))
	})
	return out
}

func orZero(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}
