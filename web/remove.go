package web

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strconv"

	"meltspan/live"
	"meltspan/notebook"
	"meltspan/report"
)

// going is what is taken out of the notebook together, before and after.
type going struct {
	Text    string `json:"text"`
	Results int    `json:"results"` // that go
	Command string `json:"command"`
}

func (s *Server) goingOf(r *notebook.Removal, words ...string) (*going, error) {
	text, err := textOf(func(w io.Writer) error { return report.RemovalText(w, r) })
	return &going{text, len(r.Results), s.bookCommand(append(words, "--yes")...)}, err
}

func (s *Server) goingTrial(r *notebook.Removal) (*going, error) {
	words := []string{"trial", "remove", fmt.Sprint(r.Trials[0].ID)}
	if len(r.Results) > 0 {
		words = append(words, "--with-results")
	}
	return s.goingOf(r, words...)
}

// trialGoing says what would go with a trial.
func (s *Server) trialGoing(w http.ResponseWriter, r *http.Request) error {
	id, err := number(r)
	if err != nil {
		return err
	}
	n, err := s.existing(r.Context())
	if err != nil {
		return err
	}
	with, err := n.WithTrial(r.Context(), id)
	if err != nil {
		return err
	}
	out, err := s.goingTrial(&with)
	if err != nil {
		return err
	}
	reply(w, http.StatusOK, out)
	return nil
}

// removeTrial takes a trial out; with results=N also the results that rest on it,
// if they are as many as the page has shown.
func (s *Server) removeTrial(w http.ResponseWriter, r *http.Request) error {
	id, err := number(r)
	if err != nil {
		return err
	}
	n, err := s.existing(r.Context())
	if err != nil {
		return err
	}
	with, err := n.WithTrial(r.Context(), id)
	if err != nil {
		return err
	}
	if shown, _ := strconv.Atoi(r.URL.Query().Get("results")); shown != len(with.Results) {
		return &Problem{Status: http.StatusConflict, Title: "Changed meanwhile", Detail: fmt.Sprintf("By now %d results rest on the trial.", len(with.Results)), Right: "look at what goes, and say so again"}
	}
	gone, err := n.RemoveTrial(r.Context(), id, len(with.Results) > 0)
	if err != nil {
		return err
	}
	out, err := s.goingTrial(&gone)
	if err != nil {
		return err
	}
	s.forget(gone.Results)
	reply(w, http.StatusOK, out)
	return nil
}

// together is a result with what goes with it.
func (s *Server) together(ctx context.Context, n *notebook.Notebook, text string) (*notebook.Removal, *going, error) {
	list, err := n.ResultHeads(ctx, "")
	if err != nil {
		return nil, nil, err
	}
	id, err := strconv.ParseInt(text, 10, 64)
	out := notebook.Removal{Results: live.Together(list, id)}
	if err != nil || len(out.Results) == 0 {
		return nil, nil, missing("There is no such result in the notebook.")
	}
	said, err := s.goingOf(&out, "notebook", "remove", text)
	return &out, said, err
}

// resultGoing says what would go with a result.
func (s *Server) resultGoing(w http.ResponseWriter, r *http.Request) error {
	n, err := s.existing(r.Context())
	if err != nil {
		return err
	}
	_, said, err := s.together(r.Context(), n, r.PathValue("id"))
	if err != nil {
		return err
	}
	reply(w, http.StatusOK, said)
	return nil
}

// removeResult takes a result out of the notebook; of a forecast all updates.
func (s *Server) removeResult(w http.ResponseWriter, r *http.Request) error {
	n, err := s.existing(r.Context())
	if err != nil {
		return err
	}
	gone, said, err := s.together(r.Context(), n, r.PathValue("id"))
	if err != nil {
		return err
	}
	var ids []int64
	for i := range gone.Results {
		ids = append(ids, gone.Results[i].ID)
	}
	if err := n.RemoveResults(r.Context(), ids...); err != nil {
		return err
	}
	s.forget(gone.Results)
	reply(w, http.StatusOK, said)
	return nil
}

// forget lets go of what was at hand of results that were taken out: those whose
// jobs are in memory still are there only.
func (s *Server) forget(gone []notebook.Result) {
	is := func(kept int64) bool {
		return slices.ContainsFunc(gone, func(r notebook.Result) bool { return r.ID == kept })
	}
	s.reading.Lock()
	if s.atHand != nil && is(s.atHand.Kept) {
		s.atHand = nil
	}
	s.reading.Unlock()
	for _, j := range s.jobs.all() {
		if now, _ := j.now(); now.Result != nil && is(now.Result.Kept) {
			f := *now.Result // others may be looking at it
			f.Kept = 0
			j.change(func() { j.result = &f })
		}
	}
}
