package design

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"meltspan/quantity"
)

// maxLogBytes bounds a room log: a year of minutes.
const maxLogBytes = 32 << 20

// logColumns are the columns of a room log, in any order; others are passed
// over.
var logColumns = []string{"time_s", "temperature_degC", "humidity_percent"}

// logLimits are the ranges of those columns, those of the keys that the log
// replaces.
var logLimits = []interval{
	{set: true, low: math.Inf(-1), high: 1e9, lowText: "any time", topText: "1e9"},
	{set: true, low: -40, high: 60, lowText: "-40", topText: "60"},
	{set: true, low: 0, high: 100, lowText: "0", topText: "100"},
}

// roomLog reads the log that the design names. Its rows become the series;
// temperature and humidity become their means over time.
func (r *reader) roomLog(d *Design, open func(path string) ([]byte, error)) {
	name, at := d.Room.Log, r.places["room.log"]
	if open == nil {
		r.report(at, "room.log", "the room log "+quote(name)+" cannot be read here", "give temperature and humidity in the design instead")
		return
	}
	text, err := open(name)
	switch {
	case err != nil:
		r.report(at, "room.log", fmt.Sprintf("the room log %s cannot be opened: %v", quote(name), err), "a CSV file in the folder of the design")
		return
	case len(text) > maxLogBytes:
		r.report(at, "room.log", fmt.Sprintf("the room log %s is larger than %d MB", quote(name), maxLogBytes>>20), "fewer rows; one a minute is plenty")
		return
	}
	l := &logReader{reader: r, file: name, text: bytes.TrimPrefix(text, []byte("\ufeff"))}
	l.read()
	if len(r.problems) > 0 {
		return
	}
	d.Room.Series = l.series
	temperature, humidity := means(l.series)
	source := "mean over time of " + name
	ts, _ := statedSpread("room.temperature", quantity.Temperature, temperature)
	hs, _ := statedSpread("room.humidity", quantity.Fraction, humidity)
	d.Room.Temperature = quantity.Value{SI: temperature, Spread: ts, Origin: quantity.Measured, Source: source}
	d.Room.Humidity = quantity.Value{SI: humidity, Spread: hs, Origin: quantity.Measured, Source: source}
}

type logReader struct {
	*reader
	file   string
	text   []byte
	series []RoomSample
}

func (l *logReader) fault(at place, what, right string) {
	lines := strings.Split(string(l.text), "\n")
	l.problems = append(l.problems, Problem{File: l.file, Line: at.line, Column: at.column, Key: "room.log",
		Excerpt: Excerpt(lines, at.line, at.column), What: what, Right: right})
}

// mostLogFaults is how many mistakes of a log are listed: a wrong column
// repeats on every row.
const mostLogFaults = 5

func (l *logReader) read() {
	in := csv.NewReader(bytes.NewReader(l.text))
	in.TrimLeadingSpace = true
	in.ReuseRecord = true
	header, err := in.Read()
	if err != nil {
		l.fault(place{1, 1}, "the room log is empty or no CSV", "a first line "+strings.Join(logColumns, ","))
		return
	}
	columns := make([]int, len(logColumns))
	for i, name := range logColumns {
		columns[i] = slices.IndexFunc(header, func(h string) bool { return strings.TrimSpace(h) == name })
		if columns[i] < 0 {
			l.fault(place{1, 1}, "the room log has no column "+name, "a first line "+strings.Join(logColumns, ","))
		}
	}
	for start := len(l.problems); len(l.problems) < start+mostLogFaults && !slices.Contains(columns, -1); {
		record, err := in.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			l.csvFault(err)
			return
		}
		l.row(in, record, columns)
	}
	if len(l.problems) == 0 && len(l.series) < 2 {
		l.fault(place{1, 1}, "the room log has fewer than two rows", "a row at least at the start and at the end of the trial")
	}
}

func (l *logReader) csvFault(err error) {
	var known *csv.ParseError
	if errors.As(err, &known) {
		l.fault(place{known.Line, max(known.Column, 1)}, "this row is no CSV: "+known.Err.Error(), "as many values as there are columns, parted by commas")
		return
	}
	l.fault(place{1, 1}, "the room log cannot be read: "+err.Error(), "a CSV file")
}

func (l *logReader) row(in *csv.Reader, record []string, columns []int) {
	var numbers [3]float64
	for i, column := range columns {
		line, col := in.FieldPos(column)
		text := strings.TrimSpace(record[column])
		x, err := strconv.ParseFloat(text, 64)
		switch {
		case err != nil || math.IsNaN(x) || math.IsInf(x, 0):
			l.fault(place{line, col}, fmt.Sprintf("%s is not a number in column %s", quote(text), logColumns[i]), "a plain number, without unit")
			return
		case !logLimits[i].holds(x):
			l.fault(place{line, col}, fmt.Sprintf("%s is %s", logColumns[i], text), logLimits[i].String())
			return
		}
		numbers[i] = x
	}
	if n := len(l.series); n > 0 && numbers[0] <= l.series[n-1].Time {
		line, col := in.FieldPos(columns[0])
		l.fault(place{line, col}, fmt.Sprintf("time_s goes from %g to %g", l.series[n-1].Time, numbers[0]), "times that rise from row to row")
		return
	}
	l.series = append(l.series, RoomSample{Time: numbers[0], Temperature: numbers[1] + zeroCelsius, Humidity: numbers[2] / 100})
}

// zeroCelsius is 0 degC in kelvins, by definition of the degree Celsius.
const zeroCelsius = 273.15

// means integrates the series by trapezoids.
func means(series []RoomSample) (temperature, humidity float64) {
	for i := 1; i < len(series); i++ {
		a, b := series[i-1], series[i]
		temperature += (b.Time - a.Time) * (a.Temperature + b.Temperature) / 2
		humidity += (b.Time - a.Time) * (a.Humidity + b.Humidity) / 2
	}
	span := series[len(series)-1].Time - series[0].Time
	return temperature / span, humidity / span
}
