package web

import (
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

// tellGoing answers with what goes, or went, and the command that takes it out.
func (s *Server) tellGoing(w http.ResponseWriter, gone *notebook.Removal, words ...string) error {
	text, err := textOf(func(w io.Writer) error { return report.RemovalText(w, gone) })
	if err != nil {
		return err
	}
	reply(w, http.StatusOK, going{text, len(gone.Results), s.bookCommand(append(words, "--yes")...)})
	return nil
}

func (s *Server) tellTrialGoing(w http.ResponseWriter, gone *notebook.Removal) error {
	words := []string{"trial", "remove", fmt.Sprint(gone.Trials[0].ID)}
	if len(gone.Results) > 0 {
		words = append(words, "--with-results")
	}
	return s.tellGoing(w, gone, words...)
}

// trialGoing says what would go with a trial.
func (s *Server) trialGoing(w http.ResponseWriter, r *http.Request) error {
	n, id, err := s.trialOf(r)
	if err != nil {
		return err
	}
	with, err := n.WithTrial(r.Context(), id)
	if err != nil {
		return err
	}
	return s.tellTrialGoing(w, &with)
}

// removeTrial takes a trial out; with results=N also the results that rest on it,
// if they are as many as the page has shown.
func (s *Server) removeTrial(w http.ResponseWriter, r *http.Request) error {
	n, id, err := s.trialOf(r)
	if err != nil {
		return err
	}
	shown, _ := strconv.Atoi(r.URL.Query().Get("results")) // none where it says none
	gone, err := n.RemoveTrial(r.Context(), id, func(with notebook.Removal) error {
		if shown == len(with.Results) {
			return nil
		}
		return &Problem{Status: http.StatusConflict, Title: "Changed meanwhile", Detail: fmt.Sprintf("By now %d results rest on the trial.", len(with.Results)), Right: "look at what goes, and say so again"}
	})
	if err != nil {
		return err
	}
	s.forget(gone.Results)
	return s.tellTrialGoing(w, &gone)
}

// together is a result that a request names, with what goes with it, and the
// notebook that they are in.
func (s *Server) together(r *http.Request) (*notebook.Notebook, *notebook.Removal, error) {
	n, err := s.existing(r.Context())
	if err != nil {
		return nil, nil, err
	}
	list, err := n.ResultHeads(r.Context(), "")
	if err != nil {
		return nil, nil, err
	}
	id, err := strconv.ParseInt(r.PathValue("id"), 10, 64)
	out := notebook.Removal{Results: live.Together(list, id)}
	if err != nil || len(out.Results) == 0 {
		return nil, nil, missing("There is no such result in the notebook.")
	}
	return n, &out, nil
}

// resultGoing says what would go with a result.
func (s *Server) resultGoing(w http.ResponseWriter, r *http.Request) error {
	_, with, err := s.together(r)
	if err != nil {
		return err
	}
	return s.tellGoing(w, with, "notebook", "remove", r.PathValue("id"))
}

// removeResult takes a result out of the notebook; of a forecast all updates.
func (s *Server) removeResult(w http.ResponseWriter, r *http.Request) error {
	n, gone, err := s.together(r)
	if err != nil {
		return err
	}
	if err := n.RemoveResults(r.Context(), gone.Results); err != nil {
		return err
	}
	s.forget(gone.Results)
	return s.tellGoing(w, gone, "notebook", "remove", r.PathValue("id"))
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
