package solid

import (
	"bytes"
	"encoding/csv"
	"strconv"
)

// BillCSV is the bill of parts as CSV (RFC 4180), the unit of each number in its
// column's name; what does not apply is left empty.
func BillCSV(items []Item) ([]byte, error) {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	rows := [][]string{{"kind", "name", "count", "material", "mass_g", "volume_ml", "area_cm2", "width_mm", "height_mm", "file", "note"}}
	number := func(x, unit float64) string {
		if x == 0 {
			return ""
		}
		return strconv.FormatFloat(x*unit, 'f', 2, 64)
	}
	for _, i := range items {
		rows = append(rows, []string{
			i.Kind, i.Name, strconv.Itoa(i.Count), i.Material, number(i.Mass, 1e3), number(i.Volume, 1e6), number(i.Area, 1e4),
			number(i.Width, 1e3), number(i.Height, 1e3), i.File, i.Note,
		})
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
