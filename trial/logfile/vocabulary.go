package logfile

import (
	"slices"
	"strings"

	"meltspan/quantity"
	"meltspan/trial"
)

// vocabulary is what headers call things, in the order in which they are
// looked for: "room humidity" is a humidity. Words are in small letters; the
// German ones come with decimal commas. (Common practice.)
var vocabulary = []struct {
	quantity trial.Quantity // "": known, but of no use
	words    []string
}{
	{"", []string{"dew", "dewpoint", "taupunkt", "battery", "batt", "voltage", "volt", "index", "no", "nr", "id", "record", "status", "flag", "co2", "pressure", "druck", "rssi", "counter"}},
	{trial.Humidity, []string{"humidity", "humid", "hum", "rh", "feuchte", "luftfeuchte", "luftfeuchtigkeit", "feuchtigkeit"}},
	{trial.Speed, []string{"speed", "rpm", "revs", "rev", "turns", "drehzahl", "frequency"}},
	{trial.Weight, []string{"weight", "mass", "scale", "balance", "gewicht", "masse", "waage"}},
	{trial.HeaterPower, []string{"heater", "power", "watts", "heizung", "heizleistung", "leistung"}},
	{trial.BottomPlate, []string{"bottom", "lower", "unten", "untere", "bot", "cold", "kalt"}},
	{trial.TopPlate, []string{"top", "upper", "oben", "obere", "hot", "warm"}},
	{trial.Room, []string{"room", "ambient", "amb", "air", "lab", "raum", "luft", "umgebung", "zimmer"}},
	{trial.Wall, []string{"wall", "outside", "outer", "skin", "side", "surface", "shell", "wand", "aussen"}},
	{trial.Water, []string{"water", "melt", "ice", "bath", "wasser", "eis", "store"}},
	{trial.Spot, []string{"spot", "infrared", "ir"}},
}

// fillers are words that say nothing about the place.
var fillers = []string{"temperature", "temp", "t", "plate", "sensor", "probe", "channel", "ch", "relative", "of", "the", "in", "temperatur", "platte", "deg"}

// timeWords name columns of time.
var timeWords = []string{"time", "date", "datetime", "timestamp", "clock", "elapsed", "epoch", "unix", "zeit", "datum", "uhrzeit", "zeitstempel", "seconds", "minutes", "hours", "millis", "sec", "ms", "utc"}

// GuessColumn guesses from its name what a column (or a key, or the end of a
// topic) means. A column that cannot be guessed has no quantity. What was
// assumed stands in Assumed.
func GuessColumn(name string) Column {
	c := Column{Name: name}
	words, unit, hasUnit := splitHeader(name)
	for _, entry := range vocabulary {
		if !slices.ContainsFunc(words, func(w string) bool { return slices.Contains(entry.words, w) }) {
			continue
		}
		if entry.quantity == "" {
			return c
		}
		if hasUnit && unit.kind != entry.quantity.Measures() {
			continue // "room (%)" is no temperature
		}
		c.Quantity, c.Place = entry.quantity, placeOf(words, entry.words, entry.quantity)
		break
	}
	if c.Quantity == "" && hasUnit {
		switch unit.kind { // quantities of which one sensor tells by its unit alone
		case quantity.Fraction:
			c.Quantity = trial.Humidity
		case quantity.Frequency:
			c.Quantity = trial.Speed
		case quantity.Mass:
			c.Quantity = trial.Weight
		case quantity.Power:
			c.Quantity = trial.HeaterPower
		}
	}
	if c.Quantity == "" {
		return c
	}
	if hasUnit {
		c.Unit = unit.symbol
	} else {
		c.Unit = usualUnit(c.Quantity)
		c.Assumed = "the unit is not stated; " + c.Unit + " is assumed"
	}
	return c
}

// usualUnit is what loggers write when they do not say.
func usualUnit(q trial.Quantity) string { return quantity.Units(q.Measures())[0] }

// placeOf is what a header says beyond the quantity: "wall side 2" is the
// wall, at "side 2". known are the words for the quantity q.
func placeOf(words, known []string, q trial.Quantity) string {
	var rest []string
	taken := false
	for _, w := range words {
		switch {
		case slices.Contains(fillers, w):
		case slices.Contains(strings.Fields(string(q)), w):
			taken = true
		case !taken && slices.Contains(known, w):
			taken = true
		default:
			rest = append(rest, w)
		}
	}
	return strings.Join(rest, " ")
}
