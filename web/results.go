package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"

	"meltspan/live"
	"meltspan/notebook"
	"meltspan/report"
)

// keep puts what a job came to into the notebook, with the designs, the inputs
// and the version of the program that made it. A result that cannot be kept is
// shown all the same, and says so.
func (s *Server) keep(ctx context.Context, f *finished, in order, create bool) {
	ctx = context.WithoutCancel(ctx) // also when the job was ended early
	n, err := s.notes(ctx, create)
	if err == nil && (n == nil || f.kind == "") {
		return
	}
	if err == nil {
		f.Kept, err = s.keepIn(ctx, n, f, in)
	}
	if f.Unkept = ""; err != nil {
		f.Unkept = problemOf(err).Detail
		s.o.Note("a result could not be kept in the notebook: " + err.Error())
	}
}

func (s *Server) keepIn(ctx context.Context, n *notebook.Notebook, f *finished, in order) (int64, error) {
	for _, d := range f.designs {
		if _, err := s.keepDesign(ctx, n, d); err != nil {
			return 0, err
		}
	}
	inputs, err := in.inputs(f)
	if err != nil {
		return 0, err
	}
	payload, err := f.payload()
	if err != nil {
		return 0, err
	}
	return n.KeepOnce(ctx, notebook.Result{Kind: f.kind, Code: s.o.Code, Revision: f.revision, Trials: f.trials, Inputs: inputs, Payload: payload})
}

// keepDesign keeps a design as it is written, with its room log.
func (s *Server) keepDesign(ctx context.Context, n *notebook.Notebook, in source) (notebook.Design, error) {
	return n.SaveDesign(ctx, path.Base(in.Name), []byte(in.Text), s.beside(in))
}

// inputs are what the notebook keeps of an order: all but the text of the
// design, which is kept as a design.
func (in order) inputs(f *finished) (json.RawMessage, error) {
	var out map[string]any
	text, err := json.Marshal(in)
	if err == nil {
		err = json.Unmarshal(text, &out)
	}
	if err != nil {
		return nil, err
	}
	delete(out, "text")
	out["by"] = "page"
	if f.Partial {
		out["ended_early"] = true
	}
	for k, v := range f.inputs {
		out[k] = v
	}
	var b bytes.Buffer
	err = report.JSON(&b, out)
	return b.Bytes(), err
}

// withMember is the JSON of a value that is an object there, with one member
// more.
func withMember(v any, name string, member any) (json.RawMessage, error) {
	var whole, one bytes.Buffer
	if err := report.JSON(&whole, v); err != nil {
		return nil, err
	}
	if err := report.JSON(&one, member); err != nil {
		return nil, err
	}
	head, found := bytes.CutSuffix(bytes.TrimSpace(whole.Bytes()), []byte("}"))
	if !found {
		return nil, fmt.Errorf("web: %T is no object in JSON", v)
	}
	if head = bytes.TrimSpace(head); !bytes.HasSuffix(head, []byte("{")) {
		head = append(head, ',')
	}
	return fmt.Appendf(head, "%q: %s}", name, one.Bytes()), nil
}

// bookCommand is a command line about the project's notebook.
func (s *Server) bookCommand(words ...string) string {
	if s.o.Notebook != usualNotebook {
		words = append(words, "--notebook", s.o.Notebook)
	}
	return command(words...)
}

// listedResult is one that the notebook keeps.
type listedResult struct {
	Number   int64   `json:"number"`
	Kind     string  `json:"kind"`
	Made     float64 `json:"made_unix_s"`
	Design   string  `json:"design,omitempty"` // its name
	Revision string  `json:"revision,omitempty"`
	About    string  `json:"about"`
	Trials   []int64 `json:"trials,omitempty"`
	Updates  int     `json:"updates,omitempty"` // of a forecast
	Partial  bool    `json:"partial,omitempty"`
	Code     string  `json:"code"`
}

// listResults lists what the notebook keeps, the newest first.
func (s *Server) listResults(w http.ResponseWriter, r *http.Request) error {
	n, err := s.notes(r.Context(), false)
	if err != nil {
		return err
	}
	out := []listedResult{}
	if n != nil {
		heads, err := n.ResultHeads(r.Context(), "")
		if err != nil {
			return err
		}
		designs, err := n.Designs(r.Context())
		if err != nil {
			return err
		}
		names := map[string]string{}
		for _, d := range designs {
			names[d.Revision] = d.Name
		}
		for _, g := range slices.Backward(live.Gathered(heads)) {
			h := &g.Result
			one := listedResult{Number: h.ID, Kind: h.Kind, Made: h.Made, Design: names[h.Revision], Revision: h.Revision, Trials: h.Trials, Updates: g.Updates, Code: h.Code}
			var in struct {
				order
				EndedEarly bool   `json:"ended_early"`
				By         string `json:"by"`
			}
			if json.Unmarshal(h.Inputs, &in) == nil && in.By == "page" {
				one.About, one.Partial = in.about(), in.EndedEarly
			}
			out = append(out, one)
		}
	}
	reply(w, http.StatusOK, map[string]any{"notebook": n != nil, "results": out, "command": s.bookCommand("notebook", "results")})
	return nil
}

// keptResult reads the result of a request from the notebook.
func (s *Server) keptResult(r *http.Request) (*notebook.Result, error) {
	id, err := strconv.ParseInt(r.PathValue("id"), 10, 64)
	if err != nil || id <= 0 {
		return nil, missing("Results go by their number.")
	}
	n, err := s.existing(r.Context())
	if err != nil {
		return nil, err
	}
	found, err := n.Result(r.Context(), id)
	return &found, err
}

// getResult opens a result of the notebook.
func (s *Server) getResult(w http.ResponseWriter, r *http.Request) error {
	u, err := unitsOf(r)
	if err != nil {
		return err
	}
	kept, err := s.keptResult(r)
	if err != nil {
		return err
	}
	f, err := s.again(r.Context(), kept)
	if err == nil {
		f, err = f.in(u)
	}
	if err != nil {
		return err
	}
	reply(w, http.StatusOK, struct {
		finished
		Made     float64 `json:"made_unix_s"`
		Code     string  `json:"code"`
		Revision string  `json:"revision"`
		Trials   []int64 `json:"trials,omitempty"`
		Same     string  `json:"show_command"`
	}{*f, kept.Made, strings.TrimSpace(kept.Code), kept.Revision, kept.Trials, inUnits(s.bookCommand("notebook", "results", strconv.FormatInt(kept.ID, 10)), u)})
	return nil
}

// of makes a handler of what is done with the outcome of a job, or with a result
// of the notebook.
func (s *Server) of(outcome func(*http.Request) (*finished, error), do func(http.ResponseWriter, *http.Request, *finished) error) func(http.ResponseWriter, *http.Request) error {
	return func(w http.ResponseWriter, r *http.Request) error {
		f, err := outcome(r)
		if err != nil {
			return err
		}
		return do(w, r, f)
	}
}

// fromJob is the result of a job that must be there.
func (s *Server) fromJob(r *http.Request) (*finished, error) {
	j, err := s.jobs.find(r.PathValue("id"))
	if err != nil {
		return nil, err
	}
	now, _ := j.now()
	if now.Result == nil {
		return nil, missing("The computation has no result yet.")
	}
	return now.Result, nil
}

// fromNotebook is a result of the notebook. The one read last is at hand: the
// frames of a section are asked for one after the other.
func (s *Server) fromNotebook(r *http.Request) (*finished, error) {
	s.reading.Lock()
	defer s.reading.Unlock()
	if f := s.atHand; f != nil && strconv.FormatInt(f.Kept, 10) == r.PathValue("id") {
		return f, nil
	}
	kept, err := s.keptResult(r)
	if err != nil {
		return nil, err
	}
	f, err := s.again(r.Context(), kept)
	if err == nil {
		s.atHand = f
	}
	return f, err
}

// keepJob keeps a result that is in memory only, and begins a notebook for it
// where there is none.
func (s *Server) keepJob(w http.ResponseWriter, r *http.Request) error {
	j, err := s.jobs.find(r.PathValue("id"))
	if err != nil {
		return err
	}
	now, _ := j.now()
	switch {
	case now.Result == nil:
		return missing("The computation has no result yet.")
	case now.Result.Kept == 0:
		f := *now.Result // others may be looking at it
		s.keep(r.Context(), &f, j.order, true)
		if f.Unkept != "" {
			return &Problem{Status: http.StatusInternalServerError, Title: "Not kept", Detail: f.Unkept}
		}
		if f.texts != nil {
			f.opens(s.bookCommand) // its designs are had from the notebook now
		}
		j.change(func() { j.result = &f })
		now.Result = &f
	}
	reply(w, http.StatusOK, map[string]int64{"kept": now.Result.Kept})
	return nil
}
