package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"net/http"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"meltspan/calibrate"
	"meltspan/design"
	"meltspan/notebook"
	"meltspan/record"
	"meltspan/report"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

// notes opens the project's notebook once; create makes one that is not there.
// nil without an error: there is none.
func (s *Server) notes(ctx context.Context, create bool) (*notebook.Notebook, error) {
	s.books.Lock()
	defer s.books.Unlock()
	if s.book != nil {
		return s.book, nil
	}
	// The database opens by path, so a link that leads out of the project is
	// caught here.
	info, err := s.root.Lstat(s.o.Notebook)
	switch {
	case errors.Is(err, fs.ErrNotExist) && !create:
		return nil, nil
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return nil, err
	case err == nil && !info.Mode().IsRegular():
		return nil, bad("a notebook in the project folder itself", "The notebook of this project is no plain file.")
	}
	path := filepath.Join(s.o.Folder, s.o.Notebook)
	// It outlives the request that first asks for it.
	if s.book, err = notebook.Open(context.WithoutCancel(ctx), path); err != nil {
		s.book = nil
		return nil, err
	}
	return s.book, nil
}

// existing is the notebook where there must be one.
func (s *Server) existing(ctx context.Context) (*notebook.Notebook, error) {
	n, err := s.notes(ctx, false)
	if err == nil && n == nil {
		err = missing("There is no notebook in this project yet.")
	}
	return n, err
}

func number(r *http.Request) (int64, error) {
	id, err := strconv.ParseInt(r.PathValue("trial"), 10, 64)
	if err != nil || id <= 0 {
		return 0, missing("Trials go by their number.")
	}
	return id, nil
}

// trialOf is the trial that a request names, by its number, and the notebook that
// it is in.
func (s *Server) trialOf(r *http.Request) (*notebook.Notebook, int64, error) {
	id, err := number(r)
	if err != nil {
		return nil, 0, err
	}
	n, err := s.existing(r.Context())
	return n, id, err
}

// listed is a trial in the table.
type listed struct {
	Number   int64   `json:"number"`
	Name     string  `json:"name"`
	Kind     string  `json:"kind"`
	Design   string  `json:"design"`
	Start    string  `json:"start"`
	Run      string  `json:"run_time"`
	RunTime  float64 `json:"run_time_s"`
	Readings int     `json:"readings"`
	Running  bool    `json:"running"` // a run with readings or a start, and no end yet
}

func listing(h *notebook.Head) listed {
	r := record.RowOf(h)
	return listed{Number: h.ID, Name: h.Trial.Name, Kind: string(h.Trial.Kind), Design: h.Trial.Design, Start: r.Start, Run: r.Run, RunTime: r.RunTime, Readings: r.Readings,
		Running: math.IsNaN(r.RunTime) && h.Trial.Kind == trial.Run && h.Trial.Revision != "" && (r.Readings > 0 || !math.IsNaN(h.Trial.Start))}
}

func (s *Server) listTrials(w http.ResponseWriter, r *http.Request) error {
	n, err := s.notes(r.Context(), false)
	if err != nil {
		return err
	}
	trials := []listed{}
	if n != nil {
		heads, err := n.Trials(r.Context())
		if err != nil {
			return err
		}
		for i := range heads {
			trials = append(trials, listing(&heads[i]))
		}
	}
	reply(w, http.StatusOK, map[string]any{"notebook": n != nil, "trials": trials, "command": s.bookCommand("trial", "list")})
	return nil
}

// caseOf is a trial with the design that it was made on.
func (s *Server) caseOf(ctx context.Context, id int64) (calibrate.Case, error) {
	n, err := s.existing(ctx)
	if err != nil {
		return calibrate.Case{}, err
	}
	return record.Case(ctx, n, id)
}

// view is a trial with what the network predicts for it.
func (s *Server) view(ctx context.Context, id int64) (*report.TrialView, error) {
	n, err := s.existing(ctx)
	if err != nil {
		return nil, err
	}
	return record.View(ctx, n, id, true)
}

func (s *Server) getTrial(w http.ResponseWriter, r *http.Request) error {
	id, err := number(r)
	if err != nil {
		return err
	}
	u, err := unitsOf(r)
	if err != nil {
		return err
	}
	v, err := s.view(r.Context(), id)
	if err != nil {
		return err
	}
	text, err := textOf(func(w io.Writer) error { return report.TrialText(w, u, v) })
	if err != nil {
		return err
	}
	out := map[string]any{"number": id, "name": v.Trial.Name, "text": text, "command": inUnits(s.bookCommand("trial", "show", fmt.Sprint(id), "--pictures", "pictures"), u)}
	if p, err := report.TrialPicture(u, v); err == nil { // a trial without a log has none
		if out["picture"], err = drawn(p); err != nil {
			return err
		}
	}
	reply(w, http.StatusOK, out)
	return nil
}

func (s *Server) addEvent(w http.ResponseWriter, r *http.Request) error {
	id, err := number(r)
	if err != nil {
		return err
	}
	var in struct{ Kind, When string }
	if err := take(w, r, &in); err != nil {
		return err
	}
	kind := trial.EventKind(in.Kind)
	if !slices.Contains(trial.EventKinds(), kind) {
		return bad("one that the page offers", "There is no event "+clip(in.Kind)+".")
	}
	n, err := s.existing(r.Context())
	if err != nil {
		return err
	}
	if _, err := record.AddEvent(r.Context(), n, id, kind, in.When, "", time.Local); err != nil {
		return err
	}
	reply(w, http.StatusCreated, map[string]string{"command": s.bookCommand("trial", "event", fmt.Sprint(id), in.Kind, in.When)})
	return nil
}

// form is what the page says of a new trial, beside its log.
type form struct {
	source
	title, start, stalled, mass string
	dry                         bool
}

// importTrial keeps a trial: with the log of the form, or typed in by hand.
// With dry=1 it only shows how the log would be read.
func (s *Server) importTrial(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, mostLog+mostBody)
	if err := r.ParseMultipartForm(mostBody); err != nil {
		var large *http.MaxBytesError
		if errors.As(err, &large) {
			return err
		}
		return bad("multipart/form-data", "The form cannot be read.")
	}
	defer r.MultipartForm.RemoveAll() // parts on the disk, if any
	in := form{source: source{r.FormValue("design"), r.FormValue("text")}, title: r.FormValue("title"), start: r.FormValue("start"), stalled: r.FormValue("stalled"), mass: r.FormValue("mass"), dry: r.FormValue("dry") != ""}
	words := []string{"trial", "record"}
	file, log, err := readLog(r)
	if err != nil {
		return err
	}
	if file != "" {
		words = []string{"trial", "import", file}
	}
	t, err := in.trial()
	if err != nil {
		return err
	}
	var d *design.Design
	if in.Text != "" {
		if d, err = s.parse(in.source); err != nil {
			return err
		}
		if _, err := t.Arranged(d); err != nil {
			return err
		}
		words = append(words, in.called())
	}
	out := map[string]any{}
	var read *logfile.Log
	if file != "" {
		if read, err = logfile.Read(file, log, logfile.Mapping{}); err != nil {
			return err
		}
		placed, err := record.Place(read, &t, math.NaN(), "")
		if err != nil {
			return err
		}
		t.Series = placed.Series
		_, found, err := record.Detect(&t, d)
		if err != nil {
			return err
		}
		t.Events = append(t.Events, found...)
		out["columns"], out["rows"], out["unread"] = read.Mapping.Used(), read.Rows, read.Unread
		out["series"], out["events"], out["time"] = report.ViewSeries(t.Series), t.Events, read.Mapping.Time
	}
	out["command"] = s.bookCommand(append(words, in.flags()...)...)
	if in.dry {
		reply(w, http.StatusOK, out)
		return nil
	}
	n, err := s.notes(r.Context(), true)
	if err != nil {
		return err
	}
	kept := record.Design{Design: d, File: in.Name, Text: []byte(in.Text), Open: s.beside(in.source)}
	var files []notebook.File
	if file != "" {
		files = record.LogFile(nil, file, log)
	}
	id, err := record.Create(r.Context(), n, kept, t, files...)
	if err != nil {
		return err
	}
	out["number"] = id
	reply(w, http.StatusCreated, out)
	return nil
}

func readLog(r *http.Request) (string, []byte, error) {
	f, header, err := r.FormFile("log")
	if errors.Is(err, http.ErrMissingFile) {
		return "", nil, nil
	} else if err != nil {
		return "", nil, bad("a file", "The log cannot be read.")
	}
	defer f.Close()
	data, err := io.ReadAll(f)
	if err != nil {
		return "", nil, err
	}
	name := filepath.Base(filepath.FromSlash(header.Filename))
	if len(data) == 0 {
		return "", nil, bad("a CSV file with rows", "The log "+clip(name)+" is empty.")
	}
	return name, data, nil
}

// trial makes a trial of the form, without series.
func (in *form) trial() (trial.Trial, error) {
	t := trial.Trial{Name: in.title, Kind: trial.Run, Start: math.NaN()}
	if in.start != "" {
		at, ok := logfile.ParseMoment(in.start, time.Local)
		if !ok {
			return t, bad(`year first, such as "2026-01-31 14:05"`, "The load cannot have been set on at "+clip(in.start)+".")
		}
		t.Start, t.Zone = at, record.ZoneText("", at)
	}
	if in.mass != "" {
		t.Settings = append(t.Settings, trial.Setting{Path: "store.mass", Value: in.mass})
	}
	if in.stalled != "" {
		e, err := record.Event(trial.Stalled, in.stalled, t.Start, time.Local)
		if err != nil {
			return t, err
		}
		t.Events = append(t.Events, e)
	}
	if err := t.Check(); err != nil {
		return t, bad("times from setting on the load", err.Error())
	}
	return t, nil
}

// flags are those of the command line that say the same.
func (in *form) flags() []string {
	var out []string
	for _, f := range [][2]string{{"--name", in.title}, {"--start", in.start}, {"--stalled", in.stalled}} {
		if f[1] != "" {
			out = append(out, f[0], f[1])
		}
	}
	if in.mass != "" {
		out = append(out, "--set", "store.mass="+in.mass)
	}
	return out
}

// addExamples puts the invented trials into the project's notebook.
func (s *Server) addExamples(w http.ResponseWriter, r *http.Request) error {
	n, err := s.notes(r.Context(), true)
	if err != nil {
		return err
	}
	if there, err := n.Trials(r.Context()); err != nil {
		return err
	} else if len(there) > 0 {
		return bad("a project without trials", "The notebook holds trials already; invented ones are not mixed in.")
	}
	if err := record.Examples(r.Context(), n); err != nil {
		return err
	}
	heads, err := n.Trials(r.Context())
	if err != nil {
		return err
	}
	reply(w, http.StatusOK, map[string]any{"trials": len(heads), "command": command("notebook", "demo", s.o.Notebook)})
	return nil
}
