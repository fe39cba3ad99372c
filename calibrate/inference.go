package calibrate

import (
	"context"
	"math"

	"gonum.org/v1/gonum/mat"
)

// inference is a set of subjects with everything that their likelihood needs.
// It works in coordinates that are independent standard normal beforehand: the
// deviates themselves, or those of a belief (see belief.go).
type inference struct {
	subjects []*subject
	columns  []Column
	belief   *belief // nil: the deviates are the coordinates
	offset   []int   // of each subject's features in the whole
	count    int     // of features in all
	value    []float64
	own      []map[int]bool // by subject: the coordinates that move it; nil: any may

	center   []float64 // where the model is linearised
	at       []float64 // the features there
	jacobian *mat.Dense
	active   []int // coordinates that are followed exactly
	minor    []int // coordinates that count by their straight lines only
	noise    *mat.SymDense
	total    mat.Cholesky // of noise and minor coordinates together
	runs     int
}

func newInference(subjects []*subject, columns []Column, b *belief) *inference {
	in := &inference{subjects: subjects, columns: columns, belief: b}
	for _, s := range subjects {
		in.offset = append(in.offset, in.count)
		in.count += len(s.features)
		for i := range s.features {
			in.value = append(in.value, s.features[i].value)
		}
		moved := map[int]bool{}
		for _, c := range s.columns {
			moved[c] = true
		}
		for _, c := range s.pace {
			if c >= 0 {
				moved[c] = true
			}
		}
		if s.shift >= 0 {
			moved[s.shift] = true
		}
		in.own = append(in.own, moved)
	}
	in.noise = mat.NewSymDense(max(in.count, 1), nil)
	for k, s := range subjects {
		c := s.covariance()
		for i := range s.features {
			for j := range i + 1 {
				in.noise.SetSym(in.offset[k]+i, in.offset[k]+j, c.At(i, j))
			}
		}
	}
	in.center = make([]float64, len(columns))
	return in
}

// moves reports whether a coordinate can move a subject at all.
func (in *inference) moves(subject, coordinate int) bool {
	return in.own[subject][coordinate] || in.belief != nil && in.belief.moves(coordinate)
}

// deviates turns coordinates into the deviates of all columns.
func (in *inference) deviates(coordinates []float64) []float64 {
	if in.belief == nil {
		return coordinates
	}
	return in.belief.deviates(coordinates)
}

// evaluate runs every subject for each row of coordinates. out[row][subject].
func (in *inference) evaluate(ctx context.Context, rows [][]float64) ([][]drawn, error) {
	out := make([][]drawn, len(rows))
	tasks := make([]task, 0, len(rows)*len(in.subjects))
	for i, row := range rows {
		out[i] = make([]drawn, len(in.subjects))
		z := in.deviates(row)
		for k, s := range in.subjects {
			tasks = append(tasks, task{s, z, &out[i][k]})
		}
	}
	in.runs += len(tasks)
	return out, runAll(ctx, tasks)
}

// gather puts the features of one row's runs into one list.
func (in *inference) gather(row []drawn) []float64 {
	out := make([]float64, 0, in.count)
	for k := range row {
		out = append(out, row[k].features...)
	}
	return out
}

// difference is the step of the differences, in standard deviations: well above
// the noise of the network's steps, well below its bends.
const difference = 0.3

// linearise works out the features and their derivatives along coordinates at a
// point, each subject only where it can move.
func (in *inference) linearise(ctx context.Context, at []float64, along []int) (value []float64, jacobian *mat.Dense, err error) {
	base := make([]drawn, len(in.subjects))
	moved := make([][]drawn, len(along))
	var tasks []task
	zero := in.deviates(at)
	for k, s := range in.subjects {
		tasks = append(tasks, task{s, zero, &base[k]})
	}
	for i, c := range along {
		moved[i] = make([]drawn, len(in.subjects))
		row := append([]float64(nil), at...)
		row[c] += difference
		z := in.deviates(row)
		for k, s := range in.subjects {
			if in.moves(k, c) {
				tasks = append(tasks, task{s, z, &moved[i][k]})
			}
		}
	}
	in.runs += len(tasks)
	if err := runAll(ctx, tasks); err != nil {
		return nil, nil, err
	}
	value = in.gather(base)
	jacobian = mat.NewDense(max(in.count, 1), max(len(along), 1), nil)
	for i := range along {
		for k := range in.subjects {
			for f := range moved[i][k].features {
				jacobian.Set(in.offset[k]+f, i, (moved[i][k].features[f]-base[k].features[f])/difference)
			}
		}
	}
	return value, jacobian, nil
}

// all lists every coordinate.
func (in *inference) all() []int {
	out := make([]int, len(in.columns))
	for i := range out {
		out[i] = i
	}
	return out
}

// split chooses the coordinates to follow exactly: those asked for by path, or
// those that move the data most, each by at least leastEffect standard
// deviations of their noise, most of them at most.
func (in *inference) split(asked map[string]bool, most int) {
	in.minor = nil
	for c := range in.columns {
		if in.belief == nil && Assumed(in.columns[c].Path) {
			in.minor = append(in.minor, c)
		}
	}
	in.renew(nil) // noise, and the paces with it
	effect := make([]float64, len(in.columns))
	var white mat.Dense
	solveLower(&in.total, &white, in.jacobian)
	for c := range effect {
		if in.count > 0 {
			effect[c] = mat.Norm(white.ColView(c), 2)
		}
		if in.belief == nil && Assumed(in.columns[c].Path) {
			effect[c] = 0 // straight by construction
		}
	}
	in.active, in.minor = nil, nil
	chosen := make([]bool, len(effect))
	for range most {
		best := -1
		for c := range effect {
			if !chosen[c] && effect[c] > leastEffect && (best < 0 || effect[c] > effect[best]) && (asked == nil || asked[in.columns[c].Path]) {
				best = c
			}
		}
		if best < 0 {
			break
		}
		chosen[best] = true
	}
	for c := range effect {
		if chosen[c] {
			in.active = append(in.active, c)
		} else {
			in.minor = append(in.minor, c)
		}
	}
}

// leastEffect is the movement of the data, in standard deviations of their
// noise for one of the input, below which a straight line is all that an input
// needs.
const leastEffect = 0.3

// factorize is Cholesky's with a little added to the diagonal where rounding
// asks for it.
func (in *inference) factorize(out *mat.Cholesky, a *mat.SymDense) {
	for extra := 0.0; !out.Factorize(a); {
		extra = max(10*extra, 1e-12)
		grown := mat.NewSymDense(a.SymmetricDim(), nil)
		grown.CopySym(a)
		for i := range a.SymmetricDim() {
			grown.SetSym(i, i, a.At(i, i)*(1+extra)+1e-300)
		}
		a = grown
		if in.count == 0 {
			a.SetSym(0, 0, 1)
		}
	}
}

// solveLower gives L^-1 b for a = L L^T.
func solveLower(a *mat.Cholesky, out *mat.Dense, b mat.Matrix) {
	var l mat.TriDense
	a.LTo(&l)
	_ = out.Solve(&l, b) // a factorised matrix is not singular
}

// renew takes the minor coordinates and extra variances of the features into
// the covariance.
func (in *inference) renew(extra []float64) {
	total := mat.NewSymDense(in.noise.SymmetricDim(), nil)
	total.CopySym(in.noise)
	for i := range extra {
		total.SetSym(i, i, total.At(i, i)+extra[i])
	}
	if len(in.minor) > 0 {
		j := in.part(in.minor)
		var both mat.Dense
		both.Mul(j, j.T())
		for a := range in.count {
			for b := range a + 1 {
				total.SetSym(a, b, total.At(a, b)+both.At(a, b))
			}
		}
	}
	in.factorize(&in.total, total)
}

// part is the Jacobian of some coordinates.
func (in *inference) part(coordinates []int) *mat.Dense {
	rows, _ := in.jacobian.Dims()
	out := mat.NewDense(rows, max(len(coordinates), 1), nil)
	for i, c := range coordinates {
		for r := range rows {
			out.Set(r, i, in.jacobian.At(r, c))
		}
	}
	return out
}

// whiten gives L^-1 v with the total covariance's factor.
func (in *inference) whiten(v []float64) []float64 {
	if in.count == 0 {
		return nil
	}
	var out mat.Dense
	solveLower(&in.total, &out, mat.NewDense(len(v), 1, v))
	return out.RawMatrix().Data
}

// misfit is data less features.
func (in *inference) misfit(features []float64) []float64 {
	out := make([]float64, len(features))
	for i := range out {
		out[i] = in.value[i] - features[i]
	}
	return out
}

// logLikelihood of one row's runs, but for a constant. Runs that were known to
// go on past a moment are weighed by the chance that they did.
func (in *inference) logLikelihood(row []drawn) float64 {
	sum := -squares(in.whiten(in.misfit(in.gather(row)))) / 2
	for k, s := range in.subjects {
		if s.floor > 0 {
			sum += logBeyond(math.Log(max(row[k].runTime, shortest)/s.floor) / s.paceSpread())
		}
	}
	return sum
}

// paceSpread is the standard deviation of the paces of design and trial
// together.
func (s *subject) paceSpread() float64 { return math.Hypot(s.paceSize[0], s.paceSize[1]) }

// logBeyond is the logarithm of the standard normal distribution function.
func logBeyond(x float64) float64 {
	if x < -8 { // leading term of the asymptotic series
		return -x*x/2 - math.Log(-x*math.Sqrt(2*math.Pi))
	}
	return math.Log(math.Erfc(-x/math.Sqrt2) / 2)
}
