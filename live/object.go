package live

import (
	"encoding/json"
	"errors"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Firmware often prints a failed reading as nan, which JSON has no word for.
var notJSON = regexp.MustCompile(`(?i)([:,\[]\s*)[-+]?(?:nan|inf|infinity)\b`)

// readObject reads a JSON object. What is nested gets a key of all its names
// with points between: {"air":{"t":21}} has the key air.t.
func readObject(line string) ([]Field, error) {
	var object map[string]any
	err := decode(line, &object)
	if err != nil {
		if again := notJSON.ReplaceAllString(line, "${1}null"); again != line {
			err = decode(again, &object)
		}
	}
	if err != nil {
		column := 0
		var syntax *json.SyntaxError
		if errors.As(err, &syntax) {
			column = int(syntax.Offset)
		}
		return nil, badLine(line, column, "no JSON object on one line: %v", err)
	}
	var fields []Field
	if !flatten(&fields, "", object, 0) {
		return nil, badLine(line, 0, "more than %d readings, or nested too deep", mostFields)
	}
	return fields, nil
}

func decode(line string, into *map[string]any) error {
	d := json.NewDecoder(strings.NewReader(line))
	d.UseNumber()
	if err := d.Decode(into); err != nil {
		return err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return errors.New("more behind the object")
	}
	return nil
}

// mostNested is far deeper than sensors nest.
const mostNested = 8

// flatten collects readings in the order of their keys, since that of the line
// is not kept. It reports whether they stay within bounds.
func flatten(fields *[]Field, key string, value any, depth int) bool {
	if depth > mostNested || len(*fields) >= mostFields {
		return false
	}
	join := func(name string) string {
		if key == "" {
			return name
		}
		return key + "." + name
	}
	switch v := value.(type) {
	case map[string]any:
		names := make([]string, 0, len(v))
		for name := range v {
			names = append(names, name)
		}
		slices.Sort(names)
		for _, name := range names {
			if !flatten(fields, join(name), v[name], depth+1) {
				return false
			}
		}
	case []any:
		for i, item := range v {
			if !flatten(fields, join(strconv.Itoa(i+1)), item, depth+1) {
				return false
			}
		}
	case json.Number:
		x, err := v.Float64()
		if err != nil {
			x = math.NaN()
		}
		*fields = append(*fields, Field{Key: key, Value: x})
	case string:
		x, unit, _ := number(v, true)
		*fields = append(*fields, Field{key, x, unit})
	case nil:
		*fields = append(*fields, Field{Key: key, Value: math.NaN()})
	}
	return true
}
