package calibrate

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Fit is a least-squares estimate.
type Fit struct {
	Parameters   []float64     `json:"parameters"`
	Covariance   *mat.SymDense `json:"-"` // of the parameters, scaled by Variance
	SumOfSquares float64       `json:"sum_of_squares"`
	Variance     float64       `json:"variance"` // of one residual: sum of squares over degrees of freedom
	Iterations   int           `json:"iterations"`
	Converged    bool          `json:"converged"`
}

// StandardError of one parameter, from the scatter of the residuals.
func (f *Fit) StandardError(i int) float64 { return math.Sqrt(f.Covariance.At(i, i)) }

// residuals is a problem of least squares. jacobian may be nil: then central
// differences are taken.
type residuals struct {
	count    int
	at       func(p, out []float64)
	jacobian func(p []float64, out *mat.Dense)
	damping  float64 // to begin with; 0: farDamping
	unit     float64 // a change of a parameter that matters, where they may be 0
}

// farDamping keeps the first steps short, for starts far from the minimum.
const farDamping = 100.0

// errNotFinite is a start from which nothing can be computed.
var errNotFinite = errors.New("calibrate: the residuals at the start of a fit are not finite")

// leastSquares minimises the sum of squared residuals by the method of
// Levenberg (Quarterly of Applied Mathematics 2 (1944) 164) and Marquardt
// (SIAM Journal on Applied Mathematics 11 (1963) 431), each parameter scaled by
// the largest length its column of the Jacobian has had (Moré, Lecture Notes in
// Mathematics 630 (1978) 105; all from memory). tolerance is the relative
// change of every parameter and of the sum at which it ends.
func leastSquares(start []float64, r residuals, most int, tolerance float64) (*Fit, error) {
	n := len(start)
	p, trial := append([]float64(nil), start...), make([]float64, n)
	value, next := make([]float64, r.count), make([]float64, r.count)
	r.at(p, value)
	sum := squares(value)
	if math.IsNaN(sum) || math.IsInf(sum, 0) {
		return nil, errNotFinite
	}
	f := &Fit{}
	jacobian := mat.NewDense(r.count, n, nil)
	scale := make([]float64, n)
	damping := r.damping
	if damping <= 0 {
		damping = farDamping
	}
	for f.Iterations = 0; f.Iterations < most && !f.Converged; f.Iterations++ {
		r.differentiate(p, jacobian)
		for j := range scale {
			scale[j] = max(scale[j], mat.Norm(jacobian.ColView(j), 2), 1e-300)
		}
		for tries := 0; ; tries++ {
			step := dampedStep(jacobian, value, scale, damping)
			small := true
			for j := range p {
				trial[j] = p[j] - step[j]
				small = small && math.Abs(step[j]) <= tolerance*(math.Abs(p[j])+max(r.unit, tolerance))
			}
			r.at(trial, next)
			now := squares(next)
			if now <= sum {
				f.Converged = small || sum-now <= tolerance*tolerance*sum && damping < 1
				copy(p, trial)
				value, next = next, value
				sum, damping = now, max(damping/9, 1e-15)
				break
			}
			if small || tries > 40 {
				f.Converged = small
				break
			}
			damping *= 4
		}
	}
	r.differentiate(p, jacobian)
	f.Parameters, f.SumOfSquares = p, sum
	f.Variance = sum / float64(max(r.count-n, 1))
	f.Covariance = covarianceOf(jacobian, f.Variance)
	return f, nil
}

func squares(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	return sum
}

// differentiate fills in the Jacobian.
func (r *residuals) differentiate(p []float64, out *mat.Dense) {
	if r.jacobian != nil {
		r.jacobian(p, out)
		return
	}
	at := append([]float64(nil), p...)
	up, down := make([]float64, r.count), make([]float64, r.count)
	for j := range p {
		// The cube root of the machine's precision balances rounding against
		// the third derivative.
		h := 6e-6 * math.Max(math.Abs(p[j]), max(r.unit, 1e-10))
		at[j] = p[j] + h
		r.at(at, up)
		at[j] = p[j] - h
		r.at(at, down)
		at[j] = p[j]
		for i := range up {
			out.Set(i, j, (up[i]-down[i])/(2*h))
		}
	}
}

// dampedStep solves min |J s - r|2 + damping |D s|2 by QR of both together.
func dampedStep(jacobian *mat.Dense, value, scale []float64, damping float64) []float64 {
	rows, n := jacobian.Dims()
	a, b := mat.NewDense(rows+n, n, nil), mat.NewVecDense(rows+n, nil)
	for i := range rows {
		for j := range n {
			a.Set(i, j, jacobian.At(i, j)/scale[j])
		}
		b.SetVec(i, value[i])
	}
	for j := range n {
		a.Set(rows+j, j, math.Sqrt(damping))
	}
	var qr mat.QR
	qr.Factorize(a)
	step := mat.NewVecDense(n, nil)
	_ = qr.SolveVecTo(step, false, b) // a bad condition only makes a poor step, which is then refused
	out := make([]float64, n)
	for j := range out {
		out[j] = step.AtVec(j) / scale[j]
	}
	return out
}

// covarianceOf is variance (JtJ)^-1, by QR of the Jacobian with its columns
// scaled. Where the data do not fix a parameter its variance is infinite.
func covarianceOf(jacobian *mat.Dense, variance float64) *mat.SymDense {
	rows, n := jacobian.Dims()
	scaled, scale := mat.DenseCopyOf(jacobian), make([]float64, n)
	for j := range n {
		scale[j] = max(mat.Norm(jacobian.ColView(j), 2), 1e-300)
		for i := range rows {
			scaled.Set(i, j, scaled.At(i, j)/scale[j])
		}
	}
	var svd mat.SVD
	out := mat.NewSymDense(n, nil)
	if !svd.Factorize(scaled, mat.SVDThin) {
		for i := range n {
			out.SetSym(i, i, math.Inf(1))
		}
		return out
	}
	var v mat.Dense
	svd.VTo(&v)
	for k, s := range svd.Values(nil) {
		for i := range n {
			for j := i; j < n; j++ {
				out.SetSym(i, j, out.At(i, j)+variance*v.At(i, k)*v.At(j, k)/(s*s)/(scale[i]*scale[j]))
			}
		}
	}
	return out
}
