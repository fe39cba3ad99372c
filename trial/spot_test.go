package trial

import (
	"errors"
	"math"
	"testing"
)

func TestSpotAtTheCamerasOwnSettingsStaysAsShown(t *testing.T) {
	r := SpotReading{Shown: 285, ShownUncertainty: 1, SetEmissivity: 0.9, SetReflected: 295, Emissivity: 0.9, Reflected: 295}
	T, u, err := r.Corrected()
	if err != nil || math.Abs(T-285) > 1e-5 || math.Abs(u-1) > 0.02 {
		t.Errorf("%g K +- %g K, %v; want 285 +- 1", T, u, err)
	}
}

// For grey bodies near one temperature the emission is linear in it, so that
// shown = e T + (1 - e) T reflected with the camera set to 1.
func TestSpotNearRoomIsLinear(t *testing.T) {
	for _, e := range []float64{0.95, 0.8, 0.3} {
		r := SpotReading{Shown: e*299 + (1-e)*300, SetEmissivity: 1, Emissivity: e, Reflected: 300}
		if T, _, err := r.Corrected(); err != nil || math.Abs(T-299) > 0.02 {
			t.Errorf("emissivity %g: %g K, %v; want 299", e, T, err)
		}
	}
}

// Polished metal at the ice's temperature shows nearly the room's.
func TestSpotOfPolishedMetalIsUncertain(t *testing.T) {
	r := SpotReading{Shown: 294, ShownUncertainty: 0.5, SetEmissivity: 1, Emissivity: 0.1, EmissivityUncertainty: 0.02,
		Reflected: 295, ReflectedUncertainty: 1}
	T, u, err := r.Corrected()
	if err != nil || T > 288 || u < 5 {
		t.Errorf("%g K +- %g K, %v", T, u, err)
	}
	r.Shown = 270
	if _, _, err := r.Corrected(); !errors.Is(err, ErrSpot) {
		t.Errorf("%v, want %v", err, ErrSpot)
	}
}
