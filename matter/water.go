package matter

import "math"

// Liquid water at 0.1 MPa after IAPWS SR6-08(2011), "Revised Supplementary
// Release on Properties of Liquid Water at 0.1 MPa", Table 1: alpha =
// 10 K/(593 K - T), beta = 10 K/(T - 232 K). One atmosphere instead of 0.1
// MPa changes the density by 6e-7. Valid from 253.15 K (supercooled) to
// 383.15 K.
const (
	waterGasConstant = 461.51805 // J/(kg K), as the release fixes it
	waterScale       = 10.0      // K
)

// Water returns the state of liquid water (K) at atmospheric pressure, valid
// from 253.15 to 373 K. Its density has a maximum near 277.13 K, where
// Expansion changes sign. Stated uncertainties (from memory): density
// 1e-6, specific heat 0.1 %, viscosity 1 %, conductivity 2 %.
func Water(temperature float64) Fluid {
	volume, slope := waterVolume(temperature)
	// Equations 7 and 8 are sums of powers of 300 K/T whose exponents are all
	// multiples of 0.05: one power serves for all of them.
	q := math.Exp(0.05 * math.Log(300/temperature))
	q2 := q * q
	q4 := q2 * q2
	q8 := q4 * q4
	q16 := q8 * q8
	q32 := q16 * q16
	q64 := q32 * q32
	q128 := q64 * q64
	q256 := q128 * q128
	viscosity := 280.68*q32*q4*q2 + // -1.9
		511.45*q128*q16*q8*q2 + // -7.7
		61.131*q256*q128*q8 + // -19.6
		0.45903*q256*q256*q256*q32 // -40
	conductivity := 1.6630*q16*q4*q2*q - // -1.15
		1.7781*q64*q4 + // -3.4
		1.1567*q64*q32*q16*q8 - // -6.0
		0.432115*q128*q16*q8 // -7.6
	return Fluid{
		Density:      1 / volume,
		SpecificHeat: WaterSpecificHeat(temperature),
		Conductivity: conductivity,
		Viscosity:    viscosity * 1e-6,
		Expansion:    slope / volume,
	}
}

// WaterDensity in kg/m3 of liquid water (K), valid from 253.15 to 383.15 K.
func WaterDensity(temperature float64) float64 {
	volume, _ := waterVolume(temperature)
	return 1 / volume
}

// waterVolume returns the specific volume in m3/kg and its derivative with
// temperature (SR6-08 equations 2 and 5).
func waterVolume(temperature float64) (volume, slope float64) {
	const perPressure = waterGasConstant / 1e5 // R/p0
	a := waterScale / (593 - temperature)
	b := waterScale / (temperature - 232)
	a2 := a * a
	a4, b2 := a2*a2, b*b
	v := 1.93763157e-2 +
		a4*(6.74458446e3+a*(-2.22521604e5+a2*(1.00231247e8+a*(-1.63552118e9+a*8.32299658e9)))) +
		b*(5.78545292e-3+b*(-1.53195665e-2+b*(3.11337859e-2+b*(-4.23546241e-2+b*(3.38713507e-2+b*-1.19946761e-2)))))
	s := a4*a*(4*6.74458446e3+a*(5*-2.22521604e5+a2*(7*1.00231247e8+a*(8*-1.63552118e9+a*9*8.32299658e9)))) -
		b2*(5.78545292e-3+b*(2*-1.53195665e-2+b*(3*3.11337859e-2+b*(4*-4.23546241e-2+b*(5*3.38713507e-2+b*6*-1.19946761e-2)))))
	return perPressure * waterScale * v, perPressure * s
}

// WaterSpecificHeat in J/(kg K) of liquid water (K), valid from 253.15 to
// 383.15 K (SR6-08 equation 4).
func WaterSpecificHeat(temperature float64) float64 {
	a := waterScale / (593 - temperature)
	b := waterScale / (temperature - 232)
	a2 := a * a
	a6, b4 := a2*a2*a2, b*b*b*b
	sum := a6*(20*-1.661470539e5+a*(30*2.708781640e6+a2*56*-1.557191544e8)) +
		b4*(6*-8.237426256e-1+b*(12*1.908956353+b*(20*-2.017597384+b*30*8.546361348e-1)))
	return -waterGasConstant * (-8.983025854 + temperature/waterScale*sum)
}

// WaterEnthalpy in J/kg of liquid water (K) at 0.1 MPa, zero at the triple
// point up to the work of compression (SR6-08 equations 1 and 3: h = g + T s).
func WaterEnthalpy(temperature float64) float64 {
	tau := temperature / waterScale
	a := waterScale / (593 - temperature)
	b := waterScale / (temperature - 232)
	a2, b2 := a*a, b*b
	a4 := a2 * a2
	gibbs := a4*(-1.661470539e5+a*(2.708781640e6+a2*-1.557191544e8)) +
		b2*(-8.237426256e-1+b*(1.908956353+b*(-2.017597384+b*8.546361348e-1)))
	slope := a4*a*(4*-1.661470539e5+a*(5*2.708781640e6+a2*7*-1.557191544e8)) -
		b2*b*(2*-8.237426256e-1+b*(3*1.908956353+b*(4*-2.017597384+b*5*8.546361348e-1)))
	// The terms in c2 and c3 ln(tau) cancel between g and T s.
	return waterGasConstant * waterScale * (-2.452093414e2 + 8.983025854*tau + gibbs - tau*slope)
}
