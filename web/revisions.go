package web

import (
	"context"
	"net/http"
	"strings"

	"meltspan/design"
)

// revisionPrefix names a design of the notebook where a design is asked for.
const revisionPrefix = "revision:"

// candidate reads a design that could be printed next: a file of the project, an
// example, or a revision in the notebook, which comes without a text to keep.
func (s *Server) candidate(ctx context.Context, name string) (*design.Design, source, error) {
	revision, kept := strings.CutPrefix(name, revisionPrefix)
	if !kept {
		return s.stored(name)
	}
	n, err := s.existing(ctx)
	if err != nil {
		return nil, source{}, err
	}
	one, err := n.Design(ctx, revision)
	if err != nil {
		return nil, source{}, err
	}
	d, err := one.Parse()
	return d, source{Name: one.Revision}, err // by which the command finds it
}

// listedRevision is a design that the notebook keeps.
type listedRevision struct {
	Revision string  `json:"revision"`
	Name     string  `json:"name"`
	File     string  `json:"file"`
	Saved    float64 `json:"saved_unix_s"`
	Trials   int     `json:"trials"` // that were made on it
}

// listRevisions lists the designs of the notebook, each revision once, the one
// kept last first.
func (s *Server) listRevisions(w http.ResponseWriter, r *http.Request) error {
	n, err := s.notes(r.Context(), false)
	if err != nil {
		return err
	}
	out := []listedRevision{}
	if n != nil {
		designs, err := n.Designs(r.Context())
		if err != nil {
			return err
		}
		heads, err := n.Trials(r.Context())
		if err != nil {
			return err
		}
		tried := map[string]int{}
		for _, h := range heads {
			tried[h.Trial.Revision]++
		}
		seen := map[string]bool{}
		for i := len(designs) - 1; i >= 0; i-- {
			d := &designs[i]
			if !seen[d.Revision] {
				seen[d.Revision] = true
				out = append(out, listedRevision{d.Revision, d.Name, d.File, d.Saved, tried[d.Revision]})
			}
		}
	}
	reply(w, http.StatusOK, map[string]any{"revisions": out})
	return nil
}

// keepRevision keeps a design in the notebook, as it is written, before there is
// any trial of it.
func (s *Server) keepRevision(w http.ResponseWriter, r *http.Request) error {
	var in source
	if err := take(w, r, &in); err != nil {
		return err
	}
	if _, err := s.parse(in); err != nil {
		return err
	}
	n, err := s.notes(r.Context(), true)
	if err != nil {
		return err
	}
	kept, err := s.keepDesign(r.Context(), n, in)
	if err != nil {
		return err
	}
	reply(w, http.StatusCreated, map[string]string{"revision": kept.Revision, "name": kept.Name, "command": s.bookCommand("notebook", "keep", in.called())})
	return nil
}
