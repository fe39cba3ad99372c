package transfer

import "testing"

// Still air in a cold store gives 5 to 10 W/(m2 K), radiation included, and a
// blast of 5 m/s 25 to 35 (handbooks of refrigeration; common practice).
func TestFreezerFilmIsAsHandbooksHaveIt(t *testing.T) {
	film := func(speed float64) float64 { return FreezerFilm(speed, 255.15, 273.15, 0.08, 0.028, 0.9, 101325) }
	for _, c := range []struct{ speed, low, high float64 }{{0, 5, 10}, {5, 25, 45}} {
		if got := film(c.speed); !(got >= c.low && got <= c.high) {
			t.Errorf("at %g m/s: %g W/(m2 K), want %g to %g", c.speed, got, c.low, c.high)
		}
	}
	last := 0.0
	for _, speed := range []float64{0, 0.1, 0.5, 1, 2, 5, 10} {
		if got := film(speed); got <= last {
			t.Errorf("at %g m/s: %g W/(m2 K), less than in slower air", speed, got)
		} else {
			last = got
		}
	}
}

// A tall cylinder across a fast stream by hand: air at -15.75 degC, 1 atm
// (Incropera Table A.4 by interpolation: density 1.37 kg/m3, viscosity 16.3e-6
// Pa s, conductivity 22.9e-3 W/(m K), Pr 0.72), 40 mm, 5 m/s: Re 16.8e3; equation
// 7.54 gives Nu 72.2, so 41.3 W/(m2 K), and radiation 0.9 4 sigma T^3 = 3.4.
// The ends, 1/50 of the face, and free convection count for little.
func TestFreezerFilmByHand(t *testing.T) {
	near(t, "W/(m2 K)", FreezerFilm(5, 255.15, 259.65, 0.04, 1, 0.9, 101325), 41.3+3.4, 0.02)
}
