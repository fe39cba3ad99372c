package predict

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/mat"

	"meltspan/design"
)

// Member is a design that takes part in an ensemble: what belongs to one trial
// (its weighing, its setting up, its day) is drawn for the trial named; with no
// name it stays as the design states it. What is unknown about the things
// themselves is shared by all members.
type Member struct {
	Design *design.Design
	Trial  string
}

// Ensemble is draws of what is uncertain about several designs and trials at
// once: a standard normal deviate for each input in each draw, as a design's own
// statement of value and spread is meant; or, conditioned, draws from what
// trials have taught.
type Ensemble struct {
	rows    int
	column  map[string]int
	z       *mat.Dense
	members []member
}

type member struct {
	design    *design.Design
	variables []variable
	columns   []int
	cold      bool
}

// NewEnsemble draws from what the designs themselves say.
func NewEnsemble(members []Member, draws int, seed uint64) (*Ensemble, error) {
	e := &Ensemble{rows: draws, column: map[string]int{}}
	for _, m := range members {
		vs, err := variables(m.Design)
		if err != nil {
			return nil, err
		}
		own := member{design: m.Design, cold: m.Design.ColdStore()}
		for _, v := range vs {
			key := v.Path
			if v.Own {
				if m.Trial == "" {
					continue
				}
				key = m.Trial + "|" + v.Path
			}
			c, known := e.column[key]
			if !known {
				c = len(e.column)
				e.column[key] = c
			}
			own.variables, own.columns = append(own.variables, v), append(own.columns, c)
		}
		e.members = append(e.members, own)
	}
	e.z = deviates(draws, len(e.column), seed)
	return e, nil
}

// Condition puts draws in the place of what the design itself says about those
// inputs: rows are taken in proportion to their weight, and a value becomes the
// deviate at which the design, with the spread it states, has it. Inputs without
// draws stay as drawn.
func (e *Ensemble) Condition(d *design.Design, draws Draws) error {
	rows, err := draws.Resampled(e.rows)
	if err != nil {
		return err
	}
	vs, err := variables(d)
	if err != nil {
		return err
	}
	for k, path := range draws.Paths {
		column, used := e.column[path]
		i := indexOf(vs, path)
		switch {
		case i < 0:
			return fmt.Errorf("the design has no uncertain input %q", path)
		case !used: // belongs to one trial, and the next is another
			continue
		}
		for row, from := range rows {
			z := draws.Rows[from][k]
			if !draws.Deviates {
				z = vs[i].deviate(z)
			}
			if math.IsNaN(z) || math.IsInf(z, 0) {
				return fmt.Errorf("%s cannot be %g", path, draws.Rows[from][k])
			}
			e.z.Set(row, column, z)
		}
	}
	return nil
}

func indexOf(vs []variable, path string) int {
	for i := range vs {
		if vs[i].Path == path {
			return i
		}
	}
	return -1
}

// deviate is the inverse of free.
func (v *variable) deviate(x float64) float64 {
	value, spread := v.Value.SI, v.Value.Spread
	switch {
	case v.symmetric():
		return (x - value) / spread
	case v.share():
		return (math.Log(x/(1-x)) - math.Log(value/(1-value))) * value * (1 - value) / spread
	}
	relative := spread / value
	return math.Log(x/value) / math.Sqrt(math.Log1p(relative*relative))
}

// Size is the number of draws.
func (e *Ensemble) Size() int { return e.rows }

// Deviates are the draws of one input that members share, nil where none has
// it.
func (e *Ensemble) Deviates(path string) []float64 {
	c, ok := e.column[path]
	if !ok {
		return nil
	}
	return mat.Col(nil, c, e.z)
}

// Shared lists the uncertain inputs that the first member shares with others.
func (e *Ensemble) Shared() []design.Input {
	var out []design.Input
	for _, v := range e.members[0].variables {
		if !v.Own {
			out = append(out, v.Input)
		}
	}
	return out
}

// Each calls visit for every draw, on all cores, with the designs of all members
// in that draw; they are valid during the call only. Draws that an interruption
// or a failure left out are not visited.
func (e *Ensemble) Each(ctx context.Context, progress func(done, of int), visit func(row int, designs []*design.Design) error) error {
	var next, finished atomic.Int64
	var wait sync.WaitGroup
	var once sync.Once
	var failed error
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			own := make([]*design.Design, len(e.members))
			for i := range e.members {
				own[i] = e.members[i].design.Clone()
			}
			for ctx.Err() == nil {
				row := int(next.Add(1)) - 1
				if row >= e.rows {
					return
				}
				for i := range e.members {
					m := &e.members[i]
					for k := range m.variables {
						m.variables[k].set(own[i]).SI = m.variables[k].at(e.z.At(row, m.columns[k]))
					}
					own[i].Rederive()
				}
				if err := visit(row, own); err != nil {
					once.Do(func() { failed = err })
					stop()
					return
				}
				if done := int(finished.Add(1)); progress != nil {
					progress(done, e.rows)
				}
			}
		})
	}
	wait.Wait()
	if failed == nil && int(finished.Load()) < e.rows {
		failed = ctx.Err()
	}
	return failed
}
