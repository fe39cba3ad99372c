package report

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/printing"
	"meltspan/quantity"
	"meltspan/solid"
)

// Estimates is what printing and freezing take.
type Estimates struct {
	Design   string              `json:"design"`
	Revision string              `json:"revision"`
	Parts    []printing.Estimate `json:"parts"`
	Mass     printing.Value      `json:"mass_kg"`
	Time     printing.Value      `json:"time_s"`
	Freezing *predict.Freezing   `json:"freezing,omitempty"`
	Cautions []string            `json:"cautions,omitempty"`
}

// EstimateOf works out all estimates of a design. Parts share their errors
// (speeds, filament, density), so that spreads of the sum add up. The
// error is a *solid.Fault where the parts cannot be printed.
func EstimateOf(d *design.Design) (*Estimates, error) {
	parts, err := solid.Takes(d)
	if err != nil {
		return nil, err
	}
	e := &Estimates{Design: d.Name, Revision: d.Revision(), Parts: parts, Freezing: predict.FreezingOf(d), Cautions: printing.Cautions(d)}
	for i := range parts {
		e.Mass.Value += parts[i].Mass.Value
		e.Mass.Spread += parts[i].Mass.Spread
		e.Time.Value += parts[i].Time.Value
		e.Time.Spread += parts[i].Time.Spread
	}
	return e, nil
}

// EstimateText writes what printing and freezing take, for people at a terminal.
func EstimateText(w io.Writer, u quantity.Display, e *Estimates, d *design.Design) error {
	var p textpage.Page
	p.Para(0, 2, fmt.Sprintf("%s, revision %s", e.Design, e.Revision))
	p.Blank()
	p.Line("Printing, each part on its own")
	rows := [][]string{{"part", "copies", "plastic", "filament", "", "time", ""}}
	for i := range e.Parts {
		t := &e.Parts[i]
		rows = append(rows, append([]string{t.Part, strconv.Itoa(t.Count), quantity.Format(t.Plastic.Value, quantity.Volume, 3)}, takes(t.Mass, t.Time)...))
	}
	p.Table("lrrrlrl", append(rows, append([]string{"all", "", ""}, takes(e.Mass, e.Time)...)))
	pr := &d.Print
	speed := func(v quantity.Value) string { return quantity.FormatIn(v.SI, quantity.Velocity, "mm/s", 2) }
	thin := func(v quantity.Value) string { return u.FormatIn(v.SI, quantity.Length, "mm", 2) }
	p.Paraf(2, 2, "Lines %s wide, layers of %s; %s along outer lines, %s along all others, %s of the time in travel, "+
		"%s from layer to layer, %s to get ready.", thin(pr.LineWidth), thin(pr.LayerHeight), speed(pr.OuterSpeed), speed(pr.FillSpeed),
		quantity.Format(pr.TravelShare.SI, quantity.Fraction, 2), quantity.FormatDuration(pr.LayerChange.SI), quantity.FormatDuration(pr.Preparation.SI))
	p.Paraf(2, 2, "After +-: one standard uncertainty, %.0f %% of the time for the model itself and %.0f %% of the mass for what a "+
		"printer extrudes. Left out: supports, brims, slower first layers, waiting for small layers to cool. Flexible filament (a mould) is often run at half of these speeds.",
		100*printing.ModelError, 100*printing.FlowError)
	for _, c := range e.Cautions {
		p.Para(2, 2, u.Restate(c))
	}
	freezingText(&p, u, e.Freezing)
	p.Blank()
	p.Para(2, 2, "These are estimates, not measurements.")
	return writeText(w, &p)
}

// takes prints mass and time with their spreads, times to 5 minutes.
func takes(mass, time printing.Value) []string {
	grams := func(kg float64) string { return quantity.FormatIn(kg, quantity.Mass, "g", 2) }
	coarse := func(seconds float64) string {
		return quantity.FormatDuration(max(math.Round(seconds/300), 1) * 300)
	}
	return []string{quantity.FormatIn(mass.Value, quantity.Mass, "g", 3), "+- " + grams(mass.Spread), coarse(time.Value), "+- " + coarse(time.Spread)}
}
