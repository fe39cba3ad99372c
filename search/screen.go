package search

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"

	"meltspan/predict"
)

// Screen works out the figures of candidates, wherever it likes. An entry may
// be nil only together with an error.
type Screen func(ctx context.Context, p *Problem, scenario *predict.Scenario, at [][]float64) ([]*Figures, error)

// Local screens on all cores of this machine.
func Local(ctx context.Context, p *Problem, scenario *predict.Scenario, at [][]float64) ([]*Figures, error) {
	out := make([]*Figures, len(at))
	var next atomic.Int64
	var wait sync.WaitGroup
	var once sync.Once
	var failed error
	for range min(runtime.GOMAXPROCS(0), len(at)) {
		wait.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= len(at) {
					return
				}
				f, err := p.figures(ctx, at[i], scenario, false)
				if err != nil {
					once.Do(func() { failed = err })
					return
				}
				out[i] = &f
			}
		})
	}
	wait.Wait()
	if failed == nil {
		failed = ctx.Err()
	}
	return out, failed
}
