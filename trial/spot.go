package trial

import (
	"errors"
	"math"

	"meltspan/transfer"
)

// The band in which cameras without a cooled detector see, m (common
// practice: 7.5 or 8 to 14 um).
const bandFrom, bandTo = 8e-6, 14e-6

// SpotReading is a temperature read off a thermal camera. Temperatures in K,
// emissivities 0 to 1, each with one standard uncertainty where it has one.
type SpotReading struct {
	Shown            float64 // by the camera
	ShownUncertainty float64

	// What the camera reckoned with. A camera that asks for no reflected
	// temperature reckons with something of its own; take the room.
	SetEmissivity, SetReflected float64

	// What holds at the spot.
	Emissivity, EmissivityUncertainty float64
	Reflected, ReflectedUncertainty   float64
}

// ErrSpot is the error of a reading that no surface could give.
var ErrSpot = errors.New("no temperature of the spot gives this reading: the reflected part alone is larger")

// Corrected returns the temperature of the spot and its standard uncertainty,
// K. What reaches the camera is the spot's own emission and what it reflects,
//
//	e W(T) + (1 - e) W(T reflected),
//
// with W the emission of a black body in the camera's band; it is worked out
// from what the camera shows and was set to, and solved for the spot. The way
// of ASTM E1933 and ISO 18434-1; the air between is neglected, as suits a metre
// or two. The spread carries over each uncertainty by a difference (JCGM
// 100:2008, 5.1.3 note 2).
func (r SpotReading) Corrected() (temperature, uncertainty float64, err error) {
	temperature, err = r.solve()
	if err != nil {
		return math.NaN(), math.NaN(), err
	}
	add := func(moved SpotReading) {
		if t, e := moved.solve(); e == nil {
			uncertainty = math.Hypot(uncertainty, t-temperature)
		}
	}
	shown, emissivity, reflected := r, r, r
	shown.Shown += r.ShownUncertainty
	emissivity.Emissivity = min(r.Emissivity+r.EmissivityUncertainty, 1)
	if emissivity.Emissivity == r.Emissivity {
		emissivity.Emissivity -= r.EmissivityUncertainty
	}
	reflected.Reflected += r.ReflectedUncertainty
	for _, moved := range []SpotReading{shown, emissivity, reflected} {
		add(moved)
	}
	return temperature, uncertainty, nil
}

func (r SpotReading) solve() (float64, error) {
	w := func(t float64) float64 { return transfer.BandEmission(t, bandFrom, bandTo) }
	seen := r.SetEmissivity*w(r.Shown) + (1-r.SetEmissivity)*w(r.SetReflected)
	own := (seen - (1-r.Emissivity)*w(r.Reflected)) / r.Emissivity
	low, high := 50.0, 3000.0
	if !(own > w(low) && own < w(high)) {
		return math.NaN(), ErrSpot
	}
	for high-low > 1e-9*high {
		if middle := (low + high) / 2; w(middle) < own {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2, nil
}
