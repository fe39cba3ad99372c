package calibrate

import (
	"math"
	"math/rand/v2"
	"testing"

	"meltspan/calibrate/internal/synthetic"
	"meltspan/design"
	"meltspan/predict"
)

func demo(t testing.TB) *design.Design {
	t.Helper()
	d, err := design.Parse("demo.yaml", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// assumed is a world as the default discrepancy has it, with a logged trial.
func assumed(a Discrepancy, reach float64, source *rand.Rand) synthetic.World {
	return synthetic.World{
		Pace:    math.Exp(a.Design*source.NormFloat64() + a.Repeat*source.NormFloat64()),
		LastIce: a.LastIce, Temperature: a.Temperature, Speed: a.Speed, Length: a.Correlation * reach,
		Sensor: a.Sensor, Tachometer: a.Tachometer, Noise: 0.05, Interval: 60, Stopwatch: a.Stopwatch, Turning: true, Tail: 600,
	}
}

// drawnTruth is the design with every uncertain input at a drawn value, and the
// deviates by path.
func drawnTruth(t testing.TB, d *design.Design, source *rand.Rand) (*design.Design, map[string]float64) {
	t.Helper()
	truth, deviates := d.Clone(), map[string]float64{}
	unknowns, err := predict.Unknowns(d)
	if err != nil {
		t.Fatal(err)
	}
	for i := range unknowns {
		z := source.NormFloat64()
		unknowns[i].Set(truth, z)
		deviates[unknowns[i].Input().Path] = z
	}
	truth.Rederive()
	return truth, deviates
}
