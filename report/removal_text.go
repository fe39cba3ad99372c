package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"meltspan/internal/textpage"
	"meltspan/notebook"
)

// RemovalText lists what is taken out of a notebook together.
func RemovalText(w io.Writer, r *notebook.Removal) error {
	p := textpage.Page{CutLong: true}
	for i := range r.Trials {
		h := &r.Trials[i]
		readings := 0
		for _, e := range h.Series {
			readings += e.Samples
		}
		p.Paraf(0, 2, "Trial %d, %s: %s, %s.", h.ID, h.Trial.Name, counted(readings, "reading"), counted(len(h.Trial.Events), "event"))
	}
	if len(r.Results) > 0 {
		p.Paraf(0, 2, "%s: %s.", counted(len(r.Results), "result"), strings.Join(runsOf(r.Results), "; "))
	}
	_, err := io.WriteString(w, p.String())
	return err
}

// runsOf names results by kind, those that follow each other together, such as
// "forecast 7 to 106".
func runsOf(list []notebook.Result) []string {
	list = slices.Clone(list)
	slices.SortFunc(list, func(a, b notebook.Result) int { return int(a.ID - b.ID) })
	var out []string
	for i := 0; i < len(list); {
		last := i
		for last+1 < len(list) && list[last+1].Kind == list[i].Kind && list[last+1].ID == list[last].ID+1 {
			last++
		}
		text := fmt.Sprintf("%s %d", list[i].Kind, list[i].ID)
		if last > i {
			text += fmt.Sprintf(" to %d", list[last].ID)
		}
		out, i = append(out, text), last+1
	}
	return out
}
