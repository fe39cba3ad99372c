package search

import (
	"context"
	"errors"
	"math"

	"meltspan/design"
	"meltspan/network"
	"meltspan/predict"
	"meltspan/printing"
	"meltspan/result"
)

// Aim is something to be had much or little of.
type Aim string

// The aims: a long run time, and little of the others.
const (
	AimRunTime    Aim = "run_time"
	AimPrintTime  Aim = "print_time"
	AimFreezeTime Aim = "freeze_time"
	AimMaterial   Aim = "material"
	AimSweat      Aim = "sweat"
)

// Aims lists all of them.
func Aims() []Aim { return []Aim{AimRunTime, AimPrintTime, AimFreezeTime, AimMaterial, AimSweat} }

// Figures are what a candidate comes to.
type Figures struct {
	Nominal    float64 `json:"nominal_s"`         // run time with all inputs nominal
	Screened   float64 `json:"screened_s"`        // run time in the scenario that stands for the quantile
	PrintTime  float64 `json:"print_s"`           // of the stand
	Material   float64 `json:"plastic_kg"`        // of the stand
	FreezeTime float64 `json:"freeze_s"`          // of the charge; not a number when it is not frozen
	Sweat      float64 `json:"sweat_kg"`          // all condensate over the run time, nominal
	TrayLeft   float64 `json:"tray_left_m3"`      // negative: overflows
	Coldest    float64 `json:"coldest_outside_K"` // of the side

	Impossible string   `json:"impossible,omitempty"` // why there is no such design
	Breaches   []Breach `json:"breaches,omitempty"`
}

// of is an aim's figure, the smaller the better. runTime is that to be judged
// by: screened or ranked.
func (f *Figures) of(aim Aim, runTime float64) float64 {
	switch aim {
	case AimPrintTime:
		return f.PrintTime
	case AimFreezeTime:
		return orZero(f.FreezeTime)
	case AimMaterial:
		return f.Material
	case AimSweat:
		return f.Sweat
	}
	return -runTime
}

// impossible is the violation of a candidate that is no design at all, beyond
// any sum of limits; each further problem adds one.
const impossible = 100

// score is that of the figures for the evolution.
func (f *Figures) score(aims []Aim, runTime float64) Score {
	s := Score{Objectives: make([]float64, len(aims))}
	if f.Impossible != "" {
		s.Violation = impossible
	}
	for _, b := range f.Breaches {
		s.Violation += b.By
	}
	for i, a := range aims {
		s.Objectives[i] = f.of(a, runTime)
	}
	return s
}

// figures works a candidate out as far as it holds: what the drawing alone
// rules out costs no run.
func (p *Problem) figures(ctx context.Context, at []float64, scenario *predict.Scenario, all bool) (Figures, error) {
	d, err := p.Space.Design(at)
	return p.figuresOf(ctx, d, err, scenario, all)
}

func (p *Problem) figuresOf(ctx context.Context, d *design.Design, failed error, scenario *predict.Scenario, all bool) (Figures, error) {
	f := Figures{Nominal: math.NaN(), Screened: math.NaN(), PrintTime: math.NaN(), Material: math.NaN(), FreezeTime: math.NaN(), Sweat: math.NaN(), TrayLeft: math.NaN(), Coldest: math.NaN()}
	var b breaches
	p.Limits.shape(d, &b)
	if failed != nil {
		f.Impossible = failed.Error()
		var problems design.Problems
		if errors.As(failed, &problems) {
			f.Impossible = problems[0].What
			for range problems[1:] {
				b = append(b, Breach{"possible", "", 1})
			}
		}
		f.Breaches = b
		return f, nil
	}
	e := printing.Nominal(d)
	f.PrintTime, f.Material = e.Time.Value, e.Mass.Value
	freezing := predict.FreezingNominal(d)
	if freezing != nil {
		f.FreezeTime = freezing.Time
	}
	p.Limits.estimates(d, e, freezing, &b)
	if len(b) > 0 && !all {
		f.Breaches = b
		return f, nil
	}
	m, err := network.BuildDraw(d, p.Space.Base.ColdStore())
	if err != nil {
		f.Impossible, f.Breaches = err.Error(), b
		return f, nil
	}
	run, err := m.Run(ctx, network.Options{Horizon: p.Horizon})
	if err != nil {
		return f, err
	}
	f.note(run)
	p.Limits.run(d, run, &b)
	if len(b) > 0 && !all {
		f.Breaches = b
		return f, nil
	}
	f.Screened = f.Nominal
	if scenario != nil {
		if f.Screened, err = scenario.Time(d); err != nil {
			return f, err
		}
	}
	p.atLeast(f.Screened, &b)
	f.Breaches = b
	return f, nil
}

func (f *Figures) note(run *result.Run) {
	f.Nominal, f.TrayLeft = run.RunTime, run.TrayLeft
	f.Sweat = 0
	for _, face := range run.Faces {
		f.Sweat += face.Condensate
	}
	f.Coldest, _ = coldestOutside(run)
}

func orZero(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}
