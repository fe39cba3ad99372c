package web

import (
	"context"
	"math"
	"net/http"
	"strings"

	"meltspan/design"
	"meltspan/network"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/result"
)

// control is an input that the page offers as a slider, SI.
type control struct {
	Path   string  `json:"path"`
	About  string  `json:"about"`
	Kind   string  `json:"kind,omitempty"` // "" for a count
	Count  bool    `json:"count,omitempty"`
	Value  float64 `json:"value"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
	Step   float64 `json:"step"`
	Common bool    `json:"common,omitempty"` // shown at once; the others when chosen
}

// usual are the inputs that builders turn first.
var usual = []string{
	"room.temperature", "room.humidity", "store.mass", "store.temperature", "stand.outer_diameter", "stand.height",
	"stand.cup.diameter", "stand.cup.depth", "stand.wall.cavities", "stand.wall.skin", "stand.base.cavities", "load.engine.stall_difference",
}

// controls lists what can be turned in a design, the usual ones first.
func controls(d *design.Design) []control {
	out := []control{}
	seen := map[string]bool{}
	add := func(path string, low, high float64, common bool) {
		k, err := d.FindKnob(path)
		if err != nil || seen[path] {
			return
		}
		v := k.Value(d)
		if math.IsNaN(v) || v == 0 && !k.Count && k.Kind != quantity.Fraction {
			return // nothing says how far a slider should go
		}
		seen[path] = true
		c := control{Path: path, About: k.About, Kind: string(k.Kind), Count: k.Count, Value: v, Common: common}
		c.reach(low, high)
		out = append(out, c)
	}
	inputs := d.Quantities()
	limits := map[string][2]float64{}
	for _, in := range inputs {
		limits[in.Path] = [2]float64{in.Low, in.High}
	}
	for _, path := range usual {
		low, high := math.Inf(-1), math.Inf(1)
		if l, ok := limits[path]; ok {
			low, high = l[0], l[1]
		}
		add(path, low, high, true)
	}
	for _, in := range inputs {
		if !strings.HasPrefix(in.Path, "materials.") {
			add(in.Path, in.Low, in.High, false)
		}
	}
	return out
}

// reach chooses how far a slider goes: half as much to half as much again, for
// temperatures 15 K either way, within what the key allows.
func (c *control) reach(low, high float64) {
	c.Low, c.High = c.Value/2, 1.5*c.Value
	switch {
	case c.Count:
		c.Low, c.High, c.Step = 0, max(2*c.Value, 6), 1
		return
	case c.Kind == string(quantity.Temperature):
		c.Low, c.High, c.Step = c.Value-15, c.Value+15, 0.1
	case c.Kind == string(quantity.Fraction):
		c.Low, c.High, c.Step = max(c.Value-0.3, 0), c.Value+0.3, 0.01
	}
	if !strings.HasPrefix(c.Path, "model.") && c.Kind == string(quantity.Fraction) {
		c.High = min(c.High, 1)
	}
	c.Low, c.High = max(c.Low, low), min(c.High, high)
	if c.Step == 0 {
		switch quantity.Kind(c.Kind) {
		case quantity.Length:
			c.Step = 1e-4
		case quantity.Mass:
			c.Step = 5e-4
		default:
			c.Step = (c.High - c.Low) / 200
		}
	}
}

// asked is a design with, perhaps, one value to be turned in it.
type asked struct {
	source
	Turn *struct {
		Path  string  `json:"path"`
		Value float64 `json:"value"` // SI
	} `json:"turn,omitempty"`
	Brief bool `json:"brief,omitempty"` // what is looked at while a slider moves, and no more
}

// answered is the network's answer, quick enough for a slider that moves.
type answered struct {
	Text     string             `json:"text"` // as turned
	Design   string             `json:"design"`
	Revision string             `json:"revision"` // of the design, as predictions name it
	Controls []control          `json:"controls"`
	Values   map[string]float64 `json:"values,omitempty"` // of the controls, SI: in place of them in a brief answer
	Mistakes []Mistake          `json:"mistakes"`

	RunTime    float64  `json:"run_time_s"`
	RunWords   string   `json:"run_time"`
	End        string   `json:"end"`
	LastIce    string   `json:"last_ice,omitempty"`
	Difference float64  `json:"mean_difference_K"`
	Heat       float64  `json:"mean_store_heat_W"`
	Sweat      float64  `json:"condensate_kg"`
	Warnings   []string `json:"warnings"`
	Chart      string   `json:"chart"`     // SVG
	HeatFlow   string   `json:"heat_flow"` // SVG; "" when there is nothing to show, and in a brief answer
}

func (s *Server) answer(w http.ResponseWriter, r *http.Request) error {
	u, err := unitsOf(r)
	if err != nil {
		return err
	}
	var in asked
	if err := take(w, r, &in); err != nil {
		return err
	}
	d, err := s.turned(&in)
	if err != nil {
		return err
	}
	out, err := quick(r.Context(), d, in.Brief, u)
	if err != nil {
		return err
	}
	out.Text = in.Text
	reply(w, http.StatusOK, out)
	return nil
}

// turned is the design, with the value that is to be turned put into its text.
func (s *Server) turned(in *asked) (*design.Design, error) {
	if in.Turn == nil {
		return s.parse(in.source)
	}
	text, d, err := design.AmendNumbers(in.Name, []byte(in.Text), []design.Number{{Path: in.Turn.Path, SI: in.Turn.Value}}, s.beside(in.source))
	if err == nil {
		in.Text = string(text)
	}
	return d, err
}

// quick runs the network once, with all inputs nominal. A brief answer leaves out
// what a page that asks again and again has already, or can wait for.
func quick(ctx context.Context, d *design.Design, brief bool, u quantity.Display) (*answered, error) {
	run, err := nominal(ctx, d)
	if err != nil {
		return nil, err
	}
	out := &answered{Design: d.Name, Revision: d.Revision(), Mistakes: []Mistake{}, RunTime: run.RunTime, RunWords: runWords(run), End: run.End,
		Difference: run.MeanDifference, Heat: run.MeanStoreHeat}
	for _, w := range run.Warnings {
		out.Warnings = append(out.Warnings, u.Restate(w))
	}
	if !math.IsNaN(run.LastIce) {
		out.LastIce = quantity.FormatDuration(run.LastIce)
	}
	for _, f := range run.Faces {
		out.Sweat += f.Condensate
	}
	chart, err := report.Chart(u, run, report.ChartOptions{StallDifference: stallOf(d)})
	if err != nil {
		return nil, err
	}
	if out.Chart, err = drawn(chart); err != nil {
		return nil, err
	}
	offered := controls(d)
	if brief {
		out.Values = make(map[string]float64, len(offered))
		for _, c := range offered {
			out.Values[c.Path] = c.Value
		}
		return out, nil
	}
	out.Controls = offered
	if flow, err := report.HeatFlow(run); err == nil { // a device that never ran has none
		if out.HeatFlow, err = drawn(flow); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func nominal(ctx context.Context, d *design.Design) (*result.Run, error) {
	m, err := network.Build(d)
	if err != nil {
		return nil, bad("", err.Error())
	}
	return m.Run(ctx, network.Options{Course: true})
}

func drawn(p *report.Picture) (string, error) {
	svg, err := p.SVG()
	return string(svg), err
}

// stallOf is the plate difference below which the load stops, K; 0: none.
func stallOf(d *design.Design) float64 { return d.KeepDifference() }

func runWords(run *result.Run) string {
	switch run.End {
	case result.EndNeverStarted:
		return "never starts"
	case result.EndHorizon:
		return "over " + quantity.FormatDuration(run.RunTime)
	}
	return quantity.FormatDuration(run.RunTime)
}
