package engine

import "math"

// Carnot returns the efficiency bound 1 - cold/hot of any engine (K).
// 0 when hot is not above cold.
func Carnot(hot, cold float64) float64 {
	if !(hot > cold) {
		return 0
	}
	return 1 - cold/hot
}

// CurzonAhlborn returns the efficiency 1 - sqrt(cold/hot) at which an engine
// without inner losses gives most power through finite conductances (K).
// Curzon and Ahlborn, American Journal of Physics 43 (1975) 22. No bound, but
// close to what good plants reach. 0 when hot is not above cold.
func CurzonAhlborn(hot, cold float64) float64 {
	if !(hot > cold) {
		return 0
	}
	return 1 - math.Sqrt(cold/hot)
}

// MeanWestNumber is the West number of the average engine; good ones with high
// temperature differences reach 0.35 (West, Principles and Applications of
// Stirling Engines, 1986; figure read in an encyclopedia).
const MeanWestNumber = 0.25

// West returns the shaft power, W, by the West number: Wn p V f (Th - Tc)/(Th +
// Tc), with the mean pressure p, Pa, the swept volume V, m3, and the speed f,
// Hz. For two equal pistons V is the volume swept in the hot space. In a gamma
// engine with a small power piston take that piston's: with the displacer's,
// some fifty times larger, the figure would pass the ideal cycle's.
func West(number, meanPressure, sweptVolume, speed, hot, cold float64) float64 {
	return number * meanPressure * sweptVolume * speed * (hot - cold) / (hot + cold)
}

// Beale returns the shaft power, W, by the Beale number, Bn p V f with the
// volume swept by the power piston. Bn of 0.11 to 0.15 is for hot ends of some
// 900 K on coolers of 300 K; see BealeRatio.
func Beale(number, meanPressure, sweptVolume, speed float64) float64 {
	return number * meanPressure * sweptVolume * speed
}

// BealeRatio is the least ratio of hot to cold temperature at which a Beale
// number may be used. The number contains no temperatures; it was gathered
// from engines with ratios of 2 to 3, and overstates a 20 K engine tenfold.
const BealeRatio = 2

// TypicalBealeNumber is the middle of the published 0.11 to 0.15.
const TypicalBealeNumber = 0.13

// PowerEstimate is what can be said about the shaft power of an engine, W, and
// its efficiency. None of the figures is a measurement.
type PowerEstimate struct {
	Schmidt       float64 // ideal isothermal cycle: upper bound from the swept volumes
	West          float64 // West number of the average engine
	Carnot        float64 // Carnot efficiency times intake: upper bound from the heat
	CurzonAhlborn float64 // efficiency at most power times intake
	Beale         float64 // 0 unless BealeApplies
	BealeApplies  bool    // the temperature ratio is at least BealeRatio

	CarnotEfficiency, CurzonAhlbornEfficiency float64
}

// Power returns the estimates for an engine that runs between plates at hot
// and cold, K, at a speed, Hz. For a hot store pass the plates by temperature,
// the warmer first. The zero value is returned when it stands still or hot is
// not above cold.
func (s Stirling) Power(hot, cold, speed float64) PowerEstimate {
	if !(speed > 0) || !(hot > cold) || !(cold > 0) {
		return PowerEstimate{}
	}
	intake := s.Intake(hot-cold, speed)
	p := PowerEstimate{
		Schmidt:                 s.SchmidtWork(hot, cold) * speed,
		West:                    West(MeanWestNumber, s.MeanPressure, s.PowerSweptVolume, speed, hot, cold),
		CarnotEfficiency:        Carnot(hot, cold),
		CurzonAhlbornEfficiency: CurzonAhlborn(hot, cold),
		BealeApplies:            hot >= BealeRatio*cold,
	}
	p.Carnot = p.CarnotEfficiency * intake
	p.CurzonAhlborn = p.CurzonAhlbornEfficiency * intake
	if p.BealeApplies {
		p.Beale = Beale(TypicalBealeNumber, s.MeanPressure, s.PowerSweptVolume, speed)
	}
	return p
}
