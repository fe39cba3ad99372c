package calibrate

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"meltspan/trial"
)

// wholeLikelihood is the likelihood of rows that hold all coordinates. Only the
// paces of trials whose stall was seen are integrated out: their logarithms of
// times are straight in them, exactly.
type wholeLikelihood struct {
	in     *inference
	free   []int // all coordinates that are not integrated out
	paces  []int
	slopes *mat.Dense // of the features along the paces
	factor mat.Cholesky
}

func (in *inference) whole() *wholeLikelihood {
	w := &wholeLikelihood{in: in}
	straight := make([]bool, len(in.columns))
	if in.belief == nil {
		for c := range in.columns {
			straight[c] = in.columns[c].Path == Pace
		}
		for _, s := range in.subjects {
			for _, c := range s.pace {
				straight[c] = straight[c] && s.anchored
			}
		}
	}
	for c := range straight {
		if straight[c] {
			w.paces = append(w.paces, c)
		} else {
			w.free = append(w.free, c)
		}
	}
	total := mat.NewSymDense(in.noise.SymmetricDim(), nil)
	total.CopySym(in.noise)
	if len(w.paces) > 0 {
		w.slopes = mat.NewDense(in.count, len(w.paces), nil)
		for k, s := range in.subjects {
			for i := range s.features {
				for j, c := range w.paces {
					for p := range s.pace {
						if kind := s.features[i].kind; s.pace[p] == c && (kind == featureStall || kind == featureIce) {
							w.slopes.Set(in.offset[k]+i, j, s.paceSize[p])
						}
					}
				}
			}
		}
		var both mat.Dense
		both.Mul(w.slopes, w.slopes.T())
		for i := range in.count {
			for j := range i + 1 {
				total.SetSym(i, j, total.At(i, j)+both.At(i, j))
			}
		}
	}
	in.factorize(&w.factor, total)
	return w
}

// again is the likelihood of runs that were made for another state of the log. A
// nil receiver is the prior.
func (w *wholeLikelihood) again(p *particle) float64 {
	if w == nil {
		return 0
	}
	return w.of(w.in.reread(p))
}

// reread takes the features from runs that were kept.
func (in *inference) reread(p *particle) *particle {
	z := in.deviates(p.row)
	out := &particle{row: p.row, runs: make([]drawn, len(p.runs))}
	for k, s := range in.subjects {
		out.runs[k] = s.read(p.runs[k].run, z)
		out.runs[k].run = p.runs[k].run
	}
	return out
}

// cut is the inference as it would have been when each trial that has run to
// its stall had come to a share of that. Its runs are kept.
func (in *inference) cut(share float64, a Discrepancy) (*inference, error) {
	subjects := make([]*subject, len(in.subjects))
	for k, s := range in.subjects {
		one := *s
		one.keep = true
		if s.anchored {
			if err := one.observe(a, share*s.trial.Event(trial.Stalled).Time); err != nil {
				return nil, err
			}
		}
		subjects[k] = &one
	}
	return newInference(subjects, in.columns, in.belief), nil
}

// straightPaces makes the paces the only coordinates that count by straight
// lines: those of the whole likelihood.
func (in *inference) straightPaces(w *wholeLikelihood) {
	in.minor = w.paces
	in.jacobian = mat.NewDense(max(in.count, 1), len(in.columns), nil)
	for j, c := range w.paces {
		for f := range in.count {
			in.jacobian.Set(f, c, w.slopes.At(f, j))
		}
	}
	in.total = w.factor
}

func (w *wholeLikelihood) pick(row []float64) []float64 {
	out := make([]float64, len(w.free))
	for i, c := range w.free {
		out[i] = row[c]
	}
	return out
}

// softFloor is the relative width over which a run that would have stalled by
// now loses its weight.
const softFloor = 0.02

// of a particle's runs, but for a constant.
func (w *wholeLikelihood) of(p *particle) float64 {
	sum := w.misfit(w.in.gather(p.runs))
	for k, s := range w.in.subjects {
		if s.floor > 0 {
			sum += logBeyond(math.Log(max(p.runs[k].runTime, shortest)/s.floor) / softFloor)
		}
	}
	return sum
}

// misfit is the logarithm of the density of the data for given features.
func (w *wholeLikelihood) misfit(features []float64) float64 {
	if w.in.count == 0 {
		return 0
	}
	var out mat.Dense
	solveLower(&w.factor, &out, mat.NewDense(w.in.count, 1, w.in.misfit(features)))
	return -squares(out.RawMatrix().Data) / 2
}
