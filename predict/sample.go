package predict

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"sort"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/stat/samplemv"

	"meltspan/design"
	"meltspan/network"
	"meltspan/quantity"
	"meltspan/result"
)

// deviates draws samples of standard normal deviates by a scrambled Halton
// sequence (Owen 2017, arXiv 1706.02808, as gonum has it): evenly spread, and
// the same for the same seed.
func deviates(samples, dimensions int, seed uint64) *mat.Dense {
	z := mat.NewDense(samples, max(dimensions, 1), nil)
	source := rand.NewPCG(seed, 0x6d656c74)
	samplemv.Halton{
		Kind: samplemv.Owen,
		Q:    distmv.NewUnitUniform(max(dimensions, 1), source),
		Src:  source,
	}.Sample(z)
	normal := distuv.UnitNormal
	z.Apply(func(_, _ int, u float64) float64 {
		return normal.Quantile(math.Min(math.Max(u, 1e-6), 1-1e-6))
	}, z)
	return z
}

// outcome is one sample's answer. done is false for samples that an
// interruption left out.
type outcome struct {
	runTime, lastIce float64
	end              string
	solidLeft        float64
	done             bool
}

// muchLeft is the share of the charge that, still solid when the load stalls,
// makes the stall an early one: it lost its contact or its margin, not its
// store.
const muchLeft = 0.1

// early reports whether the load stalled long before a cold store was spent.
func (o *outcome) early(cold bool) bool {
	return cold && o.end == result.EndStalled && o.solidLeft > muchLeft
}

// subject is a design that takes part in a sweep: columns says which column of
// the draws each of its variables takes.
type subject struct {
	design    *design.Design
	variables []variable
	columns   []int
	cold      bool // its store, nominally
}

// sweep runs every subject once for each row of z on all cores, row by row, so
// that an interrupted sweep has whole rows. It returns the outcomes by subject
// and row.
func sweep(ctx context.Context, subjects []subject, z *mat.Dense, horizon float64, progress func(done, of int)) [][]outcome {
	rows, _ := z.Dims()
	out := make([][]outcome, len(subjects))
	for i := range out {
		out[i] = make([]outcome, rows)
	}
	var next, finished atomic.Int64
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			own := make([]*design.Design, len(subjects))
			for i := range subjects {
				own[i] = subjects[i].design.Clone()
			}
			for ctx.Err() == nil {
				row := int(next.Add(1)) - 1
				if row >= rows {
					return
				}
				for i := range subjects {
					s := &subjects[i]
					for k, column := range s.columns {
						s.variables[k].set(own[i]).SI = s.variables[k].at(z.At(row, column))
					}
					own[i].Rederive()
					out[i][row] = one(own[i], s.cold, horizon)
				}
				done := int(finished.Add(1))
				if progress != nil {
					progress(done, rows)
				}
			}
		}()
	}
	wait.Wait()
	return out
}

// one runs one sample. A sample whose drawn values make no body at all counts
// as one that never started.
func one(d *design.Design, cold bool, horizon float64) outcome {
	m, err := network.BuildDraw(d, cold)
	if err != nil {
		return outcome{lastIce: math.NaN(), end: result.EndNeverStarted, done: true}
	}
	s := m.Time(network.Options{Horizon: horizon})
	return outcome{s.RunTime, s.LastSolid, s.End, s.SolidLeft, true}
}

// Probability is that of every band: 5 % lie below it and 5 % above.
const Probability = 0.9

// bandOf sums a set of values up.
func bandOf(values []float64, kind quantity.Kind, asked int, seed uint64) Band {
	b := Band{Probability: Probability, Kind: kind, Samples: len(values), Asked: asked, Seed: seed}
	if len(values) == 0 {
		b.Low, b.Median, b.High, b.Mean = math.NaN(), math.NaN(), math.NaN(), math.NaN()
		return b
	}
	sorted := append([]float64(nil), values...)
	sort.Float64s(sorted)
	b.Low, b.Median, b.High = quantile(sorted, (1-Probability)/2), quantile(sorted, 0.5), quantile(sorted, (1+Probability)/2)
	finite := 0
	for _, v := range sorted {
		if !math.IsInf(v, 0) {
			b.Mean += v
			finite++
		}
	}
	b.Mean /= float64(finite) // of the finite ones; NaN when there is none
	return b
}

// BandOf sums up run times, s, in any order.
func BandOf(times []float64, seed uint64) Band {
	return bandOf(times, quantity.Time, len(times), seed)
}

// quantile of sorted values, linear between the plotting positions
// (i - 0.5)/n (Hyndman and Fan, The American Statistician 50 (1996) 361, type
// 5).
func quantile(sorted []float64, p float64) float64 {
	at := p*float64(len(sorted)) - 0.5
	if at <= 0 {
		return sorted[0]
	}
	low := int(at)
	if low >= len(sorted)-1 {
		return sorted[len(sorted)-1]
	}
	w := at - float64(low)
	if w == 0 || sorted[low] == sorted[low+1] {
		return sorted[low]
	}
	return sorted[low]*(1-w) + sorted[low+1]*w
}

// Quantile of values in any order, as those of a band.
func Quantile(values []float64, p float64) float64 {
	sorted := append([]float64(nil), values...)
	sort.Float64s(sorted)
	return quantile(sorted, p)
}

// shareOf is the share of the samples done that have a property, 0 when none is
// done.
func shareOf(outcomes []outcome, has func(*outcome) bool) float64 {
	done, count := 0, 0
	for i := range outcomes {
		if o := &outcomes[i]; o.done {
			done++
			if has(o) {
				count++
			}
		}
	}
	return float64(count) / float64(max(done, 1))
}

// runBands sums the outcomes up: run time and last ice.
func runBands(outcomes []outcome, seed uint64) (run, ice Band) {
	var times, melts []float64
	for _, o := range outcomes {
		if !o.done {
			continue
		}
		times = append(times, o.runTime)
		if !math.IsNaN(o.lastIce) {
			melts = append(melts, o.lastIce)
		}
	}
	run = bandOf(times, quantity.Time, len(outcomes), seed)
	run.NeverStarted = shareOf(outcomes, func(o *outcome) bool { return o.end == result.EndNeverStarted })
	run.StillRunning = shareOf(outcomes, func(o *outcome) bool { return o.end == result.EndHorizon })
	return run, bandOf(melts, quantity.Time, len(outcomes), seed)
}
