package web

import (
	"cmp"
	"fmt"
	"net/http"
	"strconv"

	"meltspan/design"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/report"
	"meltspan/search"
)

// varies shows a variation, and opens its points: the text that it began from, with
// other values in it.
func (s *Server) varies(f *finished, v *predict.Variation) {
	f.shown = record.OfVariation(v)
	f.chart = func(f *finished, u quantity.Display) { f.Map = mapOf(u, v) }
	f.open = func(n int, name string) (*openedPoint, error) {
		if n < 0 || n >= len(v.Points) {
			return nil, missing("There is no such point.")
		}
		var numbers []design.Number
		for i, at := range v.Points[n].At {
			numbers = append(numbers, design.Number{Path: v.Axes[i].Path, SI: v.Axes[i].Values[at]})
		}
		list, err := design.Amendments(f.source.Name, []byte(f.source.Text), numbers, s.beside(f.source))
		if err != nil {
			return nil, err
		}
		text, _, err := design.Amend(f.source.Name, []byte(f.source.Text), list, s.beside(f.source))
		if err != nil {
			return nil, err
		}
		name = cmp.Or(name, fmt.Sprintf("varied-%02d.yaml", n+1))
		if len(list) == 0 { // the design as it is
			return &openedPoint{string(text), name, s.savedBy(f.source, name, string(text))}, nil
		}
		words := []string{"amend", f.source.called()}
		for _, x := range list {
			words = append(words, x.Path, x.Value)
		}
		return &openedPoint{string(text), name, command(append(words, "--write", name)...)}, nil
	}
}

// labelIn is a value of an axis as people write it in a design, in the units of a
// reader.
func labelIn(u quantity.Display, a *predict.Axis, v float64) string {
	return report.InputLabel(u, &search.Input{Kind: a.Kind, Count: a.Count}, v)
}

// finds shows a search, and opens the designs that it found.
func (f *finished) finds(command func(words ...string) string, found *search.Result) {
	f.shown = record.OfSearch(found, nil)
	f.chart = func(f *finished, u quantity.Display) {
		f.Points = nil
		for i := range found.Front {
			f.Points = append(f.Points, pointOf(u, found, i))
		}
	}
	f.opens(command)
}

// opens lets the designs that were found be opened; command words a line about the
// notebook.
func (f *finished) opens(command func(words ...string) string) {
	f.open = func(n int, name string) (*openedPoint, error) {
		if n < 0 || n >= len(f.texts) {
			return nil, missing("There is no such design.")
		}
		name = cmp.Or(name, foundFile(n))
		line := f.Command // writes them all
		if f.Kept > 0 {
			line = command("notebook", "results", strconv.FormatInt(f.Kept, 10), "--found", strconv.Itoa(n+1), "--write", name)
		}
		return &openedPoint{f.texts[n], name, line}, nil
	}
}

func foundFile(n int) string { return fmt.Sprintf("found-%02d.yaml", n+1) }

// openPoint is the text of a design that a search or a variation came by.
func (s *Server) openPoint(w http.ResponseWriter, r *http.Request, f *finished) error {
	n, err := strconv.Atoi(r.PathValue("number"))
	if err != nil || f.open == nil {
		return missing("There is no such design.")
	}
	file := r.URL.Query().Get("file")
	if file != "" {
		if err := local(file); err != nil {
			return err
		}
	}
	p, err := f.open(n, file)
	if err != nil {
		return err
	}
	reply(w, http.StatusOK, p)
	return nil
}
