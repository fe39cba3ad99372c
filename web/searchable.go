package web

import (
	"math"
	"net/http"
	"slices"

	"meltspan/design"
	"meltspan/quantity"
	"meltspan/search"
)

// wordControl is a key of a design that holds one of several words.
type wordControl struct {
	Path    string   `json:"path"`
	About   string   `json:"about"`
	Allowed []string `json:"allowed"`
	Now     string   `json:"now"`
}

// searchable tells what a search may vary beyond the sliders: words, and sizes
// that follow from others.
func (s *Server) searchable(w http.ResponseWriter, r *http.Request) error {
	var in source
	if err := take(w, r, &in); err != nil {
		return err
	}
	d, err := s.parse(in)
	if err != nil {
		return err
	}
	reply(w, http.StatusOK, map[string]any{"words": wordsOf(d), "sizes": sizesOf(d)})
	return nil
}

func wordsOf(d *design.Design) []wordControl {
	out := []wordControl{}
	for _, x := range d.Words() {
		out = append(out, wordControl{x.Path, x.About, slices.Clone(x.Allowed), x.Value(d)})
	}
	tops := []string{search.TopClosed, search.TopOpen}
	if top, err := search.NewChoice(d, search.Top, tops); err == nil {
		out = append(out, wordControl{top.Path, top.About, tops, top.Label(top.Now(d))})
	}
	return out
}

// sizesOf are the sizes that follow from two others, with their value now.
func sizesOf(d *design.Design) []control {
	out := []control{}
	for _, path := range search.InputPaths() {
		in, err := search.NewRange(d, path, 0, 1)
		if err != nil {
			continue // it is a word
		}
		v := in.Now(d)
		if math.IsNaN(v) || v <= 0 {
			continue
		}
		c := control{Path: path, About: in.About, Kind: string(quantity.Length), Value: v}
		c.reach(0, math.Inf(1))
		out = append(out, c)
	}
	return out
}
