package logfile

import (
	"fmt"
	"slices"
	"strings"

	"meltspan/design"
	"meltspan/quantity"
	"meltspan/trial"
)

// leftOut is what a user writes for a column that is of no use.
const leftOut = "none"

// check looks at what is said of a column, and puts its unit into the
// spelling of package quantity.
func (c *Column) check() error {
	if c.Quantity == leftOut {
		c.Quantity = ""
	}
	if c.Quantity == "" {
		return nil
	}
	if !slices.Contains(trial.Quantities(), c.Quantity) {
		return design.Problem{What: fmt.Sprintf("column %q: %q is nothing that a trial measures", c.Name, c.Quantity), Right: "one of " + quantities() + ", or none"}
	}
	kind := c.Quantity.Measures()
	if c.Unit != "" {
		if u, ok := unitNamed(c.Unit); ok && u.kind == kind {
			c.Unit = u.symbol
		}
		if _, _, ok := c.scale(); !ok {
			return design.Problem{What: fmt.Sprintf("column %q: %q is no unit of %s", c.Name, c.Unit, c.Quantity), Right: "one of " + strings.Join(quantity.Units(kind), ", ")}
		}
	}
	if _, err := c.uncertainty(); err != nil {
		return err
	}
	if c.Emissivity < 0 || c.Emissivity > 1 {
		return design.Problem{What: fmt.Sprintf("column %q: the emissivity cannot be %g", c.Name, c.Emissivity), Right: "more than 0, up to 1"}
	}
	return nil
}

// share is the unit of a humidity that is written as a number from 0 to 1.
const share = "1"

// scale says how a number of the column becomes SI.
func (c *Column) scale() (factor, offset float64, ok bool) {
	if c.Unit == share && c.Quantity == trial.Humidity {
		return 1, 0, true
	}
	return quantity.Scale(c.Quantity.Measures(), c.Unit)
}

// uncertainty is the standard uncertainty in SI; 0 when not stated.
func (c *Column) uncertainty() (float64, error) {
	if c.Uncertainty == "" {
		return 0, nil
	}
	kind := c.Quantity.Measures()
	if kind == quantity.Temperature {
		kind = quantity.TemperatureDifference
	}
	v, err := quantity.Parse(c.Uncertainty, kind)
	if err != nil || !(v.SI >= 0) {
		return 0, design.Problem{What: fmt.Sprintf("column %q: the uncertainty cannot be %q", c.Name, c.Uncertainty), Right: "such as " + quantity.Example(kind)}
	}
	return v.SI, nil
}

// ParseColumn reads what a user says of a column in one word of the command
// line: "T1=bottom plate", "T1=bottom plate, degF, near the rim", "T5=none".
func ParseColumn(text string) (Column, error) {
	at := strings.LastIndex(text, "=") // names may hold one, quantities do not
	if at <= 0 {
		return Column{}, design.Problem{What: fmt.Sprintf("%q does not say what a column is", text), Right: `"NAME=QUANTITY", such as "T1=bottom plate", or "T1=bottom plate, degF, near the rim"`}
	}
	c := Column{Name: strings.TrimSpace(text[:at])}
	parts := strings.SplitN(text[at+1:], ",", 3)
	c.Quantity = trial.Quantity(strings.ReplaceAll(strings.TrimSpace(parts[0]), "_", " "))
	if len(parts) > 1 {
		c.Unit = strings.TrimSpace(parts[1])
	}
	if len(parts) > 2 {
		c.Place = strings.TrimSpace(parts[2])
	}
	if c.Quantity == "" {
		c.Quantity = leftOut
	}
	return c, c.check()
}
