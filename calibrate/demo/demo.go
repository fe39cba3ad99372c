// Package demo holds the invented trials that come with the program: five
// stands of one engine, a bench log of the engine, a plate heater and a weighed
// melt. Nobody has built any of it; calibrate/internal/makedemo made the data
// with the section model and noise.
package demo

import (
	"embed"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io/fs"
	"strconv"
	"strings"

	"meltspan/calibrate"
	"meltspan/design"
	"meltspan/trial"
)

// Files are the designs, the logs as a logger writes them, and the facts of the
// trials (trials.json).
//
//go:embed *.yaml *.csv trials.json
var Files embed.FS

// Names of the three bench trials.
const (
	Bench  = "bench log"
	Heater = "plate heater"
	Blank  = "blank melt"
)

// Cases returns the five runs, each with its design.
func Cases() ([]calibrate.Case, error) {
	var out []calibrate.Case
	for i := 1; i <= 5; i++ {
		c, err := Case(fmt.Sprintf("trial %d", i))
		if err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	return out, nil
}

// Names lists all trials: the five runs, then those at the bench.
func Names() []string {
	return []string{"trial 1", "trial 2", "trial 3", "trial 4", "trial 5", Bench, Heater, Blank}
}

// Source is a trial with the files that it comes from.
type Source struct {
	calibrate.Case
	File string // name of the design
	Text []byte // of the design
	Logs []Log
}

// Log is a file as a logger writes it.
type Log struct {
	Name string
	Text []byte
}

// Case returns one trial by its name, with the design it was made on.
func Case(name string) (calibrate.Case, error) {
	s, err := Find(name)
	return s.Case, err
}

// Find returns one trial by its name, with its files.
func Find(name string) (Source, error) { return find(Files, name) }

// find reads a trial from a folder as makedemo writes it.
func find(folder fs.FS, name string) (Source, error) {
	text, err := fs.ReadFile(folder, "trials.json")
	if err != nil {
		return Source{}, err
	}
	var trials []trial.Trial
	if err := json.Unmarshal(text, &trials); err != nil {
		return Source{}, fmt.Errorf("demo: trials.json: %w", err)
	}
	for i := range trials {
		if trials[i].Name == name {
			return load(folder, &trials[i])
		}
	}
	return Source{}, fmt.Errorf("the example has no trial %q", name)
}

// load reads design and logs of a trial.
func load(folder fs.FS, t *trial.Trial) (Source, error) {
	out := Source{File: strings.ReplaceAll(t.Design, " ", "-") + ".yaml"}
	var err error
	if out.Text, err = fs.ReadFile(folder, out.File); err != nil {
		return Source{}, err
	}
	if out.Design, err = design.Parse(out.File, out.Text, nil); err != nil {
		return Source{}, err
	}
	base := strings.ReplaceAll(t.Name, " ", "-")
	for _, name := range []string{base + ".csv", base + "-2.csv"} {
		if text, err := fs.ReadFile(folder, name); err == nil {
			if err := log(t, string(text)); err != nil {
				return Source{}, fmt.Errorf("demo: %s: %w", name, err)
			}
			out.Logs = append(out.Logs, Log{name, text})
		}
	}
	out.Trial = t
	return out, nil
}

// columns says what a column of these logs holds, and how it becomes SI.
var columns = map[string]struct {
	quantity       trial.Quantity
	factor, offset float64
}{
	"bottom_degC": {trial.BottomPlate, 1, 273.15}, "top_degC": {trial.TopPlate, 1, 273.15},
	"room_degC": {trial.Room, 1, 273.15}, "humidity_percent": {trial.Humidity, 0.01, 0},
	"speed_rpm": {trial.Speed, 1.0 / 60, 0}, "weight_g": {trial.Weight, 1e-3, 0}, "heater_W": {trial.HeaterPower, 1, 0},
}

func log(t *trial.Trial, text string) error {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return err
	}
	for j, name := range rows[0][1:] {
		c, known := columns[name]
		s := t.Find(c.quantity)
		if !known || s == nil {
			return fmt.Errorf("column %s is not among the trial's series", name)
		}
		s.Samples = nil
		for _, row := range rows[1:] {
			at, err := strconv.ParseFloat(row[0], 64)
			if err != nil {
				return err
			}
			v, err := strconv.ParseFloat(row[j+1], 64)
			if err != nil {
				return err
			}
			s.Samples = append(s.Samples, trial.Sample{Time: at, Value: v*c.factor + c.offset})
		}
	}
	return nil
}
