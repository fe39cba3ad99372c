package drawing

import (
	"regexp"
	"strings"
	"testing"

	"meltspan/design"
	"meltspan/internal/designtest"
	"meltspan/solid"
)

// A sheet in inches says so, and no text of it has millimetres: neither notes nor
// verdicts of checks that come with their numbers in mm.
func TestSheetsInInchesHoldNoMillimetres(t *testing.T) {
	millimetres := regexp.MustCompile(`[0-9 ]mm\b|millimet`)
	for _, name := range design.DemoNames() {
		d := designtest.Demo(t, name)
		pieces, err := solid.Meshed(d)
		if err != nil {
			t.Fatal(err)
		}
		parts := solid.PartsOf(pieces)
		info := Info{Title: d.Name, Identification: d.Revision(), Units: inInches, Notes: []string{"Layers of 0.2 mm."}}
		for _, f := range solid.Check(d, pieces, nil) {
			if f.Place != nil && f.Part == parts[0].Name && len(info.Marks) < 3 {
				info.Marks = append(info.Marks, Mark{*f.Place, f.Text})
			}
		}
		sheet, err := Part(&parts[0], info)
		if err != nil {
			t.Fatal(err)
		}
		words := sheet.Sheet.Desc
		for _, text := range sheet.Sheet.Texts() {
			words += "\n" + text.Content
		}
		if found := millimetres.FindString(words); found != "" {
			t.Errorf("%s: %q in %s", name, found, words)
		}
		if !strings.Contains(words, "\nin\n") || !strings.Contains(words, "Layers of 0.0079 in.") || !strings.Contains(words, "±0.008") {
			t.Errorf("%s: the sheet does not say that it is in inches: %s", name, words)
		}
	}
}
