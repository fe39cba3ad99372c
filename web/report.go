package web

import (
	"context"
	"fmt"
	"net/http"
	"path"
	"slices"

	"meltspan/calibrate"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/report/document"
)

// reporting makes the report to hand on, as the command does: with the trials of
// this revision of the design and the latest calibration that used any of them.
func (s *Server) reporting(ctx context.Context, in order) (work, error) {
	d, err := s.parse(in.source)
	if err != nil {
		return nil, err
	}
	from := document.Source{Design: d, File: path.Base(in.Name), Text: []byte(in.Text), Spacing: sectionSpacing}
	n, err := s.notes(ctx, false)
	if err != nil {
		return nil, err
	}
	if n != nil {
		from.Notebook = s.o.Notebook
		if err := s.gather(ctx, n, &from); err != nil {
			return nil, err
		}
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		from.Progress = tell
		doc, err := document.Make(ctx, from)
		if err != nil {
			return nil, err
		}
		page, err := doc.HTML()
		if err != nil {
			return nil, err
		}
		paper, err := doc.PDF()
		if err != nil {
			return nil, err
		}
		f := &finished{Command: command("report", in.called(), "--folder", "report", "--notebook", s.o.Notebook), Files: []string{"report.html", "report.pdf"},
			made: made{kind: notebook.Report, answer: map[string]string{"design": d.Name}, revision: d.Revision(), designs: []source{in.source}}}
		if n == nil {
			f.Command = command("report", in.called(), "--folder", "report")
		}
		f.files = map[string][]byte{"report.html": page, "report.pdf": paper}
		f.file = func(u quantity.Display, name string) ([]byte, error) {
			shown, err := doc.In(u)
			if err != nil {
				return nil, err
			}
			if name == f.Files[0] {
				return shown.HTML()
			}
			return shown.PDF()
		}
		return f, nil
	}, nil
}

// gather reads the trials of the design's revision, and what they taught.
func (s *Server) gather(ctx context.Context, n *notebook.Notebook, to *document.Source) error {
	heads, err := n.Trials(ctx)
	if err != nil {
		return err
	}
	var used []int64
	for _, h := range heads {
		if h.Trial.Revision != to.Design.Revision() {
			continue
		}
		t := document.Trial{Design: to.Design}
		if t.View, err = s.view(ctx, h.ID); err != nil {
			return err
		}
		to.Trials, used = append(to.Trials, t), append(used, h.ID)
	}
	kept, err := n.Results(ctx, notebook.Calibration)
	if err != nil {
		return err
	}
	for _, r := range slices.Backward(kept) {
		if !slices.ContainsFunc(r.Trials, func(id int64) bool { return slices.Contains(used, id) }) {
			continue
		}
		p, err := posterior(&r)
		if err != nil {
			return err
		}
		if !p.Sampling.Interrupted {
			to.Calibration = &document.Calibration{Number: r.ID, Code: r.Code, Trials: r.Trials, Posterior: p}
			return nil
		}
	}
	return nil
}

// posterior reads a calibration that was kept.
func posterior(r *notebook.Result) (*calibrate.Posterior, error) {
	p := new(calibrate.Posterior)
	err := report.ReadJSON(r.Payload, p)
	if err == nil {
		err = p.Valid()
	}
	if err != nil {
		return nil, fmt.Errorf("the calibration %d in the notebook cannot be used: %w", r.ID, err)
	}
	return p, nil
}

// madeFile sends a file that a job made, to be saved and not shown: it has styles of
// its own, which the page's policy does not let in.
func (s *Server) madeFile(w http.ResponseWriter, r *http.Request, f *finished) error {
	u, err := unitsOf(r)
	if err != nil {
		return err
	}
	name := r.PathValue("file")
	kind := map[string]string{".html": "text/html; charset=utf-8", ".pdf": "application/pdf"}[path.Ext(name)]
	if !slices.Contains(f.Files, name) || kind == "" {
		return missing("There is no such file.")
	}
	data := f.files[name]
	if u != (quantity.Display{}) && f.file != nil {
		if data, err = f.file(u, name); err != nil {
			return err
		}
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", name))
	w.Write(data)
	return nil
}
