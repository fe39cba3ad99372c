// Command makedemo writes the invented trials of calibrate/demo: five stands, a
// bench log, a plate heater and a weighed melt, all of one invented engine.
//
//	go run ./calibrate/internal/makedemo calibrate/demo
//
// The data are made by the section model on cells of 1 mm, with the true values
// of everything uncertain drawn once from the design's own spreads, and with
// sensor errors, drift and scatter from trial to trial added. The seed was chosen
// before the first run and not changed since; another, given as a second argument,
// makes another such world for the check in docs/verification.md.
package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"meltspan/calibrate/internal/synthetic"
	"meltspan/design"
	"meltspan/predict"
	"meltspan/trial"
)

const (
	ownSeed = 20261125
	section = 1e-3 // m
)

// stands are the five designs, as changes of the starter. What is not changed is
// the same in all: engine, polymer, cup.
var stands = []struct {
	name    string
	changes []string
	room    float64 // degC
	humid   float64 // %
}{
	{"stand 1", nil, 22, 50},
	{"stand 2", []string{"cavities: 2 ", "cavities: 1 "}, 23, 45},
	{"stand 3", []string{"cavities: 2 ", "cavities: 3 "}, 21.5, 55},
	{"stand 4", []string{"mass: 110 g ", "mass: 95 g  "}, 22.5, 60},
	{"stand 5", []string{"outer_diameter: 116 mm", "outer_diameter: 108 mm"}, 24, 50},
}

func main() {
	seed := uint64(ownSeed)
	var bad error
	if len(os.Args) == 3 {
		seed, bad = strconv.ParseUint(os.Args[2], 10, 64)
	}
	if len(os.Args) < 2 || len(os.Args) > 3 || bad != nil {
		fmt.Fprintln(os.Stderr, "usage: makedemo FOLDER [SEED]")
		os.Exit(2)
	}
	if err := write(os.Args[1], seed); err != nil {
		fmt.Fprintln(os.Stderr, "makedemo:", err)
		os.Exit(1)
	}
}

// text is a stand's file.
func text(i int) string {
	s := string(design.Demo())
	s = strings.Replace(s, "name: school bench", "name: "+stands[i].name, 1)
	at := strings.Index(s, "note:")
	end := at + strings.Index(s[at:], "\n")
	s = s[:at] + `note: "One of five invented stands of the example notebook. Nobody has built it; its trials are made by the section model with noise."` + s[end:]
	s = strings.Replace(s, "    chamber_height:", "    still_conductance: 0.085 W/K +- 25 %  # a guess from its parts\n    chamber_height:", 1)
	s = strings.Replace(s, "stall_difference: 6 K +- 0.6 K ", "stall_difference: 5 K +- 0.5 K ", 1)
	s = strings.Replace(s, "start_difference: 7 K ", "start_difference: 6 K ", 1)
	s = strings.Replace(s, "    diameter: 92 mm", "    diameter: 78 mm", 1)
	s = strings.Replace(s, "mode: on_rim ", "mode: pressed", 1)
	s = strings.Replace(s, "# plate on the rim; or pressed, no_contact", "# the lower plate goes down with the ice", 1)
	for k := 0; k+1 < len(stands[i].changes); k += 2 {
		s = strings.Replace(s, stands[i].changes[k], stands[i].changes[k+1], 1)
	}
	return s
}

// world is how well this bench measures.
func world(source *rand.Rand) synthetic.World {
	return synthetic.World{
		Section: section, Pace: math.Exp(0.03 * source.NormFloat64()), LastIce: 0.02,
		Temperature: 0.2, Speed: 0.05, Length: 7500, Sensor: 0.2, Tachometer: 0.01,
		Noise: 0.06, Interval: 120, Stopwatch: 30, Turning: true, Room: true, Tail: 1200,
	}
}

func write(folder string, seed uint64) error {
	source := rand.New(rand.NewPCG(seed, 1))
	shared := map[string]float64{}
	var trials []trial.Trial
	var truths []truthLine
	for i, s := range stands {
		file := fmt.Sprintf("stand-%d.yaml", i+1)
		body := text(i)
		if err := os.WriteFile(filepath.Join(folder, file), []byte(body), 0o644); err != nil {
			return err
		}
		d, err := design.Parse(file, []byte(body), nil)
		if err != nil {
			return err
		}
		truth, err := drawn(d, shared, source)
		if err != nil {
			return err
		}
		settle(truth, s.room, s.humid, source)
		t, what, err := synthetic.Run(fmt.Sprintf("trial %d", i+1), truth, world(source), source)
		if err != nil {
			return err
		}
		t.Revision = d.Revision()
		t.Settings = []trial.Setting{{Path: "store.mass", Value: fmt.Sprintf("%.1f g +- 0.5 g", 1000*(truth.Store.Mass.SI+0.0005*source.NormFloat64()))}}
		t.Note = "Invented: made by the section model with noise."
		trials = append(trials, *t)
		truths = append(truths, truthLine{t.Name, what.RunTime, what.LastIce})
		if i > 0 {
			continue
		}
		bench, err := benchTrials(d, truth, source)
		if err != nil {
			return err
		}
		trials = append(trials, bench...)
	}
	for i := range trials {
		if err := writeLog(folder, &trials[i]); err != nil {
			return err
		}
	}
	return writeFacts(folder, seed, trials, truths, shared)
}

type truthLine struct {
	Trial   string  `json:"trial"`
	RunTime float64 `json:"run_time_s"`
	LastIce float64 `json:"last_ice_s"`
}

// drawn gives every uncertain input a true value: one for all stands where it is
// the same thing, one for each where it belongs to a trial.
func drawn(d *design.Design, shared map[string]float64, source *rand.Rand) (*design.Design, error) {
	unknowns, err := predict.Unknowns(d)
	if err != nil {
		return nil, err
	}
	truth := d.Clone()
	for i := range unknowns {
		in := unknowns[i].Input()
		z, known := shared[in.Path]
		if !known {
			z = source.NormFloat64()
		}
		if !in.Own {
			shared[in.Path] = z
		}
		unknowns[i].Set(truth, z)
	}
	truth.Rederive()
	return truth, nil
}

// settle gives the truth a room that warms a little through the day.
func settle(d *design.Design, celsius, humid float64, source *rand.Rand) {
	start := 2 * math.Pi * source.Float64()
	sum := 0.0
	d.Room.Series = nil
	for at := 0.0; at <= 16*3600; at += 600 {
		t := celsius + 273.15 + 0.7*math.Sin(start+2*math.Pi*at/43200)
		d.Room.Series = append(d.Room.Series, design.RoomSample{Time: at, Temperature: t, Humidity: humid / 100})
		sum += t
	}
	d.Room.Temperature.SI = sum / float64(len(d.Room.Series))
	d.Room.Humidity.SI = humid / 100
	d.Rederive()
}

// benchTrials are the three tests beside the runs, on the first stand.
func benchTrials(d, truth *design.Design, source *rand.Rand) ([]trial.Trial, error) {
	w := world(source)
	w.Pace, w.Interval = 1, 60
	warm := synthetic.WarmPlate("bench log", truth, w, source)
	heated, err := synthetic.Heated("plate heater", truth, 1.2, 4, w, source)
	if err != nil {
		return nil, err
	}
	w.Interval = 300
	blank, err := synthetic.Blank("blank melt", truth, 0.006, 6, w, source)
	if err != nil {
		return nil, err
	}
	out := []trial.Trial{*warm, *heated, *blank}
	for i := range out {
		out[i].Design, out[i].Revision = d.Name, d.Revision()
		out[i].Note = "Invented: made by a heat balance or the section model with noise."
	}
	return out, nil
}

// units is how a quantity is written in a log.
var units = map[trial.Quantity]struct {
	column         string
	factor, offset float64
	decimals       int
}{
	trial.BottomPlate: {"bottom_degC", 1, -273.15, 2}, trial.TopPlate: {"top_degC", 1, -273.15, 2},
	trial.Room: {"room_degC", 1, -273.15, 2}, trial.Humidity: {"humidity_percent", 100, 0, 1},
	trial.Speed: {"speed_rpm", 60, 0, 1}, trial.Weight: {"weight_g", 1000, 0, 1}, trial.HeaterPower: {"heater_W", 1, 0, 3},
}

// file is the name of a trial's log.
func file(name, kind string) string { return strings.ReplaceAll(name, " ", "-") + kind + ".csv" }

// writeLog writes the series of a trial: those of one set of times in one file.
func writeLog(folder string, t *trial.Trial) error {
	groups := map[int][]trial.Series{}
	var order []int
	for _, s := range t.Series {
		n := len(s.Samples)
		if groups[n] == nil {
			order = append(order, n)
		}
		groups[n] = append(groups[n], s)
	}
	for k, n := range order {
		var b bytes.Buffer
		b.WriteString("time_s")
		for _, s := range groups[n] {
			b.WriteString("," + units[s.Quantity].column)
		}
		for i := range n {
			fmt.Fprintf(&b, "\n%.0f", groups[n][0].Samples[i].Time)
			for _, s := range groups[n] {
				u := units[s.Quantity]
				fmt.Fprintf(&b, ",%.*f", u.decimals, s.Samples[i].Value*u.factor+u.offset)
			}
		}
		b.WriteString("\n")
		kind := ""
		if k > 0 {
			kind = fmt.Sprintf("-%d", k+1)
		}
		if err := os.WriteFile(filepath.Join(folder, file(t.Name, kind)), b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// writeFacts writes what is not in the logs, and the truth.
func writeFacts(folder string, seed uint64, trials []trial.Trial, truths []truthLine, shared map[string]float64) error {
	for i := range trials {
		for k := range trials[i].Series {
			trials[i].Series[k].Samples = nil
		}
		trials[i].Start = 0
	}
	for name, v := range map[string]any{
		"trials.json": trials,
		"truth.json":  map[string]any{"seed": seed, "deviates": shared, "trials": truths},
	} {
		text, err := json.MarshalIndent(v, "", "  ")
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(folder, name), append(text, '\n'), 0o644); err != nil {
			return err
		}
	}
	return nil
}
