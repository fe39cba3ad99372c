package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"meltspan/report"
)

// beat is how often a silent stream shows that it is alive.
const beat = 15 * time.Second

// sendWait bounds how long a watcher may take nothing before it counts as gone.
const sendWait = 30 * time.Second

// stream is an answer of server-sent events (WHATWG HTML, section 9.2).
type stream struct {
	w http.ResponseWriter
	c *http.ResponseController
}

func newStream(w http.ResponseWriter) *stream {
	w.Header().Set("Content-Type", "text/event-stream")
	w.WriteHeader(http.StatusOK)
	return &stream{w, http.NewResponseController(w)}
}

// send writes one event; id "" gives it none.
func (s *stream) send(id, kind string, v any) error {
	var data bytes.Buffer
	if err := report.JSON(&data, v); err != nil {
		return err
	}
	var b bytes.Buffer
	if id != "" {
		fmt.Fprintf(&b, "id: %s\n", id)
	}
	fmt.Fprintf(&b, "event: %s\ndata: ", kind)
	if err := json.Compact(&b, data.Bytes()); err != nil { // on one line, as a field must be
		return err
	}
	b.WriteString("\n\n")
	return s.write(b.Bytes())
}

func (s *stream) beat() error { return s.write([]byte(": alive\n\n")) }

func (s *stream) write(data []byte) error {
	s.c.SetWriteDeadline(time.Now().Add(sendWait)) // not every writer has deadlines; then it waits
	if _, err := s.w.Write(data); err != nil {
		return err
	}
	return s.c.Flush()
}
