package matter

import "math/cmplx"

// IceState is the thermodynamic state of ice Ih. Energies count from the
// liquid at the triple point, as IAPWS-95 does.
type IceState struct {
	Gibbs        float64 // J/kg
	Enthalpy     float64 // J/kg
	Entropy      float64 // J/(kg K)
	SpecificHeat float64 // J/(kg K)
	Density      float64 // kg/m3
	Expansion    float64 // 1/K, of volume
}

// IceGibbs returns the state of ice Ih at a temperature (K) and a pressure
// (Pa) from its Gibbs energy: IAPWS R10-06(2009), "Revised Release on the
// Equation of State 2006 for H2O Ice Ih", equation 1 and Table 2. Valid from
// 0 to 273.16 K and up to 210 MPa. It takes a microsecond; where ice stays at
// atmospheric pressure, IceDensity and IceSpecificHeat are quicker.
func IceGibbs(temperature, pressure float64) IceState {
	const (
		t1 complex128 = 0.368017112855051e-1 + 0.510878114959572e-1i
		r1 complex128 = 0.447050716285388e2 + 0.656876847463481e2i
		t2 complex128 = 0.337315741065416 + 0.335449415919309i
		// Coefficients of the powers of the reduced pressure in r2.
		r20 complex128 = -0.725974574329220e2 - 0.781008427112870e2i
		r21 complex128 = -0.557107698030123e-4 + 0.464578634580806e-4i
		r22 complex128 = 0.234801409215913e-10 - 0.285651142904972e-10i

		residualEntropy = -0.332733756492168e4 // J/(kg K), the one that agrees with IAPWS-95
	)
	tau := complex(temperature/TriplePoint, 0)
	p := (pressure - StandardPressure) / TriplePointPressure

	g0 := -0.632020233335886e6 + p*(0.655022213658955+p*(-0.189369929326131e-7+
		p*(0.339746123271053e-14+p*-0.556464869058991e-21)))
	g0p := (0.655022213658955 + p*(2*-0.189369929326131e-7+
		p*(3*0.339746123271053e-14+p*4*-0.556464869058991e-21))) / TriplePointPressure
	r2 := r20 + complex(p, 0)*(r21+complex(p, 0)*r22)
	r2p := (r21 + complex(2*p, 0)*r22) / TriplePointPressure

	f1, f1t, f1tt := icePole(t1, tau)
	f2, f2t, f2tt := icePole(t2, tau)
	g := g0 - residualEntropy*temperature + TriplePoint*real(r1*f1+r2*f2)
	gt := -residualEntropy + real(r1*f1t+r2*f2t)
	gtt := real(r1*f1tt+r2*f2tt) / TriplePoint
	gp := g0p + TriplePoint*real(r2p*f2)
	gtp := real(r2p * f2t)
	return IceState{
		Gibbs:        g,
		Enthalpy:     g - temperature*gt,
		Entropy:      -gt,
		SpecificHeat: -temperature * gtt,
		Density:      1 / gp,
		Expansion:    gtp / gp,
	}
}

// icePole is the term of one complex pole t in the Gibbs energy, and its
// first and second derivative with the reduced temperature tau.
func icePole(t, tau complex128) (f, ft, ftt complex128) {
	below, above := cmplx.Log(t-tau), cmplx.Log(t+tau)
	f = (t-tau)*below + (t+tau)*above - 2*t*cmplx.Log(t) - tau*tau/t
	ft = above - below - 2*tau/t
	ftt = 1/(t-tau) + 1/(t+tau) - 2/t
	return f, ft, ftt
}
