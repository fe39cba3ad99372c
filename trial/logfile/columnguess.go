package logfile

import (
	"math"
	"slices"

	"meltspan/quantity"
	"meltspan/trial"
)

// guessColumns says what the columns beside those of time mean.
func (f *file) guessColumns(m *Mapping) {
	rows := f.sampleRows(m)
	for i, name := range m.header {
		if slices.Contains(m.indices, i) {
			continue
		}
		c := GuessColumn(name)
		c.index = i
		if len(rows) > 0 && i < len(rows[0]) {
			c.First = rows[0][i]
		}
		m.look(&c, rows)
		m.Columns = append(m.Columns, c)
	}
}

// look sees whether a column holds what its name promises.
func (m *Mapping) look(c *Column, rows [][]string) {
	if c.Quantity == "" {
		return
	}
	least, most, n, filled := math.Inf(1), math.Inf(-1), 0, 0
	unit := ""
	for _, row := range rows {
		if c.index >= len(row) || row[c.index] == "" {
			continue
		}
		filled++
		x, ok := number(row[c.index], m.decimalComma())
		if !ok || x <= -100 { // a fault value tells nothing
			continue
		}
		if _, u := withoutUnit(row[c.index]); u != "" {
			unit = u
		}
		least, most, n = min(least, x), max(most, x), n+1
	}
	if filled > 0 && n == 0 {
		c.Quantity, c.Unit, c.Assumed = "", "", "it holds no numbers"
		return
	}
	if u, ok := unitNamed(unit); ok && u.kind == c.Quantity.Measures() && c.Assumed != "" {
		c.Unit, c.Assumed = u.symbol, ""
	}
	switch {
	case c.Assumed == "" || n == 0:
	case c.Quantity == trial.Humidity && most <= 1:
		c.Unit, c.Assumed = share, "the unit is not stated; the values are shares of 1"
	case c.Quantity.Measures() == quantity.Temperature && least > 200:
		c.Unit, c.Assumed = "K", "the unit is not stated; such values must be K"
	}
}
