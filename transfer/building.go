package transfer

import "math"

// HeatFlowDirection says which way heat crosses a level or upright air layer.
type HeatFlowDirection int

// The three directions of ISO 6946.
const (
	Horizontal HeatFlowDirection = iota
	Upward
	Downward
)

// SurfaceResistanceISO6946 returns the surface resistance 1/(hc + eps hr0),
// m2 K/W, of ISO 6946:2017 Annex C. hc is 5.0, 2.5 or 0.7 W/(m2 K) inside for
// heat going up, sideways or down, and 4 + 4 v outside at v m/s; hr0 is the
// black-body coefficient.
func SurfaceResistanceISO6946(convective, emissivity, blackCoefficient float64) float64 {
	return 1 / (convective + emissivity*blackCoefficient)
}

// AirLayerResistanceISO6946 returns the thermal resistance, m2 K/W, of an
// unventilated air layer by ISO 6946:2017 Annex D: 1/(ha + E hr0) with ha the
// larger of 0.025/d and 1.25 (horizontal), 1.95 (upward) or 0.12 d^-0.44
// (downward). thickness d in m, up to 0.3; blackCoefficient hr0 in W/(m2 K)
// (5.1 at 10 degC, 5.7 at 20 degC); temperature differences up to 5 K.
func AirLayerResistanceISO6946(direction HeatFlowDirection, thickness, emissivity1, emissivity2, blackCoefficient float64) float64 {
	convective := 1.25
	switch direction {
	case Upward:
		convective = 1.95
	case Downward:
		convective = 0.12 * math.Pow(thickness, -0.44)
	}
	convective = math.Max(convective, 0.025/thickness)
	return 1 / (convective + ExchangeParallel(emissivity1, emissivity2)*blackCoefficient)
}

// CavityConductivityISO10077 returns the equivalent conductivity, W/(m K), of
// an unventilated rectangular cavity by EN ISO 10077-2:2017, 6.4.2. depth d is
// along the heat flow, width b across it, both in m; difference is that across
// the cavity, K, or 0 when it is not known (then 1.57 W/(m2 K), the standard's
// figure for 10 K); meanTemperature in K.
func CavityConductivityISO10077(depth, width, emissivity1, emissivity2, difference, meanTemperature float64) float64 {
	convective := 0.025 / depth
	if width >= 0.005 {
		loop := 1.57
		if difference != 0 {
			loop = 0.73 * math.Cbrt(math.Abs(difference))
		}
		convective = math.Max(convective, loop)
	}
	shape := depth / width
	view := (1 + math.Sqrt(1+shape*shape) - shape) / 2
	black := 4 * StefanBoltzmann * meanTemperature * meanTemperature * meanTemperature
	radiative := black / (1/emissivity1 + 1/emissivity2 - 2 + 1/view)
	return depth * (convective + radiative)
}
