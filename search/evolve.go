package search

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
)

// Domain is what one number of a candidate may be.
type Domain struct {
	Low, High float64
	Step      float64 // values are Low plus whole steps; 0: any number
	Choice    bool    // the numbers 0 to High stand for words without an order
}

// Score is how good a candidate is.
type Score struct {
	Objectives []float64 // each the smaller the better
	Violation  float64   // of what must hold; 0 when all of it does
}

// Found is a candidate with its score.
type Found struct {
	At []float64
	Score
}

// Evaluate scores candidates, in any order and on as many cores or machines as
// it likes. An entry may be nil only together with an error.
type Evaluate func(ctx context.Context, at [][]float64) ([]*Score, error)

// Evolution is how candidates are made. The zero value is right.
type Evolution struct {
	Population int    // 0: ten for each number of a candidate, between 24 and 80
	Candidates int    // to be scored; 0: DefaultCandidates
	Seed       uint64 // 0: 1
	Keep       int    // promising candidates to return; 0: 40
	Start      [][]float64
	Progress   func(done, of int)
}

// DefaultCandidates is how many candidates a search scores unless told
// otherwise.
const DefaultCandidates = 4000

func (o *Evolution) complete(numbers int) {
	if o.Population <= 0 {
		o.Population = min(max(10*numbers, 24), 80)
	}
	o.Population = max(o.Population, 5) // a mutant is made of three others
	if o.Candidates <= 0 {
		o.Candidates = DefaultCandidates
	}
	if o.Seed == 0 {
		o.Seed = 1
	}
	if o.Keep <= 0 {
		o.Keep = 40
	}
}

// Outcome is what an evolution found.
type Outcome struct {
	Front     []Found // candidates that hold and that none other beats in every respect
	Promising []Found // the front and those next to it, best first
	Nearest   *Found  // the candidate that violates least, when none holds
	Tried     int     // candidates scored
	Exhausted bool    // every candidate of the space was scored
}

// Evolve looks for the candidates with the smallest objectives among those
// that hold, by generalised differential evolution (GDE3: Kukkonen and
// Lampinen, IEEE Congress on Evolutionary Computation 2005, 443-450; for one
// objective it is the method of Storn and Price, J. Global Optimization 11
// (1997) 341-359, with the rules of Deb, Comput. Methods Appl. Mech. Eng. 186
// (2000) 311-338, for what must hold). Whole numbers and steps are rounded
// before scoring; choices, which have no order, are exchanged instead of
// added.
//
// A space that holds no more candidates than may be scored is tried as a whole.
//
// The same seed gives the same outcome, however many evaluate at once: a
// generation is made before any of it is scored. When evaluate fails or is
// interrupted, Evolve returns what was found so far with that error.
func Evolve(ctx context.Context, domains []Domain, evaluate Evaluate, o Evolution) (Outcome, error) {
	o.complete(len(domains))
	e := &evolution{
		Evolution: o, domains: domains, evaluate: evaluate,
		random: rand.New(rand.NewPCG(o.Seed, 0x73656172)), known: map[string]*Score{}, pool: pool{keep: max(o.Keep, o.Population)},
	}
	if all := every(domains, o.Candidates); all != nil {
		_, err := e.score(ctx, all)
		e.exhausted = err == nil
		return e.outcome(), err
	}
	err := e.begin(ctx)
	for err == nil && e.tried < o.Candidates {
		err = e.generation(ctx)
	}
	return e.outcome(), err
}

// every lists all candidates of a space, nil when there are more than most.
func every(domains []Domain, most int) [][]float64 {
	all := [][]float64{{}}
	for _, d := range domains {
		if d.Step <= 0 && !d.Choice {
			return nil
		}
		count := d.count()
		if count > most/len(all) {
			return nil
		}
		var next [][]float64
		for _, head := range all {
			for i := range count {
				next = append(next, append(append([]float64(nil), head...), d.at((float64(i)+0.5)/float64(count))))
			}
		}
		all = next
	}
	return all
}

// count is how many values a domain of steps or words has.
func (d Domain) count() int {
	if d.Choice {
		return int(d.High) + 1
	}
	return int(math.Floor((d.High-d.Low)/d.Step+1e-9)) + 1
}

type evolution struct {
	Evolution
	domains    []Domain
	evaluate   Evaluate
	random     *rand.Rand
	population []Found
	known      map[string]*Score
	pool       pool
	nearest    *Found
	tried      int
	exhausted  bool
}

// begin scores the first population: the candidates given, and others evenly
// spread over each number (Latin hypercube: McKay, Beckman and Conover,
// Technometrics 21 (1979) 239-245).
func (e *evolution) begin(ctx context.Context) error {
	first := make([][]float64, e.Population)
	for i := range first {
		first[i] = make([]float64, len(e.domains))
	}
	for j, d := range e.domains {
		for i, cell := range e.random.Perm(e.Population) {
			share := (float64(cell) + e.random.Float64()) / float64(e.Population)
			first[i][j] = d.at(share)
		}
	}
	for i, at := range e.Start {
		if i < len(first) {
			copy(first[i], at)
		}
	}
	for i := range first {
		e.settle(first[i])
	}
	scores, err := e.score(ctx, first)
	for i, s := range scores {
		if s != nil {
			e.population = append(e.population, Found{first[i], *s})
		}
	}
	return err
}

// at is the value at a share of the domain.
func (d Domain) at(share float64) float64 {
	switch {
	case d.Choice:
		return math.Min(math.Floor(share*(d.High+1)), d.High)
	case d.Step > 0: // every step has the same share
		count := float64(d.count())
		return math.Min(d.Low+d.Step*math.Min(math.Floor(share*count), count-1), d.High)
	}
	return d.Low + share*(d.High-d.Low)
}

// settle puts a candidate on steps and within bounds.
func (e *evolution) settle(at []float64) {
	for j, d := range e.domains {
		v := at[j]
		if d.Step > 0 && !d.Choice {
			v = d.Low + d.Step*math.Round((v-d.Low)/d.Step)
			if v > d.High+1e-9*d.Step {
				v -= d.Step
			}
		}
		at[j] = math.Min(math.Max(v, d.Low), d.High)
	}
}

// generation makes one trial for each member of the population, scores them,
// and lets the better stay.
func (e *evolution) generation(ctx context.Context) error {
	n := len(e.population)
	trials := make([][]float64, n)
	for i := range trials {
		trials[i] = e.trial(i)
	}
	if left := e.Candidates - e.tried; left < n {
		trials = trials[:left]
	}
	scores, err := e.score(ctx, trials)
	next := append([]Found(nil), e.population...)
	for i, s := range scores {
		if s == nil {
			continue
		}
		trial, old := Found{trials[i], *s}, &e.population[i]
		switch better, worse := beats(&trial.Score, &old.Score), beats(&old.Score, &trial.Score); {
		case better || !worse && alike(&trial.Score, &old.Score):
			next[i] = trial
		case !worse: // neither beats the other: both stay for now
			next = append(next, trial)
		}
	}
	e.population = best(next, n)
	return err
}

// trial crosses member i with a mutant of three others. The scale of the
// difference and the share of numbers taken over differ from trial to trial,
// so that problems with and without interaction between numbers are both
// served (Das and Suganthan, IEEE Trans. Evol. Comput. 15 (2011) 4-31, section
// III).
func (e *evolution) trial(i int) []float64 {
	n := len(e.population)
	var pick [3]int
	for k := range pick {
		for again := true; again; {
			pick[k] = e.random.IntN(n)
			again = pick[k] == i && n > 3
			for _, other := range pick[:k] {
				again = again || pick[k] == other && n > 3
			}
		}
	}
	a, b, c := e.population[pick[0]].At, e.population[pick[1]].At, e.population[pick[2]].At
	scale := 0.3 + 0.6*e.random.Float64()
	taken := []float64{0.1, 0.5, 0.9}[e.random.IntN(3)]
	own := e.population[i].At
	out := append([]float64(nil), own...)
	sure := e.random.IntN(len(out)) // at least one number is taken
	for j, d := range e.domains {
		if j != sure && e.random.Float64() >= taken {
			continue
		}
		switch {
		case !d.Choice:
			out[j] = inside(a[j]+scale*(b[j]-c[j]), own[j], d, e.random)
		case b[j] == c[j]:
			out[j] = a[j]
		default: // the population is not agreed: any word will do
			out[j] = float64(e.random.IntN(int(d.High) + 1))
		}
	}
	e.settle(out)
	// What was scored before teaches nothing: move it somewhere else.
	for tries := 0; tries < 8; tries++ {
		if _, known := e.known[keyOf(out)]; !known {
			break
		}
		j := e.random.IntN(len(out))
		out[j] = e.domains[j].at(e.random.Float64())
		e.settle(out)
	}
	return out
}

// inside brings a number that left its bounds back between the bound and where
// it came from.
func inside(v, from float64, d Domain, random *rand.Rand) float64 {
	switch {
	case v < d.Low:
		return d.Low + random.Float64()*(from-d.Low)
	case v > d.High:
		return d.High - random.Float64()*(d.High-from)
	}
	return v
}

// score looks up the candidates that were scored before and has the others
// evaluated, each once.
func (e *evolution) score(ctx context.Context, at [][]float64) ([]*Score, error) {
	keys := make([]string, len(at))
	var fresh [][]float64
	asked := map[string]bool{}
	for i := range at {
		keys[i] = keyOf(at[i])
		if _, known := e.known[keys[i]]; !known && !asked[keys[i]] {
			asked[keys[i]] = true
			fresh = append(fresh, at[i])
		}
	}
	var err error
	if len(fresh) > 0 {
		var scores []*Score
		scores, err = e.evaluate(ctx, fresh)
		for i, s := range scores {
			if s != nil {
				e.known[keyOf(fresh[i])] = s
				e.note(Found{fresh[i], *s})
			}
		}
	}
	out := make([]*Score, len(at))
	for i := range at {
		out[i] = e.known[keys[i]]
	}
	if e.Progress != nil {
		e.Progress(e.tried, e.Candidates)
	}
	return out, err
}

func keyOf(at []float64) string {
	var b strings.Builder
	for _, v := range at {
		b.WriteString(strconv.FormatFloat(v, 'g', 12, 64))
		b.WriteByte(' ')
	}
	return b.String()
}

// note remembers a candidate that was scored.
func (e *evolution) note(f Found) {
	e.tried++
	switch {
	case f.Violation == 0:
		e.pool.add(f)
	case e.nearest == nil || f.Violation < e.nearest.Violation:
		e.nearest = &f
	}
}

func (e *evolution) outcome() Outcome {
	out := Outcome{Tried: e.tried, Exhausted: e.exhausted, Promising: e.pool.best()}
	for _, f := range out.Promising {
		if !beaten(f, out.Promising) {
			out.Front = append(out.Front, f)
		}
	}
	if len(out.Promising) == 0 {
		out.Nearest = e.nearest
	}
	if len(out.Promising) > e.Keep {
		out.Promising = out.Promising[:e.Keep]
	}
	return out
}
