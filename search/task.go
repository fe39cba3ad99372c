package search

import (
	"bytes"
	"fmt"

	"meltspan/design"
	"meltspan/predict"
	"meltspan/quantity"
)

// Task is all that another machine needs to screen candidates: a problem with
// its scenario, in plain values.
type Task struct {
	Version  int
	Design   []byte // the base design, as a file
	Revision string // of it: the other machine must read the same design
	Series   []design.RoomSample
	Room     [2]float64 // K and 1: mean temperature and humidity of a logged room
	Inputs   []Input
	Limits   Limits
	Aims     []Aim
	Quantile float64
	Horizon  float64
	Scenario *predict.Scenario
}

// taskVersion changes with anything that makes another program's answer differ.
const taskVersion = 1

// Task puts a problem in plain values.
func (p *Problem) Task(scenario *predict.Scenario) Task {
	b := p.Space.Base
	return Task{
		Version: taskVersion, Design: b.YAML(), Revision: b.Revision(), Series: b.Room.Series,
		Room: [2]float64{b.Room.Temperature.SI, b.Room.Humidity.SI}, Inputs: p.Space.Inputs,
		Limits: p.Limits, Aims: p.Aims, Quantile: p.Quantile, Horizon: p.Horizon, Scenario: scenario,
	}
}

// Problem reads a task back. It refuses one of another version, or whose design
// reads as another here.
func (t *Task) Problem() (*Problem, error) {
	if t.Version != taskVersion {
		return nil, fmt.Errorf("search: a task of version %d, and this program does version %d: use the same program on all machines", t.Version, taskVersion)
	}
	d, err := design.Parse("task", t.Design, func(string) ([]byte, error) { return t.log(), nil })
	if err != nil {
		return nil, fmt.Errorf("search: the design of a task: %w", err)
	}
	if len(t.Series) > 0 { // exactly, not by way of printed digits
		d.Room.Series = t.Series
		d.Room.Temperature.SI, d.Room.Humidity.SI = t.Room[0], t.Room[1]
		d.Rederive()
	}
	if d.Revision() != t.Revision {
		return nil, fmt.Errorf("search: the design of a task reads as revision %s here and is %s there: use the same program on all machines", d.Revision(), t.Revision)
	}
	inputs := make([]Input, len(t.Inputs))
	for i, in := range t.Inputs {
		if len(in.Words) > 0 {
			inputs[i], err = NewChoice(d, in.Path, in.Words)
		} else {
			inputs[i], err = NewRange(d, in.Path, in.Low, in.High)
		}
		if err != nil {
			return nil, fmt.Errorf("search: a task: %w", err)
		}
	}
	return NewProblem(d, inputs, t.Limits, t.Aims, t.Quantile, t.Horizon)
}

// log is the room's series as the file that the design names.
func (t *Task) log() []byte {
	var b bytes.Buffer
	b.WriteString("time_s,temperature_degC,humidity_percent\n")
	for _, row := range t.Series {
		celsius, _ := quantity.In(row.Temperature, quantity.Temperature, "degC")
		fmt.Fprintf(&b, "%.17g,%.17g,%.17g\n", row.Time, celsius, 100*row.Humidity)
	}
	return b.Bytes()
}
