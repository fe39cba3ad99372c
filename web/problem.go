package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"net/http"
	"strings"
	"unicode"

	"meltspan/design"
	"meltspan/notebook"
	"meltspan/predict"
	"meltspan/report"
	"meltspan/search"
	"meltspan/solid"
)

// Problem is an error as the page is told of it: "Problem Details for HTTP
// APIs", RFC 9457, with members of our own. Its type is about:blank, so that
// title and status say what kind it is.
type Problem struct {
	Status   int       `json:"status"`
	Title    string    `json:"title"`
	Detail   string    `json:"detail"`
	Right    string    `json:"right,omitempty"`            // what would be right
	Mistakes []Mistake `json:"mistakes,omitempty"`         // in a design, by place
	Revision string    `json:"current_revision,omitempty"` // of a file that was changed meanwhile
}

// Mistake is one mistake in a text, at its place.
type Mistake struct {
	Line   int    `json:"line"` // from 1; 0: the text as a whole
	Column int    `json:"column"`
	Key    string `json:"key,omitempty"`
	What   string `json:"what"`
	Right  string `json:"right,omitempty"`
}

func (p *Problem) Error() string { return p.Detail }

func bad(right, detail string) *Problem {
	return &Problem{Status: http.StatusBadRequest, Title: "Bad input", Detail: detail, Right: right}
}

func missing(detail string) *Problem {
	return &Problem{Status: http.StatusNotFound, Title: "Not found", Detail: detail}
}

// problemOf words any error for the page.
func problemOf(err error) *Problem {
	var p *Problem
	var list design.Problems
	var one design.Problem
	var note *notebook.Problem
	var mistake *search.Mistake
	var range_ *predict.Mistake
	var fault *solid.Fault
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &p):
		return p
	case errors.As(err, &list):
		p := bad("", "The text has mistakes.")
		p.Mistakes = mistakes(list)
		return p
	case errors.As(err, &one):
		p := bad(one.Right, one.What)
		p.Mistakes = mistakes(design.Problems{one})
		return p
	case errors.As(err, &note):
		return bad(note.Right, note.What)
	case errors.As(err, &mistake):
		return bad(mistake.Right, mistake.What)
	case errors.As(err, &range_):
		return bad(range_.Right, range_.What)
	case errors.As(err, &fault):
		return bad(fault.Right, fault.Key+": "+fault.What)
	case errors.As(err, &large):
		return &Problem{Status: http.StatusRequestEntityTooLarge, Title: "Too large", Detail: "More was sent than this may hold."}
	case errors.Is(err, fs.ErrNotExist):
		return missing("There is no such file in the project folder.")
	case errors.Is(err, fs.ErrPermission):
		return &Problem{Status: http.StatusForbidden, Title: "Not allowed", Detail: "The file may not be read or written."}
	}
	return &Problem{Status: http.StatusInternalServerError, Title: "Failed", Detail: err.Error()}
}

func mistakes(list design.Problems) []Mistake {
	out := make([]Mistake, len(list))
	for i, p := range list {
		out[i] = Mistake{p.Line, p.Column, p.Key, p.What, p.Right}
	}
	return out
}

// fail answers with a problem.
func fail(w http.ResponseWriter, err error) {
	p := problemOf(err)
	w.Header().Set("Content-Type", "application/problem+json")
	w.WriteHeader(p.Status)
	json.NewEncoder(w).Encode(p) // who hung up learns nothing more
}

// reply answers with JSON; numbers that are none become null.
func reply(w http.ResponseWriter, status int, v any) {
	var b bytes.Buffer
	if err := report.JSON(&b, v); err != nil {
		fail(w, err)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	w.Write(b.Bytes())
}

// take reads the JSON body of a request.
func take(w http.ResponseWriter, r *http.Request, into any) error {
	kind, _, _ := strings.Cut(r.Header.Get("Content-Type"), ";")
	if strings.TrimSpace(kind) != "application/json" {
		return &Problem{Status: http.StatusUnsupportedMediaType, Title: "Not JSON", Detail: "The body must be application/json."}
	}
	d := json.NewDecoder(http.MaxBytesReader(w, r.Body, mostBody))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return unreadable(err)
	}
	if _, err := d.Token(); err != io.EOF {
		return bad("one JSON value", "Something follows the JSON of the body.")
	}
	return nil
}

func unreadable(err error) error {
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return err
	}
	return bad("a JSON object with the fields of this request", "The body cannot be read: "+strings.TrimPrefix(err.Error(), "json: ")+".")
}

// clip makes what came from outside fit for a message.
func clip(text string) string {
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return -1
		}
		return r
	}, text)
	if runes := []rune(text); len(runes) > 80 {
		text = string(runes[:80]) + "..."
	}
	return `"` + text + `"`
}
