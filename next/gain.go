package next

import (
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// scores turn values into the normal deviates of their ranks, ties alike. What
// is a monotone function of a normal deviate becomes that deviate, so that the
// information between quantities is the same before and after. Values that all
// tie come back as zeros, those that are not numbers in the middle.
func scores(values []float64) []float64 {
	n := len(values)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	middle := median(values)
	at := func(i int) float64 {
		if math.IsNaN(values[i]) {
			return middle
		}
		return values[i]
	}
	sort.SliceStable(order, func(a, b int) bool { return at(order[a]) < at(order[b]) })
	out := make([]float64, n)
	for from := 0; from < n; {
		to := from + 1
		for to < n && at(order[to]) == at(order[from]) {
			to++
		}
		z := distuv.UnitNormal.Quantile((float64(from+to) / 2) / float64(n))
		if to-from == n {
			z = 0
		}
		for _, i := range order[from:to] {
			out[i] = z
		}
		from = to
	}
	return out
}

func median(values []float64) float64 {
	var finite []float64
	for _, v := range values {
		if !math.IsNaN(v) {
			finite = append(finite, v)
		}
	}
	if len(finite) == 0 {
		return 0
	}
	slices.Sort(finite)
	return finite[len(finite)/2]
}

// regression is a least-squares fit of a target by a constant and several
// columns.
type regression struct {
	fitted    []float64
	explained float64 // share of the variance, corrected for the number of columns
}

// regress fits target by columns. Columns that do not vary are left out.
func regress(target []float64, columns [][]float64) regression {
	n := len(target)
	var used [][]float64
	for _, c := range columns {
		if variance(c) > 1e-12 {
			used = append(used, c)
		}
	}
	mean := meanOf(target)
	out := regression{fitted: make([]float64, n)}
	for i := range out.fitted {
		out.fitted[i] = mean
	}
	k := len(used)
	total := variance(target)
	if k == 0 || !(total > 0) || n < 2*(k+1) {
		return out
	}
	// Normal equations with a trace of a ridge, since logs of one plate at two
	// moments may be all but the same.
	a := mat.NewSymDense(k, nil)
	b := mat.NewVecDense(k, nil)
	means := make([]float64, k)
	for j := range used {
		means[j] = meanOf(used[j])
	}
	for j := range used {
		for l := j; l < k; l++ {
			sum := 0.0
			for i := range n {
				sum += (used[j][i] - means[j]) * (used[l][i] - means[l])
			}
			a.SetSym(j, l, sum/float64(n))
		}
		sum := 0.0
		for i := range n {
			sum += (used[j][i] - means[j]) * (target[i] - mean)
		}
		b.SetVec(j, sum/float64(n))
	}
	for j := range k {
		a.SetSym(j, j, a.At(j, j)*(1+1e-9))
	}
	var chol mat.Cholesky
	var x mat.VecDense
	if !chol.Factorize(a) || chol.SolveVecTo(&x, b) != nil {
		return out
	}
	left := 0.0
	for i := range n {
		for j := range used {
			out.fitted[i] += x.AtVec(j) * (used[j][i] - means[j])
		}
		left += math.Pow(target[i]-out.fitted[i], 2) / float64(n)
	}
	// Corrected for what as many columns of noise would explain.
	out.explained = math.Min(math.Max(1-left/total*float64(n-1)/float64(n-k-1), 0), 1)
	return out
}

func meanOf(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

func variance(values []float64) float64 {
	mean, sum := meanOf(values), 0.0
	for _, v := range values {
		sum += (v - mean) * (v - mean)
	}
	return sum / float64(len(values))
}

// mostInformation bounds what finite draws can tell, bits: a share of the
// variance of more than 1 - 1e-6 is not told from all of it.
const mostInformation = 10

// Information is the expected information gain about a target from
// observations, bits: the mutual information of both, by the linear-Gaussian
// formula on the normal scores of the draws,
//
//	I = -1/2 log2(1 - R2)
//
// with R2 the share of the target's variance that a regression on the
// observations explains. It is exact where all are monotone functions of jointly
// normal quantities, and a lower bound to what a cleverer reading could gain
// otherwise (Gaussian copula: Ince et al., Human Brain Mapping 38 (2017)
// 1541-1573). observations hold their noise already, one column each. left is
// what remains of the target's spread, as a share.
func Information(target []float64, observations [][]float64) (bits, left float64) {
	columns := make([][]float64, len(observations))
	for i, o := range observations {
		columns[i] = scores(o)
	}
	r2 := regress(scores(target), columns).explained
	if len(columns) > 1 {
		// More readings never tell less: where the correction for their number
		// outweighs what the others add, the first alone counts.
		r2 = math.Max(r2, regress(scores(target), columns[:1]).explained)
	}
	bits = mostInformation
	if r2 < 1 {
		bits = math.Min(math.Abs(0.5*math.Log2(1-r2)), mostInformation)
	}
	return bits, math.Sqrt(1 - r2)
}

// Choice is the expected gain of choosing among options after an observation,
// in the unit of the values: the mean of the best expected value given what was
// seen, less the best expected value without it. values hold one row for each
// option, one column for each draw. The expectation given the observation is a
// regression on its normal scores (Strong, Oakley and Brennan, Medical Decision
// Making 34 (2014) 311-326).
func Choice(values [][]float64, observations [][]float64) float64 {
	columns := make([][]float64, len(observations))
	for i, o := range observations {
		columns[i] = scores(o)
	}
	best := math.Inf(-1)
	after := make([]float64, len(values[0]))
	for i := range after {
		after[i] = math.Inf(-1)
	}
	for _, v := range values {
		best = math.Max(best, meanOf(v))
		for i, f := range regress(v, columns).fitted {
			after[i] = math.Max(after[i], f)
		}
	}
	return math.Max(meanOf(after)-best, 0)
}
