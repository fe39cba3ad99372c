package transfer

import "math"

// Shape is a body that freezes from its faces inwards.
type Shape int

// The shapes; Half means half the thickness of a slab, the radius of the rest.
const (
	Slab          Shape = iota // both faces cooled
	LongCylinder               // side cooled
	Ball                       // a sphere
	ShortCylinder              // side and both ends cooled
)

// FreezingBody is a charge in its mould, without the mould's wall: put that
// into the film.
type FreezingBody struct {
	Shape  Shape
	Half   float64 // half thickness (slab) or radius, m
	Height float64 // of a short cylinder, m; for one end insulated, twice the true height
}

// FreezingSubstance is what a charge is made of. Density belongs to one state
// for all three stages: use the liquid's, and mass is right throughout.
type FreezingSubstance struct {
	Density            float64 // kg/m3
	FreezingPoint      float64 // K
	LatentHeat         float64 // J/kg
	LiquidSpecificHeat float64 // J/(kg K)
	LiquidConductivity float64 // W/(m K); larger where the liquid convects
	FrozenSpecificHeat float64 // J/(kg K)
	FrozenConductivity float64 // W/(m K)
}

// FreezingStages are the times, s, of the three stages of freezing.
type FreezingStages struct {
	Cooling    float64 // of the liquid to its freezing point
	Freezing   float64 // until the last of it is frozen
	Subcooling float64 // of the solid, its mean, to the final temperature
}

// Total returns the sum of the stages, s.
func (s FreezingStages) Total() float64 { return s.Cooling + s.Freezing + s.Subcooling }

// FreezingTimePlank returns the time, s, in which a body at its freezing point
// freezes through in air that is difference kelvins colder,
//
//	t = rho L / dT (P a/h + R a^2/k)
//
// Plank 1913 and 1941. For full thickness or diameter a: P = 1/2, 1/4, 1/6 and
// R = 1/8, 1/16, 1/24 for slab, long cylinder and sphere. density in kg/m3,
// latentHeat in J/kg, film in W/(m2 K), conductivity of the frozen part in
// W/(m K). Sensible heat of the frozen part is left out, so that the time is
// exact as c dT / L goes to 0 and short by up to c dT / (3 L) otherwise (4 %
// for ice in air of -18 degC). +Inf when the air is not colder.
//
// The factors follow for any shape from one exact statement. The integral of
// temperature over the freezing time obeys the steady conduction equation with
// the uniform source rho L, so that t dT is the middle temperature of that
// problem (Hossain, Cleland and Cleland, International Journal of Refrigeration
// 15 (1992) 227, build their shape factors so). A short cylinder is done by
// its series.
func FreezingTimePlank(body FreezingBody, density, latentHeat, difference, film, conductivity float64) float64 {
	if !(difference > 0) {
		return math.Inf(1)
	}
	middle, _ := sourceProblem(body, film, conductivity)
	return density * latentHeat / difference * middle
}

// FreezingTime returns the three stages of freezing a charge from the start
// temperature to a mean final temperature in a freezer (all K) through a film
// of heat transfer coefficient film, W/(m2 K). After Pham, International
// Journal of Refrigeration 7 (1984) 377: Plank's equation for the middle stage
// and, before and after, cooling of a body whose inner resistance is that of a
// steadily cooling one (Pham's 1 + Bi/6 on the full thickness of a slab). A
// start below the freezing point, or a final temperature above it, skips its
// stage. +Inf when the freezer is too warm to get there.
func FreezingTime(body FreezingBody, s FreezingSubstance, film, start, final, freezer float64) FreezingStages {
	var stages FreezingStages
	if start > s.FreezingPoint {
		_, mean := sourceProblem(body, film, s.LiquidConductivity)
		stages.Cooling = s.Density * s.LiquidSpecificHeat * mean * coolingLogarithm(start, s.FreezingPoint, freezer)
	}
	stages.Freezing = FreezingTimePlank(body, s.Density, s.LatentHeat, s.FreezingPoint-freezer, film, s.FrozenConductivity)
	if final < s.FreezingPoint {
		_, mean := sourceProblem(body, film, s.FrozenConductivity)
		stages.Subcooling = s.Density * s.FrozenSpecificHeat * mean * coolingLogarithm(s.FreezingPoint, final, freezer)
	}
	return stages
}

// coolingLogarithm is ln((from - air)/(to - air)), +Inf when air is too warm.
func coolingLogarithm(from, to, air float64) float64 {
	if !(to > air) {
		return math.Inf(1)
	}
	return math.Log((from - air) / (to - air))
}

// sourceProblem returns the middle and the mean temperature excess over the
// surroundings, per unit of heat source, m3 K/W, of a body with a uniform heat
// source, conductivity k and surface coefficient h.
func sourceProblem(b FreezingBody, h, k float64) (middle, mean float64) {
	r := b.Half
	switch b.Shape {
	case LongCylinder:
		return r/(2*h) + r*r/(4*k), r/(2*h) + r*r/(8*k)
	case Ball:
		return r/(3*h) + r*r/(6*k), r/(3*h) + r*r/(15*k)
	case ShortCylinder:
		return shortCylinderSource(r, b.Height/2, h, k)
	}
	return r/h + r*r/(2*k), r/h + r*r/(3*k)
}

// shortCylinderSource is sourceProblem for a cylinder cooled all round: the
// slab's solution between the ends less, for each of the slab's eigenfunctions
// cos(x z/l), the part cos(x z/l) I0(x r/l) that makes the side exchange heat
// too. Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed., 8.3, gives
// the method.
func shortCylinderSource(r, l, h, k float64) (middle, mean float64) {
	biot := h * l / k
	middle, mean = l/h+l*l/(2*k), l/h+l*l/(3*k)
	for n := range 400 {
		x := slabRoot(n, biot)
		s, c := math.Sincos(x)
		weight := 2 * s / (x + s*c) * l * l / (k * x * x) // slab's coefficient of this term
		y := x * r / l
		if y > 600 {
			break // the side is felt by a vanishing share of the volume
		}
		i0, i1 := besselI(0, y), besselI(1, y)
		side := weight * biot / (biot*i0 + x*i1)
		middle -= side
		mean -= side * s / x * 2 * i1 / y
		if math.Abs(side)*i0 < 1e-12*middle {
			break
		}
	}
	return middle, mean
}

// slabRoot is the root of x tan x = biot in (n pi, n pi + pi/2), by bisection
// of x sin x - biot cos x, which changes sign once there.
func slabRoot(n int, biot float64) float64 {
	low, high := float64(n)*math.Pi, (float64(n)+0.5)*math.Pi
	sign := 1.0
	if n%2 == 1 {
		sign = -1
	}
	for range 60 {
		x := (low + high) / 2
		s, c := math.Sincos(x)
		if sign*(x*s-biot*c) < 0 {
			low = x
		} else {
			high = x
		}
	}
	return (low + high) / 2
}
