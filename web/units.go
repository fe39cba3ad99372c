package web

import (
	"errors"
	"net/http"

	"meltspan/quantity"
)

// displays are the choices that the page offers, the usual one first.
var displays = []string{"degC,mm", "degF,in", "degF,mm", "degC,in"}

// unitsOf reads the units in which a request wants quantities shown: the query's
// units, as the command line has them; without it, degC and mm. They belong to the
// address, so that what is kept of an answer by its address is kept for each choice.
func unitsOf(r *http.Request) (quantity.Display, error) {
	chosen, given := r.URL.Query()["units"]
	switch {
	case !given:
		return quantity.Display{}, nil
	case len(chosen) > 1:
		return quantity.Display{}, bad("one choice, such as units=degF,in", "The units are chosen more than once.")
	}
	u, err := quantity.ParseDisplay(chosen[0])
	var wrong *quantity.ParseError
	if errors.As(err, &wrong) {
		return u, bad(wrong.Hint, "The units cannot be "+clip(chosen[0])+": "+wrong.Reason+".")
	}
	return u, err
}

// inUnits adds to a command the option that shows the same units, unless they are
// the usual ones.
func inUnits(command string, u quantity.Display) string {
	if u == (quantity.Display{}) || command == "" {
		return command
	}
	return command + " --units " + u.String()
}

// unit is how the page shows a kind of quantity: SI = number*factor + offset.
type unit struct {
	Symbol string  `json:"symbol"`
	Factor float64 `json:"factor"`
	Offset float64 `json:"offset"`
}

// shownUnits has the unit of each kind for each choice.
func shownUnits() (map[string]map[string]unit, error) {
	out := map[string]map[string]unit{}
	for _, name := range displays {
		u, err := quantity.ParseDisplay(name)
		if err != nil {
			return nil, err
		}
		out[name] = map[string]unit{}
		for _, kind := range quantity.Kinds() {
			symbol := u.Symbol(kind)
			factor, offset, _ := quantity.Scale(kind, symbol)
			out[name][string(kind)] = unit{symbol, factor, offset}
		}
	}
	return out, nil
}
