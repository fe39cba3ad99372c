package calibrate

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"

	"meltspan/trial"
)

// wholeLikelihood is the likelihood of rows that hold all coordinates. Two of
// each trial whose stall was seen are integrated out: its own pace, in which the
// logarithms of its times are straight, exactly; and its stall difference, over
// the ways in which its run may have ended. What is left of the data is then
// independent from trial to trial.
type wholeLikelihood struct {
	in         *inference
	free       []int // all coordinates that are not integrated out
	integrated []int
	parts      []part // by subject
}

// part is one trial's.
type part struct {
	pace   int       // coordinate that is integrated out; -1: none
	shift  int       // the same, for the stall difference
	slopes []float64 // of the features along the pace
	factor mat.Cholesky
	lower  mat.TriDense // of that
}

func (in *inference) whole() *wholeLikelihood {
	w := &wholeLikelihood{in: in, parts: make([]part, len(in.subjects))}
	out := make([]bool, len(in.columns))
	for k, s := range in.subjects {
		p := &w.parts[k]
		p.pace, p.shift = -1, -1
		// With a belief, a column of earlier trials is no coordinate of its own; a
		// trial's own columns are.
		if s.anchored && in.belief == nil {
			p.pace = s.pace[1]
			out[p.pace] = true
		}
		if s.shift >= 0 && (s.anchored || s.floor > 0) && !in.movesOthers(s.shift) {
			p.shift = s.shift
			out[p.shift] = true
		}
	}
	for c := range out {
		if out[c] {
			w.integrated = append(w.integrated, c)
		} else {
			w.free = append(w.free, c)
		}
	}
	w.factorize()
	return w
}

// movesOthers reports whether a coordinate moves columns beside its own.
func (in *inference) movesOthers(coordinate int) bool {
	return in.belief != nil && in.belief.moves(coordinate)
}

// factorize makes the parts' covariances: noise, and the pace that is integrated
// out.
func (w *wholeLikelihood) factorize() {
	for k, s := range w.in.subjects {
		p, n := &w.parts[k], len(s.features)
		if n == 0 {
			continue
		}
		p.slopes = make([]float64, n)
		if p.pace >= 0 {
			for i := range s.features {
				if kind := s.features[i].kind; kind == featureStall || kind == featureIce {
					p.slopes[i] = s.paceSize[1]
				}
			}
		}
		total := mat.NewSymDense(n, nil)
		for i := range n {
			for j := range i + 1 {
				total.SetSym(i, j, w.in.noise.At(w.in.offset[k]+i, w.in.offset[k]+j)+p.slopes[i]*p.slopes[j])
			}
		}
		w.in.factorize(&p.factor, total)
		p.factor.LTo(&p.lower)
	}
}

// at is a likelihood of another state of the log with the same coordinates
// integrated out.
func (w *wholeLikelihood) at(in *inference) *wholeLikelihood {
	out := &wholeLikelihood{in: in, free: w.free, integrated: w.integrated, parts: make([]part, len(in.subjects))}
	for k := range out.parts {
		out.parts[k].pace, out.parts[k].shift = -1, w.parts[k].shift
		if in.subjects[k].anchored {
			out.parts[k].pace = w.parts[k].pace
		}
	}
	out.factorize()
	return out
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
		r := &p.runs[k]
		out.runs[k] = s.read(r.run, r.lasting, r.late, z)
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
			one.stalledFirst = s.stalledFirst // for the runs, which serve the whole log too
		}
		subjects[k] = &one
	}
	return newInference(subjects, in.columns, in.belief), nil
}

func (w *wholeLikelihood) pick(row []float64) []float64 {
	out := make([]float64, len(w.free))
	for i, c := range w.free {
		out[i] = row[c]
	}
	return out
}

// of a particle's runs, but for a constant.
func (w *wholeLikelihood) of(p *particle) float64 {
	sum := 0.0
	for k, s := range w.in.subjects {
		sum += w.ofPart(k, &p.runs[k])
		if s.floor > 0 {
			sum += s.goesOn(&p.runs[k], s.paceOf(w.in.deviates(p.row)))
		}
	}
	return sum
}

// ofPart is what one trial's features say.
func (w *wholeLikelihood) ofPart(k int, r *drawn) float64 {
	if len(r.ways) == 0 {
		return w.misfit(k, r.features)
	}
	weights, most := w.weigh(k, r.ways)
	sum := 0.0
	for _, v := range weights {
		sum += v
	}
	return most + math.Log(sum)
}

// weigh gives each way its chance with the data, as relative does.
func (w *wholeLikelihood) weigh(k int, ways []way) (weights []float64, most float64) {
	logs := make([]float64, len(ways))
	for i := range ways {
		logs[i] = math.Log(ways[i].chance) + w.misfit(k, ways[i].features)
	}
	return relative(logs)
}

// misfit is the logarithm of the density of one trial's data for given features.
func (w *wholeLikelihood) misfit(k int, features []float64) float64 {
	if len(features) == 0 {
		return 0
	}
	u, sum := w.in.subjects[k].misfit(features), 0.0
	lower := w.parts[k].lower.RawTriangular()
	for i := range u {
		row := lower.Data[i*lower.Stride:]
		for j := range i {
			u[i] -= row[j] * u[j]
		}
		u[i] /= row[i]
		sum += u[i] * u[i]
	}
	return -sum / 2
}

// misfit is data less features.
func (s *subject) misfit(features []float64) []float64 {
	out := make([]float64, len(features))
	for i := range out {
		out[i] = s.features[i].value - features[i]
	}
	return out
}

// softFloor is the relative width over which a run that is over before the trial
// was loses its weight.
const softFloor = 0.02

// goesOn is the logarithm of the chance that a run's load, which was still running
// at the subject's floor, has not stalled before.
func (s *subject) goesOn(r *drawn, pace float64) float64 {
	if r.lasting == nil {
		return logBeyond(math.Log(max(r.runTime, shortest)/s.floor) / softFloor)
	}
	excess := r.lasting.excessAt(s.floor/pace) / s.stallSize
	if math.IsInf(excess, 1) {
		return 0
	}
	out := logBeyond(excess)
	if end := r.lasting.longest() * pace; end < s.floor {
		out += logBeyond(math.Log(max(end, shortest)/s.floor) / softFloor)
	}
	return out
}

// complete draws what is integrated out for one particle, and gives the row with
// the runs read for it. The paces that it draws are in the row, not in the runs.
func (w *wholeLikelihood) complete(p *particle, source *rand.Rand) particle {
	row := append([]float64(nil), p.row...)
	z := w.in.deviates(row)
	for k, s := range w.in.subjects {
		part, r := &w.parts[k], &p.runs[k]
		features := r.features
		if part.shift >= 0 {
			low, high := math.Inf(-1), math.Inf(1)
			switch {
			case len(r.ways) > 0:
				chosen := w.choose(k, r.ways, source)
				low, high, features = chosen.low, chosen.high, chosen.features
			case s.floor > 0 && r.lasting != nil:
				high = r.lasting.excessAt(s.floor/s.paceOf(z)) / s.stallSize
			}
			row[part.shift] = between(low, high, source.Float64())
		}
		if part.pace >= 0 && len(features) > 0 {
			var solved mat.VecDense
			slopes := mat.NewVecDense(len(part.slopes), part.slopes)
			_ = part.factor.SolveVecTo(&solved, slopes) // it was factorised
			mean := mat.Dot(&solved, mat.NewVecDense(len(features), s.misfit(features)))
			row[part.pace] = mean + math.Sqrt(math.Max(1-mat.Dot(&solved, slopes), 0))*source.NormFloat64()
		}
	}
	unpaced := append([]float64(nil), row...)
	for k := range w.parts {
		if c := w.parts[k].pace; c >= 0 {
			unpaced[c] = 0
		}
	}
	out := *w.in.reread(&particle{row: unpaced, runs: p.runs})
	out.row = row
	return out
}

// choose draws one of the ways by how well the data bear it out.
func (w *wholeLikelihood) choose(k int, ways []way, source *rand.Rand) *way {
	weights, _ := w.weigh(k, ways)
	sum := 0.0
	for _, v := range weights {
		sum += v
	}
	want := sum * source.Float64()
	for i, v := range weights {
		if want -= v; want <= 0 {
			return &ways[i]
		}
	}
	return &ways[len(ways)-1]
}

// spread is the covariance of all features that slopes along all coordinates
// leave when those that are integrated out are taken as straight, factorised: it
// says in which directions the data speak.
func (w *wholeLikelihood) spread(jacobian *mat.Dense, extra []float64) *mat.Cholesky {
	total := mat.NewSymDense(w.in.noise.SymmetricDim(), nil)
	total.CopySym(w.in.noise)
	for i := range w.in.count {
		for j := range i + 1 {
			for _, c := range w.integrated {
				total.SetSym(i, j, total.At(i, j)+jacobian.At(i, c)*jacobian.At(j, c))
			}
		}
	}
	for i, v := range extra {
		total.SetSym(i, i, total.At(i, i)+v)
	}
	var out mat.Cholesky
	w.in.factorize(&out, total)
	return &out
}
