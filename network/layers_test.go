package network

import (
	"math"
	"testing"

	"meltspan/transfer"
)

// Radiation counts in the cells of an infill: at 20 % of lines 0.42 mm wide they
// are 4.2 mm across, and between faces of emissivity 0.9 at 10 degC pass
// 0.8182 * 5.14 W/(m2 K) * 4.2 mm = 0.0177 W/(m K) beside the air's 0.025 (grey
// parallel plates and 4 sigma T^3, by hand).
func TestInfillCellsRadiate(t *testing.T) {
	if got := cellConductivity(0.2, 0.9, 0.42e-3); math.Abs(got-0.0427) > 2e-4 {
		t.Errorf("%.4f W/(m K)", got)
	}
	if got := cellConductivity(0.2, 1e-6, 0.42e-3); math.Abs(got-cellAir) > 1e-5 {
		t.Errorf("bright walls: %.4f W/(m K)", got)
	}
	if h := transfer.RadiationCoefficient(283, 283); math.Abs(h-5.14) > 0.01 {
		t.Errorf("black coefficient %.3f W/(m2 K)", h)
	}
}
