package report

import (
	"math"
	"strconv"
)

// scale maps values onto pixels.
type scale struct {
	lo, hi float64 // values at the ends
	a, b   float64 // pixels at the ends
	ticks  []float64
	step   float64
}

// at returns the pixel of a value.
func (s scale) at(v float64) float64 { return s.a + (v-s.lo)/(s.hi-s.lo)*(s.b-s.a) }

// niceScale covers lo to hi with about n steps of 1, 2 or 5 times a power of
// ten, and ends on steps.
func niceScale(lo, hi float64, n int) scale {
	switch {
	case !(hi >= lo) || !finite(hi-lo): // no value
		lo, hi = -0.5, 0.5
	case hi-lo < max(5e-3, 1e-6*max(math.Abs(lo), math.Abs(hi))): // one value, but for noise
		middle, half := (lo+hi)/2, 0.5*max(1, 1e-3*math.Abs(lo))
		lo, hi = middle-half, middle+half
	}
	step := niceStep((hi - lo) / float64(n))
	s := scale{lo: math.Floor(lo/step+1e-9) * step, hi: math.Ceil(hi/step-1e-9) * step, step: step}
	s.fillTicks()
	return s
}

func (s *scale) fillTicks() {
	s.ticks = s.ticks[:0]
	first := math.Ceil(s.lo/s.step - 1e-9)
	for i := 0; i < 100; i++ {
		v := (first + float64(i)) * s.step
		if v > s.hi+1e-9*s.step {
			return
		}
		s.ticks = append(s.ticks, v)
	}
}

func niceStep(raw float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 5} {
		if raw <= m*p*(1+1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// label writes a tick's value with just the decimals that the step needs.
func (s scale) label(v float64) string {
	decimals := 0
	for n := s.step; decimals < 9 && math.Abs(n-math.Round(n)) > 1e-6*n; n *= 10 {
		decimals++
	}
	if decimals == 9 || math.Abs(v) >= 1e6 {
		return strconv.FormatFloat(v, 'g', 3, 64)
	}
	if math.Abs(v) < s.step/2 {
		v = 0 // never "-0"
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}

// timeScale covers 0 to end seconds on pixels a to b, and returns the unit to
// show with the seconds in it: minutes below an hour and a half, else hours. An
// end below a second is no run: then a minute is shown.
func timeScale(end, a, b float64) (s scale, unit string, inUnit float64) {
	if !(end >= 1) {
		end = 60
	}
	unit, inUnit = "h", 3600.0
	steps := []float64{0.25, 0.5, 1, 2, 3, 6, 12, 24, 48, 96}
	if end < 5400 {
		unit, inUnit = "min", 60
		steps = []float64{0.1, 0.2, 0.5, 1, 2, 5, 10, 15}
	}
	step := niceStep(end / inUnit / 10)
	for _, st := range steps {
		if end/inUnit/st <= 12 {
			step = st
			break
		}
	}
	s = scale{lo: 0, hi: end / inUnit, a: a, b: b, step: step}
	s.fillTicks()
	return s, unit, inUnit
}

var nan = math.NaN()

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// span returns the least and greatest finite value; +Inf, -Inf when none is.
func span(values []float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if finite(v) {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	return lo, hi
}
