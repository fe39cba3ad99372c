package calibrate

import (
	"context"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
)

// tries is how many draws are looked at for a start where the nominal design
// does not run at all.
const tries = 48

// begin finds a point from which the data can be approached: the nominal
// design, or the best of some draws where that never runs.
func (in *inference) begin(ctx context.Context, source *rand.Rand) error {
	nominal, err := in.evaluate(ctx, [][]float64{in.center})
	if err != nil {
		return err
	}
	runs := true
	for k, s := range in.subjects {
		if (s.anchored || s.floor > 0) && nominal[0][k].runTime < 5*shortest {
			runs = false
		}
	}
	if runs {
		return nil
	}
	rows := make([][]float64, tries)
	for i := range rows {
		rows[i] = make([]float64, len(in.columns))
		for c := range rows[i] {
			rows[i][c] = source.NormFloat64()
		}
	}
	out, err := in.evaluate(ctx, rows)
	if err != nil {
		return err
	}
	in.minor, in.jacobian = nil, nil
	in.renew(nil)
	best := in.logLikelihood(nominal[0])
	for i := range rows {
		if l := in.logLikelihood(out[i]); l > best {
			best, in.center = l, rows[i]
		}
	}
	return nil
}

// settle moves the centre to the most probable values of the active
// coordinates, all others at their means, and linearises the model there.
func (in *inference) settle(ctx context.Context, steps int) error {
	if len(in.active) > 0 && in.count > 0 {
		if err := in.climb(ctx, steps); err != nil {
			return err
		}
	}
	value, jacobian, err := in.linearise(ctx, in.center, in.all())
	if err != nil {
		return err
	}
	in.at, in.jacobian = value, jacobian
	in.renew(nil)
	return nil
}

func (in *inference) climb(ctx context.Context, steps int) error {
	start := make([]float64, len(in.active))
	for i, c := range in.active {
		start[i] = in.center[c]
	}
	place := func(p []float64) []float64 {
		row := append([]float64(nil), in.center...)
		for i, c := range in.active {
			row[c] = p[i]
		}
		for _, c := range in.minor {
			row[c] = 0
		}
		return row
	}
	fit, err := leastSquares(start, residuals{
		count: in.count + len(in.active), damping: 1e-2,
		at: func(p, out []float64) {
			rows, _ := in.evaluate(ctx, [][]float64{place(p)})
			if ctx.Err() != nil {
				out[0] = math.NaN()
				return
			}
			copy(out, in.whiten(in.misfit(in.gather(rows[0]))))
			copy(out[in.count:], p)
		},
		jacobian: func(p []float64, out *mat.Dense) {
			out.Zero()
			_, j, err := in.linearise(ctx, place(p), in.active)
			if err != nil {
				return
			}
			var white mat.Dense
			solveLower(&in.total, &white, j)
			for i := range in.active {
				for r := range in.count {
					out.Set(r, i, -white.At(r, i))
				}
				out.Set(in.count+i, i, 1)
			}
		},
	}, steps, 0.02)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		return err
	}
	in.center = place(fit.Parameters)
	return nil
}

// laplace is the covariance of the active coordinates near the mode: the
// inverse of I + Jt C^-1 J.
func (in *inference) laplace(coordinates []int, by *mat.Cholesky) *mat.SymDense {
	n := len(coordinates)
	precision := mat.NewSymDense(n, nil)
	var white, square mat.Dense
	if in.count > 0 {
		solveLower(by, &white, in.part(coordinates))
		square.Mul(white.T(), &white)
	}
	for i := range n {
		for j := range i + 1 {
			v := 0.0
			if in.count > 0 {
				v = square.At(i, j)
			}
			if i == j {
				v++
			}
			precision.SetSym(i, j, v)
		}
	}
	var chol mat.Cholesky
	chol.Factorize(precision)
	out := mat.NewSymDense(n, nil)
	_ = chol.InverseTo(out) // I plus a square is well conditioned
	return out
}
