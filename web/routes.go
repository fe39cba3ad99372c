package web

import (
	"bytes"
	"embed"
	"io/fs"
	"net/http"
	"path/filepath"
	"runtime/debug"

	"meltspan/design"
)

//go:embed page
var pageFiles embed.FS

// handle makes a handler of a function that may fail.
func (s *Server) handle(f func(http.ResponseWriter, *http.Request) error) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			if x := recover(); x != nil {
				s.o.Note("a fault inside, answering " + r.Method + " " + r.URL.Path)
				debug.PrintStack()
				fail(w, &Problem{Status: http.StatusInternalServerError, Title: "A fault inside", Detail: "The program met a fault of its own. Nothing was written."})
			}
		}()
		if err := f(w, r); err != nil && r.Context().Err() == nil {
			fail(w, err)
		}
	})
}

func (s *Server) routes() http.Handler {
	m := http.NewServeMux()
	patterns := map[string]func(http.ResponseWriter, *http.Request) error{
		"GET /{$}":                             s.index,
		"GET /page/{file...}":                  s.asset,
		"GET /api/project":                     s.project,
		"GET /api/designs/{name...}":           s.getDesign,
		"PUT /api/designs/{name...}":           s.putDesign,
		"POST /api/answer":                     s.answer,
		"POST /api/searchable":                 s.searchable,
		"GET /api/jobs":                        s.listJobs,
		"POST /api/jobs":                       s.startJob,
		"GET /api/jobs/{id}":                   s.getJob,
		"DELETE /api/jobs/{id}":                s.endJob,
		"GET /api/jobs/{id}/events":            s.watchJob,
		"POST /api/jobs/{id}/keep":             s.keepJob,
		"GET /api/results":                     s.listResults,
		"GET /api/results/{id}":                s.getResult,
		"DELETE /api/results/{id}":             s.removeResult,
		"GET /api/results/{id}/removal":        s.resultGoing,
		"GET /api/revisions":                   s.listRevisions,
		"POST /api/revisions":                  s.keepRevision,
		"POST /api/body":                       s.getBody,
		"POST /api/parts.3mf":                  s.threeMF,
		"GET /api/trials":                      s.listTrials,
		"POST /api/trials":                     s.importTrial,
		"POST /api/trials/examples":            s.addExamples,
		"GET /api/trials/{trial}":              s.getTrial,
		"DELETE /api/trials/{trial}":           s.removeTrial,
		"GET /api/trials/{trial}/removal":      s.trialGoing,
		"POST /api/trials/{trial}/events":      s.addEvent,
		"GET /api/trials/{trial}/watch":        s.watchTrial,
		"GET /api/trials/{trial}/forecast.svg": s.forecastPicture,
	}
	// What belongs to a result is had from the job while it is in memory, and from
	// the notebook.
	for of, outcome := range map[string]func(*http.Request) (*finished, error){"jobs": s.fromJob, "results": s.fromNotebook} {
		patterns["GET /api/"+of+"/{id}/frames/{number}/{what}"] = s.of(outcome, s.frame)
		patterns["GET /api/"+of+"/{id}/designs/{number}"] = s.of(outcome, s.openPoint)
		patterns["GET /api/"+of+"/{id}/files/{file}"] = s.of(outcome, s.madeFile)
	}
	for pattern, f := range patterns {
		m.Handle(pattern, s.handle(f))
	}
	m.Handle("/", s.handle(func(http.ResponseWriter, *http.Request) error { return missing("There is nothing under this address.") }))
	return m
}

// tokenMark stands in the page where its token comes. A template would do the
// same, and would make the program 8 MB larger: it keeps every method there is.
const tokenMark = "{{token}}"

func (s *Server) index(w http.ResponseWriter, r *http.Request) error {
	page, err := pageFiles.ReadFile("page/index.html")
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Write(bytes.Replace(page, []byte(tokenMark), []byte(s.token), 1)) // letters and digits only
	return nil
}

// contentTypes of the assets: what a system's own table says differs from
// machine to machine.
var contentTypes = map[string]string{".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml", ".txt": "text/plain; charset=utf-8"}

func (s *Server) asset(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("file")
	kind, ok := contentTypes[filepath.Ext(name)]
	if !ok || !fs.ValidPath(name) {
		return missing("There is nothing under this address.")
	}
	data, err := pageFiles.ReadFile("page/" + name)
	if err != nil {
		return missing("There is nothing under this address.")
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "no-cache")
	w.Write(data)
	return nil
}

func (s *Server) project(w http.ResponseWriter, r *http.Request) error {
	folder, err := filepath.Abs(s.o.Folder)
	if err != nil {
		return err
	}
	units, err := shownUnits()
	if err != nil {
		return err
	}
	var examples []string
	for _, name := range design.DemoNames() {
		examples = append(examples, examplePrefix+name)
	}
	reply(w, http.StatusOK, map[string]any{"folder": filepath.Base(folder), "designs": s.designs(), "examples": examples, "notebook": s.o.Notebook, "displays": displays, "units": units})
	return nil
}
