package web

import (
	"bytes"
	"context"
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

// wait waits for a change, and beats meanwhile. False: the watcher is gone, or
// what it watched has ended.
func (s *stream) wait(ctx context.Context, changed, ended <-chan struct{}) bool {
	for {
		select {
		case <-changed:
			return true
		case <-time.After(beat):
			if s.beat() != nil {
				return false
			}
		case <-ctx.Done():
			return false
		case <-ended:
			return false
		}
	}
}

func (s *stream) write(data []byte) error {
	s.c.SetWriteDeadline(time.Now().Add(sendWait)) // not every writer has deadlines; then it waits
	if _, err := s.w.Write(data); err != nil {
		return err
	}
	return s.c.Flush()
}
