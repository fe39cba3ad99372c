package predict

import (
	"context"
	"fmt"

	"meltspan/design"
	"meltspan/network"
	"meltspan/quantity"
)

// Axis is one input that is varied.
type Axis struct {
	Path   string        `json:"path"`
	About  string        `json:"about"`
	Kind   quantity.Kind `json:"kind,omitempty"` // "" for a count
	Count  bool          `json:"count,omitempty"`
	Now    float64       `json:"now"` // in the design as it is
	Values []float64     `json:"values"`
}

// Point is the design with its varied inputs at one place.
type Point struct {
	At         []int   `json:"at"`                   // index into the values of each axis
	Impossible string  `json:"impossible,omitempty"` // why there can be no such design
	Nominal    float64 `json:"nominal_s"`
	Band       Band    `json:"band"`
	Early      float64 `json:"share_stalled_early"` // of the samples: never started, or stalled long before the store was spent
}

// Variation is run time along one input, or over two.
type Variation struct {
	Design   string  `json:"design"`
	Revision string  `json:"revision"`
	Axes     []Axis  `json:"axes"`
	Points   []Point `json:"points"`  // the last axis runs fastest
	Longest  int     `json:"longest"` // point of the longest median run time; -1 when there is none
	Safest   int     `json:"safest"`  // point of the longest lower end of the band
	Samples  int     `json:"samples"`
	Asked    int     `json:"samples_asked"`
	Seed     uint64  `json:"seed"`
}

// DefaultVarySamples is how many samples each point takes unless asked
// otherwise: its band is rougher than a prediction's, its trend is not, since
// all points share their draws.
const DefaultVarySamples = 100

// Vary runs a design with one input (or two) at each of the given values, all
// on the same draws of everything else. Values that make no possible design
// are kept, with the reason. When the context is cancelled it returns what was
// computed so far, together with the context's error.
func Vary(ctx context.Context, d *design.Design, knobs []design.Knob, values [][]float64, o Options) (*Variation, error) {
	if o.Samples <= 0 {
		o.Samples = DefaultVarySamples
	}
	o.complete()
	v := &Variation{Design: d.Name, Revision: d.Revision(), Longest: -1, Safest: -1, Asked: o.Samples, Seed: o.Seed}
	for i, k := range knobs {
		v.Axes = append(v.Axes, Axis{Path: k.Path, About: k.About, Kind: k.Kind, Count: k.Count, Now: k.Value(d), Values: values[i]})
	}

	r := newRoster(d)
	var owner []int // point of each subject
	for _, at := range places(values) {
		p := Point{At: at}
		own := d.Clone()
		for i, k := range knobs {
			if err := k.Turn(own, values[i][at[i]]); err != nil {
				p.Impossible = err.Error()
			}
		}
		if problems := own.Check(); p.Impossible == "" && len(problems) > 0 {
			p.Impossible = problems[0].What
		}
		if p.Impossible == "" {
			m, err := network.BuildDraw(own, r.cold)
			if err != nil {
				return nil, fmt.Errorf("predict: %w", err)
			}
			p.Nominal = m.Time(network.Options{Horizon: o.Horizon}).RunTime
			if err := r.add(own); err != nil {
				return nil, err
			}
			owner = append(owner, len(v.Points))
		}
		v.Points = append(v.Points, p)
	}
	for i, rows := range r.sweep(ctx, o) {
		v.Points[owner[i]].fill(rows, r.cold, o)
		v.Samples = max(v.Samples, v.Points[owner[i]].Band.Samples)
	}
	v.rank()
	return v, ctx.Err()
}

// places lists the indices of all combinations, the last axis fastest.
func places(values [][]float64) [][]int {
	out := [][]int{{}}
	for _, axis := range values {
		var next [][]int
		for _, head := range out {
			for i := range axis {
				next = append(next, append(append([]int(nil), head...), i))
			}
		}
		out = next
	}
	return out
}

func (p *Point) fill(rows []outcome, cold bool, o Options) {
	p.Band, _ = runBands(rows, o.Seed)
	p.Early = shareOf(rows, func(r *outcome) bool { return r.early(cold) || r.runTime == 0 })
}

func (v *Variation) rank() {
	for i := range v.Points {
		p := &v.Points[i]
		if p.Impossible != "" || p.Band.Samples == 0 {
			continue
		}
		if v.Longest < 0 || p.Band.Median > v.Points[v.Longest].Band.Median {
			v.Longest = i
		}
		if v.Safest < 0 || p.Band.Low > v.Points[v.Safest].Band.Low {
			v.Safest = i
		}
	}
}
