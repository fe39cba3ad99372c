package matter

// DryAir returns the state of dry air at a temperature (K) and a pressure
// (Pa), for 200 to 400 K and up to a few bar.
//
// Density and expansion: the virial equation cut off after its second
// coefficient,
//
//	rho = p / (R T Z),  Z = 1 + b(T) p/T,
//
// with b fitted here, to 4e-6 of the density over 220 to 400 K, to the
// equation of state of Lemmon, Jacobsen, Penoncello & Friend, J. Phys. Chem.
// Ref. Data 29 (2000) 331; R is that of real air, which makes it 0.03 %
// denser than their mixture.
//
// Specific heat, viscosity and conductivity: polynomials fitted here, to 1e-4
// over 200 to 400 K at one atmosphere, to the same equation of state and to
// Lemmon & Jacobsen, Int. J. Thermophys. 25 (2004) 21, whose stated
// uncertainties are 1 % (viscosity) and 2 % (conductivity). They neglect
// pressure: 0.2 % per bar or less.
func DryAir(temperature, pressure float64) Fluid {
	y := 300/temperature - 1
	b := -1.62691e-6 + y*(-6.21537e-6+y*-1.94347e-6)  // K/Pa
	tbt := -(y + 1) * (-6.21537e-6 + y*2*-1.94347e-6) // T db/dT
	ratio := pressure / temperature
	z := 1 + b*ratio
	x := temperature/300 - 1
	return Fluid{
		Density:      ratio / (GasConstantDryAir * z),
		SpecificHeat: 1006.36313 + x*(11.04325+x*36.72834),
		Conductivity: 1e-3 * (26.38497 + x*(22.28028+x*(-3.65357+x*1.30756))),
		Viscosity:    1e-6 * (18.53786 + x*(14.45504+x*(-3.08067+x*1.14825))),
		Expansion:    (1 + (tbt-b)*ratio/z) / temperature,
	}
}
