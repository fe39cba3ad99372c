package calibrate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// surrogate stands for the runs of the network near the mode: each feature a
// polynomial of second degree in the active coordinates, which are taken about
// the mode in units of the posterior's own spread. Its error is measured on runs
// that it was not fitted to.
type surrogate struct {
	n      int        // active coordinates
	terms  int        // 1 + n + n(n+1)/2
	center []float64  // of the active coordinates
	lower  *mat.Dense // from local to active coordinates
	fit    *mat.Dense // features by terms
	floors *mat.Dense // logarithm of the run time by terms, for subjects still running
	error  []float64  // of each feature: variance on runs held back

	// The likelihood as a quadratic form of the terms.
	square *mat.SymDense
	line   []float64
	level  float64
	log    []float64 // of the floors
	spread []float64
}

func termsOf(n int) int { return 1 + n + n*(n+1)/2 }

// basis fills in the terms at a point.
func (s *surrogate) basis(x, out []float64) {
	out[0] = 1
	copy(out[1:], x)
	k := 1 + s.n
	for i := range s.n {
		for j := range i + 1 {
			out[k] = x[i] * x[j]
			k++
		}
	}
}

// coordinates of the active unknowns for a local point.
func (s *surrogate) coordinates(x []float64) []float64 {
	out := make([]float64, s.n)
	for i := range out {
		out[i] = s.center[i]
		for j := range i + 1 {
			out[i] += s.lower.At(i, j) * x[j]
		}
	}
	return out
}

// local is the point that stands for a row: coordinates undone.
func (s *surrogate) local(row []float64, active []int) []float64 {
	x := make([]float64, s.n)
	for i, c := range active {
		x[i] = row[c] - s.center[i]
		for j := range i {
			x[i] -= s.lower.At(i, j) * x[j]
		}
		x[i] /= s.lower.At(i, i)
	}
	return x
}

// example is one set of runs to learn from.
type example struct {
	x     []float64
	row   []drawn
	value []float64
	like  float64 // logarithm of the likelihood by the runs
}

// learn fits the polynomials to examples by least squares, with a ridge so
// small that it only serves where examples are few, and measures their error on
// others.
func (s *surrogate) learn(in *inference, examples, others []example) {
	rows := len(examples)
	a := mat.NewDense(rows+s.terms, s.terms, nil)
	y := mat.NewDense(rows+s.terms, max(in.count, 1), nil)
	t := mat.NewDense(rows+s.terms, max(len(in.subjects), 1), nil)
	phi := make([]float64, s.terms)
	for i, e := range examples {
		// Runs far from the data count for less: the polynomial is to be right
		// where the posterior is.
		weight := math.Exp(-squares(e.x) / float64(8*max(s.n, 1)))
		s.basis(e.x, phi)
		for k, v := range phi {
			a.Set(i, k, weight*v)
		}
		for f, v := range e.value {
			y.Set(i, f, weight*v)
		}
		for k := range in.subjects {
			t.Set(i, k, weight*math.Log(max(e.row[k].runTime, shortest)))
		}
	}
	for k := 1 + s.n; k < s.terms; k++ {
		a.Set(rows+k, k, 1e-3)
	}
	var qr mat.QR
	qr.Factorize(a)
	var b, floors mat.Dense
	_ = qr.SolveTo(&b, false, y) // the ridge and the number of examples keep it solvable
	_ = qr.SolveTo(&floors, false, t)
	s.fit, s.floors = mat.DenseCopyOf(b.T()), mat.DenseCopyOf(floors.T())
	s.error = make([]float64, in.count)
	total := 0.0
	for _, e := range others {
		weight := math.Exp(-squares(e.x) / float64(2*max(s.n, 1)))
		total += weight
		for f, v := range s.features(e.x) {
			s.error[f] += weight * (v - e.value[f]) * (v - e.value[f])
		}
	}
	for f := range s.error {
		s.error[f] /= math.Max(total, 1e-300)
	}
}

// features by the polynomials.
func (s *surrogate) features(x []float64) []float64 {
	phi := make([]float64, s.terms)
	s.basis(x, phi)
	rows, _ := s.fit.Dims()
	out := make([]float64, rows)
	mat.NewVecDense(rows, out).MulVec(s.fit, mat.NewVecDense(s.terms, phi))
	return out
}

// condense makes the likelihood a quadratic form of the terms, so that one
// evaluation costs the same however long the logs are.
func (s *surrogate) condense(in *inference) {
	s.square, s.line, s.level = mat.NewSymDense(s.terms, nil), make([]float64, s.terms), 0
	if in.count > 0 {
		var white mat.Dense
		solveLower(&in.total, &white, s.fit)
		data := in.whiten(in.value)
		var square mat.Dense
		square.Mul(white.T(), &white)
		for i := range s.terms {
			for j := range i + 1 {
				s.square.SetSym(i, j, square.At(i, j))
			}
		}
		mat.NewVecDense(s.terms, s.line).MulVec(white.T(), mat.NewVecDense(len(data), data))
		s.level = squares(data)
	}
	s.log, s.spread = nil, nil
	for _, subject := range in.subjects {
		s.log = append(s.log, 0)
		s.spread = append(s.spread, 0)
		if subject.floor > 0 {
			s.log[len(s.log)-1], s.spread[len(s.spread)-1] = math.Log(subject.floor), subject.paceSpread()
		}
	}
}

// density is the scratch space of one chain.
type density struct {
	*surrogate
	phi, pull []float64
}

func (s *surrogate) newDensity() *density {
	return &density{s, make([]float64, s.terms), make([]float64, s.terms)}
}

// logLikelihood at a local point, and its slope along the terms in d.pull.
func (d *density) logLikelihood(x []float64) float64 {
	d.basis(x, d.phi)
	phi := mat.NewVecDense(d.terms, d.phi)
	pull := mat.NewVecDense(d.terms, d.pull)
	pull.MulVec(d.square, phi)
	sum := -d.level / 2
	for k := range d.phi {
		sum += d.phi[k] * (d.line[k] - d.pull[k]/2)
		d.pull[k] = d.line[k] - d.pull[k]
	}
	for k := range d.log {
		if d.spread[k] == 0 {
			continue
		}
		row := d.floors.RawRowView(k)
		u := -d.log[k]
		for i, v := range row {
			u += v * d.phi[i]
		}
		u /= d.spread[k]
		l := logBeyond(u)
		sum += l
		slope := math.Exp(-u*u/2-l) / math.Sqrt(2*math.Pi) / d.spread[k]
		for i, v := range row {
			d.pull[i] += slope * v
		}
	}
	return sum
}

// at is the logarithm of the posterior density at a local point, but for a
// constant, and its gradient.
func (d *density) at(x, gradient []float64) float64 {
	sum := d.logLikelihood(x)
	k := 1 + d.n
	copy(gradient, d.pull[1:k])
	for i := range d.n {
		for j := range i + 1 {
			gradient[i] += d.pull[k] * x[j]
			gradient[j] += d.pull[k] * x[i]
			k++
		}
	}
	p := d.coordinates(x)
	for i, v := range p {
		sum -= v * v / 2
		for j := range i + 1 {
			gradient[j] -= v * d.lower.At(i, j)
		}
	}
	return sum
}
