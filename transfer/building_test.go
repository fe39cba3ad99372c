package transfer

import (
	"math"
	"testing"
)

// ISO 6946:2017 Table 7 and Annex C, from memory; formula values worked out.
func TestSurfaceResistances(t *testing.T) {
	for _, c := range []struct {
		name                     string
		hc, hr, formula, printed float64
	}{
		{"inside, up", 5, 5.7, 0.09872, 0.10},
		{"inside, level", 2.5, 5.7, 0.13106, 0.13},
		{"inside, down", 0.7, 5.7, 0.17153, 0.17},
		{"outside, 4 m/s", 4 + 4*4, 5.1, 0.04067, 0.04},
	} {
		got := SurfaceResistanceISO6946(c.hc, 0.9, c.hr)
		near(t, c.name, got, c.formula, 1e-4)
		if math.Abs(got-c.printed) > 0.005 {
			t.Errorf("%s = %g, the table prints %g", c.name, got, c.printed)
		}
	}
}

// ISO 6946:2017 Table 8 (printed) and Annex D (formula), emissivities 0.9, at
// 10 degC; from memory, formula values worked out.
func TestAirLayers(t *testing.T) {
	for _, c := range []struct {
		direction        HeatFlowDirection
		mm               float64
		formula, printed float64
	}{
		{Horizontal, 5, 0.1090, 0.11}, {Horizontal, 7, 0.1291, 0.13}, {Horizontal, 10, 0.1499, 0.15},
		{Horizontal, 15, 0.1713, 0.17}, {Horizontal, 25, 0.1844, 0.18}, {Horizontal, 300, 0.1844, 0.18},
		{Upward, 5, 0.1090, 0.11}, {Upward, 15, 0.1633, 0.16}, {Upward, 50, 0.1633, 0.16},
		{Downward, 15, 0.1713, 0.17}, {Downward, 25, 0.1933, 0.19}, {Downward, 50, 0.2140, 0.21},
		{Downward, 100, 0.2221, 0.22}, {Downward, 300, 0.2285, 0.23},
	} {
		got := AirLayerResistanceISO6946(c.direction, c.mm/1000, 0.9, 0.9, 5.1)
		near(t, "m2 K/W", got, c.formula, 5e-4)
		if math.Abs(got-c.printed) > 0.0051 {
			t.Errorf("%g mm: %g, the table prints %g", c.mm, got, c.printed)
		}
	}
}

// EN ISO 10077-2:2017, 6.4.2, from memory; worked out with sigma 5.67e-8.
func TestWindowCavities(t *testing.T) {
	near(t, "20 x 20", CavityConductivityISO10077(0.02, 0.02, 0.9, 0.9, 0, 283.15), 0.0943251, 1e-4)
	near(t, "10 x 40, 10 K", CavityConductivityISO10077(0.01, 0.04, 0.9, 0.9, 10, 283.15), 0.0632705, 1e-4)
	near(t, "5 x 50", CavityConductivityISO10077(0.005, 0.05, 0.9, 0.9, 0, 283.15), 0.0452368, 1e-4)
}
