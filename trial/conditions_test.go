package trial

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"meltspan/design"
	"meltspan/network"
	"meltspan/quantity"
)

func demo(t *testing.T) *design.Design {
	t.Helper()
	d, err := design.Parse("demo", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestArrangedTakesTheSettings(t *testing.T) {
	t.Parallel()
	d := demo(t)
	before := d.Revision()
	trial := Trial{Settings: []Setting{{"store.mass", "101.3 g +- 0.2 g"}, {"room.temperature", "19.5 degC"}}}
	got, err := trial.Arranged(d)
	if err != nil {
		t.Fatal(err)
	}
	mass := got.Store.Mass
	if math.Abs(mass.SI-0.1013) > 1e-12 || math.Abs(mass.Spread-0.0002) > 1e-12 || mass.Origin != quantity.Measured {
		t.Errorf("mass %+v", mass)
	}
	// The radiant temperature follows the air.
	if math.Abs(got.Room.Radiant.SI-292.65) > 1e-9 || d.Revision() != before {
		t.Errorf("radiant temperature %g K; the design passed in has revision %s, had %s", got.Room.Radiant.SI, d.Revision(), before)
	}
	for _, s := range []Setting{{"store.mass", "much"}, {"store.mas", "100 g"}} {
		var p design.Problem
		if _, err := (&Trial{Settings: []Setting{s}}).Arranged(d); !errors.As(err, &p) {
			t.Errorf("%v: %v", s, err)
		}
	}
	var ps design.Problems
	if _, err := (&Trial{Settings: []Setting{{"stand.cup.diameter", "200 mm"}}}).Arranged(d); !errors.As(err, &ps) {
		t.Errorf("a cup wider than the body: %v", err)
	}
}

// A room logged in a trial means what the same log means beside a design.
func TestLoggedRoomMeansWhatARoomLogMeans(t *testing.T) {
	t.Parallel()
	temperature := func(t float64) float64 { return 22 + 3*math.Sin(t/4000) }
	humidity := func(t float64) float64 { return 45 + 10*math.Cos(t/5000) }
	var rows strings.Builder
	rows.WriteString("time_s,temperature_degC,humidity_percent\n")
	trial := Trial{Series: []Series{{Quantity: Room}, {Quantity: Humidity}}}
	for i := range 600 {
		at := float64(i) * 60
		fmt.Fprintf(&rows, "%g,%.17g,%.17g\n", at, temperature(at), humidity(at))
		trial.Series[0].Samples = append(trial.Series[0].Samples, Sample{Time: at, Value: temperature(at) + 273.15})
		trial.Series[1].Samples = append(trial.Series[1].Samples, Sample{Time: at, Value: humidity(at) / 100}, Sample{Time: at, Value: 99, Mark: Repeated})
	}
	text := strings.Replace(string(design.Demo()), "\nroom:\n", "\nroom:\n  log: room.csv\n", 1)
	beside, err := design.Parse("demo", []byte(text), func(string) ([]byte, error) { return []byte(rows.String()), nil })
	if err != nil {
		t.Fatal(err)
	}
	got, err := trial.Arranged(demo(t))
	if err != nil {
		t.Fatal(err)
	}
	if len(beside.Room.Series) != 600 || len(got.Room.Series) != 600 {
		t.Fatalf("%d and %d rows", len(beside.Room.Series), len(got.Room.Series))
	}
	var runs [2]float64
	for i, d := range []*design.Design{beside, got} {
		m, err := network.Build(d)
		if err != nil {
			t.Fatal(err)
		}
		runs[i] = m.Time(network.Options{}).RunTime
	}
	if math.Abs(runs[0]-runs[1]) > 1e-6*runs[0] {
		t.Errorf("%g s beside the design, %g s from the trial", runs[0], runs[1])
	}
	if got.Room.Temperature.Spread != roomSpread || math.Abs(got.Room.Temperature.SI-beside.Room.Temperature.SI) > 1e-9 {
		t.Errorf("mean %+v, want %+v", got.Room.Temperature, beside.Room.Temperature)
	}
}

// A long log is thinned, and its mean stays.
func TestLongRoomLogsAreThinned(t *testing.T) {
	t.Parallel()
	room := series(Room, 1, 50000, func(t float64) float64 { return 290 + t/10000 })
	room.Uncertainty = 0.2
	got, err := (&Trial{Series: []Series{room}}).Arranged(demo(t))
	if err != nil {
		t.Fatal(err)
	}
	if n := len(got.Room.Series); n > mostRoomSamples || n < mostRoomSamples/2 {
		t.Errorf("%d rows", n)
	}
	if mean := got.Room.Temperature; math.Abs(mean.SI-292.5) > 1e-3 || mean.Spread != 0.2 {
		t.Errorf("mean %+v", mean)
	}
	if h := got.Room.Series[7].Humidity; h != demo(t).Room.Humidity.SI {
		t.Errorf("humidity %g without a log of it", h)
	}
}

func TestTrialsThatCannotBe(t *testing.T) {
	t.Parallel()
	for _, events := range [][]Event{
		{{Kind: Started, Time: -5}},
		{{Kind: Started, Time: 100}, {Kind: Stalled, Time: 50}},
	} {
		if err := (&Trial{Events: events}).Check(); err == nil {
			t.Errorf("%v is taken", events)
		}
	}
	if err := (&Trial{Events: []Event{{Kind: LoadSet, Time: -3}, {Kind: Stalled, Time: 50}}}).Check(); err != nil {
		t.Error(err)
	}
}

func TestWordsOfTrialsAreComplete(t *testing.T) {
	t.Parallel()
	for _, q := range Quantities() {
		if len(quantity.Units(q.Measures())) == 0 {
			t.Errorf("%s is measured in no unit", q)
		}
	}
	if len(Quantities()) != 10 || len(Kinds()) != 4 || len(EventKinds()) != 6 {
		t.Error("a word is missing from its list")
	}
}
