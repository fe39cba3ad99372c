package next

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"meltspan/design"
	"meltspan/predict"
)

// ParseDraws reads what trials have taught about a design: draws of its
// uncertain inputs, in one of two forms.
//
// CSV: a first line with the paths of the inputs, such as model.still, and
// perhaps weight; below it one draw a line, in SI units.
//
// JSON: an object with "columns", each with a "path", and "draws", rows of
// standard normal deviates, one for each column. Columns that belong to one
// trial or one design ("own", or "of") or to no input are passed over.
func ParseDraws(text []byte, d *design.Design) (*predict.Draws, error) {
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	var out *predict.Draws
	var err error
	if strings.HasPrefix(strings.TrimSpace(string(text)), "{") {
		out, err = fromJSON(text, d)
	} else {
		out, err = fromCSV(text, d)
	}
	switch {
	case err != nil:
		return nil, err
	case len(out.Paths) == 0:
		return nil, errors.New("the draws name none of the design's uncertain inputs")
	case len(out.Rows) < leastDraws:
		return nil, fmt.Errorf("there are only %d draws; %d are the least that make a distribution", len(out.Rows), leastDraws)
	}
	return out, nil
}

const leastDraws = 20

func uncertain(d *design.Design) []string {
	var out []string
	for _, in := range d.Quantities() {
		if !in.Own {
			out = append(out, in.Path)
		}
	}
	return out
}

func fromJSON(text []byte, d *design.Design) (*predict.Draws, error) {
	var file struct {
		Columns []struct {
			Path string `json:"path"`
			Of   string `json:"of"`
			Own  bool   `json:"own"`
		} `json:"columns"`
		Draws   [][]float64 `json:"draws"`
		Weights []float64   `json:"weights"`
	}
	if err := json.Unmarshal(text, &file); err != nil {
		return nil, fmt.Errorf("the draws cannot be read as JSON: %w", err)
	}
	known := uncertain(d)
	out := &predict.Draws{Deviates: true, Weights: file.Weights}
	var kept []int
	for i, c := range file.Columns {
		if !c.Own && c.Of == "" && slices.Contains(known, c.Path) && !slices.Contains(out.Paths, c.Path) {
			out.Paths, kept = append(out.Paths, c.Path), append(kept, i)
		}
	}
	for i, row := range file.Draws {
		if len(row) != len(file.Columns) {
			return nil, fmt.Errorf("draw %d holds %d values for %d columns", i+1, len(row), len(file.Columns))
		}
		var short []float64
		for _, k := range kept {
			short = append(short, row[k])
		}
		out.Rows = append(out.Rows, short)
	}
	return out, nil
}

func fromCSV(text []byte, d *design.Design) (*predict.Draws, error) {
	r := csv.NewReader(bytes.NewReader(text))
	r.TrimLeadingSpace, r.Comment = true, '#'
	head, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("the draws have no first line with the names of inputs: %w", err)
	}
	known := uncertain(d)
	out := &predict.Draws{}
	weight := -1
	for i, name := range head {
		name = strings.TrimSpace(name)
		switch {
		case name == "weight":
			weight = i
			continue
		case !slices.Contains(known, name):
			return nil, fmt.Errorf("column %d: the design has no uncertain input %q that outlasts a trial", i+1, name)
		case slices.Contains(out.Paths, name):
			return nil, fmt.Errorf("column %d: %s stands there twice", i+1, name)
		}
		out.Paths = append(out.Paths, name)
	}
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, fmt.Errorf("the draws cannot be read: %w", err)
		}
		var row []float64
		for i, field := range record {
			line, _ := r.FieldPos(i)
			v, err := strconv.ParseFloat(strings.TrimSpace(field), 64)
			if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || i == weight && v < 0 {
				return nil, fmt.Errorf("line %d, column %d: %q is no number that can stand here", line, i+1, field)
			}
			if i == weight {
				out.Weights = append(out.Weights, v)
			} else {
				row = append(row, v)
			}
		}
		out.Rows = append(out.Rows, row)
	}
}
