package engine

import "math"

// SchmidtWork returns the work of one cycle, J, of the ideal isothermal gamma
// engine between plates at hot and cold, K. The volumes are
//
//	hot side   VD/2 (1 + cos t)
//	cold side  VD/2 (1 - cos t) + VP/2 (1 + sin t)
//	dead       Vd, at the logarithmic mean temperature
//
// so that the piston is at the cold temperature, a quarter turn behind the
// displacer. With pressure p = M R / (a + b cos t + c sin t) the cycle integral
// closes to
//
//	W = -pi VP p_mean b / (a + sqrt(a^2 - b^2 - c^2))
//
// after Schmidt 1871 (Urieli and Berchowitz, Stirling Cycle Engine Analysis,
// 1984, give the same for the alpha kind). It leaves out every loss and is an
// upper bound. Negative when hot is below cold; 0 for temperatures or volumes
// that are not positive.
func (s Stirling) SchmidtWork(hot, cold float64) float64 {
	vd, vp := s.DisplacerSweptVolume, s.PowerSweptVolume
	if !(hot > 0 && cold > 0 && vd > 0 && vp > 0 && s.DeadVolume >= 0) {
		return 0
	}
	b := vd / 2 * (1/hot - 1/cold)
	c := vp / 2 / cold
	a := vd/2*(1/hot+1/cold) + c + s.DeadVolume/logMean(hot, cold)
	return -math.Pi * vp * s.MeanPressure * b / (a + math.Sqrt(a*a-b*b-c*c))
}

// logMean is the logarithmic mean of two temperatures, the uniform one at which
// a gas with a linear profile between them has the same mass.
func logMean(hot, cold float64) float64 {
	r := (hot - cold) / cold
	if math.Abs(r) < 1e-9 {
		return (hot + cold) / 2
	}
	return (hot - cold) / math.Log1p(r)
}

// Alpha is a two-piston engine for Schmidt's analysis, m3, K, rad, Pa.
type Alpha struct {
	SweptCompression, SweptExpansion         float64
	ClearanceCompression, ClearanceExpansion float64
	Cooler, Regenerator, Heater              float64
	Cold, Hot                                float64
	Phase                                    float64 // expansion volume leads by this
	MeanPressure                             float64
}

// AlphaCycle is the outcome of Schmidt's analysis.
type AlphaCycle struct {
	Sum                            float64 // s: total gas mass times gas constant over the mean of 1/p, m3/K
	Swing                          float64 // b: relative swing of 1/p
	Lag                            float64 // beta, rad
	CompressionWork, ExpansionWork float64 // J per cycle
	Work                           float64 // J per cycle
	Efficiency                     float64
	LeastPressure, MostPressure    float64 // Pa
}

// SchmidtAlpha solves the ideal isothermal cycle of a two-piston engine in
// closed form: Urieli and Berchowitz, Stirling Cycle Engine Analysis (1984),
// Schmidt analysis. It stands here because published figures are for this
// kind; SchmidtWork uses the same integral. The zero cycle is returned when a
// temperature or swept volume is not positive.
func SchmidtAlpha(e Alpha) AlphaCycle {
	if !(e.Hot > 0 && e.Cold > 0 && e.SweptCompression > 0 && e.SweptExpansion > 0) {
		return AlphaCycle{}
	}
	x, y := e.SweptExpansion/e.Hot, e.SweptCompression/e.Cold
	sin, cos := math.Sincos(e.Phase)
	sum := y/2 + (e.ClearanceCompression+e.Cooler)/e.Cold + e.Regenerator/logMean(e.Hot, e.Cold) +
		(e.Heater+e.ClearanceExpansion)/e.Hot + x/2
	c := AlphaCycle{
		Sum:   sum,
		Swing: math.Sqrt(x*x+2*x*y*cos+y*y) / (2 * sum),
		Lag:   math.Atan2(x*sin, x*cos+y),
	}
	root := math.Sqrt(1 - c.Swing*c.Swing)
	factor := -math.Pi * e.MeanPressure * c.Swing / (1 + root) // pi p (root - 1)/b without its cancellation
	c.CompressionWork = factor * e.SweptCompression * math.Sin(c.Lag)
	c.ExpansionWork = factor * e.SweptExpansion * math.Sin(c.Lag-e.Phase)
	c.Work = c.CompressionWork + c.ExpansionWork
	c.Efficiency = c.Work / c.ExpansionWork
	c.LeastPressure = e.MeanPressure * root / (1 + c.Swing)
	c.MostPressure = e.MeanPressure * root / (1 - c.Swing)
	return c
}
