package field

import (
	"context"
	"errors"
	"math"

	"meltspan/internal/sparse"
)

// stepper solves the implicit stages of a step.
type stepper struct {
	*system
	ctx    context.Context
	solver Solver
	// exact is the temperature error, K, that a stage may leave in a cell.
	exact float64

	work    *sparse.Gradients
	pre     sparse.Preconditioner
	preTau  float64 // for which pre was made
	held    []bool  // cells that melt in this iteration
	preHeld []bool  // and when pre was made
	weight  []float64
	right   []float64
	change  []float64
	carried []float64
	steps   int // of the conjugate gradients
}

func newStepper(ctx context.Context, s *system, solver Solver, exact float64) *stepper {
	n := len(s.cells)
	vector := func() []float64 { return make([]float64, n) }
	return &stepper{
		system: s, ctx: ctx, solver: solver, exact: exact, work: sparse.NewGradients(n),
		held: make([]bool, n), preHeld: make([]bool, n), weight: vector(), right: vector(), change: vector(), carried: vector(),
	}
}

const (
	newtonRounds = 40
	// newtonConducts is after how many rounds the conductivities of cells that
	// melt are kept: a cell at the edge of melting can change them for ever.
	newtonConducts = 4
	// holding keeps the temperature of a melting cell within an iteration: its
	// diagonal is raised by this factor.
	holding = 1e9
	// reuse is the ratio of time steps within which a sparse.Preconditioner serves.
	reuse = 1.3
)

// point is a stage: enthalpies per volume, J/m3, temperatures, K, and the flows
// into the cells, W.
type point struct {
	enthalpy, temperature, flow []float64
}

func newPoint(n int) *point {
	return &point{make([]float64, n), make([]float64, n), make([]float64, n)}
}

// solve finds the stage with
//
//	V (H - base) = tau flow(T(H), time),
//
// from the enthalpies that out holds as a guess, and books what conditions and
// sources bring at it, times the weight of the stage, s, in the ledger.
func (s *stepper) solve(time, tau, weight float64, base []float64, out *point, ledger *Ledger) error {
	if err := s.setTime(time); err != nil {
		return err
	}
	for round := range newtonRounds {
		s.evaluate(out, round < newtonConducts)
		worst := s.residual(tau, base, out)
		if math.IsNaN(worst) {
			return ErrNotConverged
		}
		if worst <= s.exact {
			s.exchange(out.temperature, time, weight, ledger)
			s.book(tau, base, out)
			return nil
		}
		if err := s.iterate(tau, out); err != nil {
			return err
		}
	}
	return ErrNotConverged
}

// evaluate works out temperatures and flows from enthalpies.
func (s *stepper) evaluate(at *point, conduct bool) {
	sparse.Rows(len(at.enthalpy), func(from, to int) {
		for i := from; i < to; i++ {
			m, h := s.material(i), at.enthalpy[i]
			at.temperature[i] = m.temperature(h)
			s.held[i] = m.at(h) == melting
			if conduct {
				s.share[i] = m.share(h)
			}
		}
	})
	s.system.temperature = at.temperature
	if conduct && len(s.changing) > 0 {
		s.conduct()
		s.face()
	}
	s.flows(at.temperature, at.flow)
}

// residual sets right to what the stage lacks, W, and returns the largest share
// of it in a cell's temperature, K.
func (s *stepper) residual(tau float64, base []float64, at *point) float64 {
	sparse.Rows(len(base), func(from, to int) {
		for i := from; i < to; i++ {
			h := at.enthalpy[i]
			storage := s.volume[i] * s.material(i).capacity(h) / tau
			s.right[i] = s.volume[i]*(base[i]-h)/tau + at.flow[i]
			s.matrix.Diagonal[i] = s.inner[i] + s.outer[i] + storage
			s.weight[i] = 1 / s.matrix.Diagonal[i]
		}
	})
	return s.largest(s.right)
}

// largest of the residuals as shares of temperatures, K. NaN stays NaN.
func (s *stepper) largest(right []float64) float64 {
	worst := 0.0
	for i, r := range right {
		worst = max(worst, math.Abs(r)*s.weight[i])
	}
	return worst
}

// iterate is a step of Newton's method. A melting cell's temperature does not
// answer to its enthalpy, so it is held, and its enthalpy takes up the flows
// that the others' changes bring.
func (s *stepper) iterate(tau float64, at *point) error {
	copy(s.carried, s.right)
	fresh := s.pre == nil || tau > reuse*s.preTau || s.preTau > reuse*tau
	for i, h := range s.held {
		if h {
			s.matrix.Diagonal[i] *= holding
			s.right[i] = 0
		}
		fresh = fresh || h != s.preHeld[i]
	}
	if fresh {
		s.pre, s.preTau = s.solver.prepare(s.matrix), tau
		copy(s.preHeld, s.held)
	}
	clear(s.change)
	steps, err := s.work.Solve(s.ctx, s.matrix, s.pre, s.right, s.change, func(r []float64) bool {
		return s.largest(r) <= s.exact/3
	})
	s.steps += steps
	if err != nil {
		return err
	}
	sparse.Rows(len(s.change), func(from, to int) {
		for i := from; i < to; i++ {
			h := at.enthalpy[i]
			if !s.held[i] {
				at.enthalpy[i] = h + s.material(i).capacity(h)*s.change[i]
				continue
			}
			sum := s.carried[i]
			columns, values := s.matrix.Row(i)
			for k, j := range columns {
				sum -= values[k] * s.change[j]
			}
			at.enthalpy[i] = h + sum*tau/s.volume[i]
		}
	})
	return nil
}

// book lets the flows say what the enthalpies are, so that energy closes
// whatever the iteration left.
func (s *stepper) book(tau float64, base []float64, at *point) {
	sparse.Rows(len(base), func(from, to int) {
		for i := from; i < to; i++ {
			at.enthalpy[i] = base[i] + tau*at.flow[i]/s.volume[i]
			at.temperature[i] = s.material(i).temperature(at.enthalpy[i])
		}
	})
}

// repeatable reports whether a shorter step may mend a failure.
func repeatable(err error) bool { return errors.Is(err, ErrNotConverged) }
