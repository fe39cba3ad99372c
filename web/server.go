package web

import (
	"context"
	"crypto/rand"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"time"

	"meltspan/notebook"
)

// Options of a server.
type Options struct {
	Folder   string           // of the project
	Notebook string           // name of the notebook in it; "": trials.notebook
	Open     bool             // listens beyond loopback: every visitor needs the key of Address
	Poll     time.Duration    // between looks for new readings of a trial; 0: 1 s
	Forecast time.Duration    // between forecasts of a running trial; 0: 1 min
	Secure   *tls.Certificate // the connection is encrypted with it; nil: it is not
	Code     string           // version of the program, exactly, for results that are kept
	Note     func(string)     // tells what went wrong inside, for the terminal; may be nil
}

// Server is the page with all that it asks for.
type Server struct {
	o       Options
	root    *os.Root
	token   string // of changes; the page carries it
	key     string // of visitors, where the server listens beyond loopback
	port    string // of the listener; "" before, and in tests of the handler alone
	handler http.Handler

	jobs    *jobs
	watches *watches

	saving sync.Mutex // one design is written at a time: revision check and renaming belong together

	reading sync.Mutex
	atHand  *finished // the result of the notebook that was read last

	books sync.Mutex
	book  *notebook.Notebook // nil until there is one
}

// usualNotebook is the one that commands take unless told otherwise.
const usualNotebook = "trials.notebook"

// Limits of what the server takes and waits for.
const (
	mostBody    = 1 << 20  // bytes of a request
	mostLog     = 32 << 20 // bytes of an uploaded log
	headerWait  = 10 * time.Second
	bodyWait    = 60 * time.Second
	idleWait    = 2 * time.Minute
	mostHeaders = 64 << 10
	stopWait    = 10 * time.Second // for requests under way when the server stops
)

// New makes a server for a project folder. Close ends it.
func New(o Options) (*Server, error) {
	if o.Notebook == "" {
		o.Notebook = usualNotebook
	}
	if !filepath.IsLocal(o.Notebook) || filepath.Base(o.Notebook) != o.Notebook {
		return nil, fmt.Errorf("the notebook %q is no file of the project folder itself", o.Notebook)
	}
	if o.Poll <= 0 {
		o.Poll = time.Second
	}
	if o.Forecast <= 0 {
		o.Forecast = time.Minute
	}
	if o.Code == "" {
		o.Code = "a version that is not known"
	}
	if o.Note == nil {
		o.Note = func(string) {}
	}
	root, err := os.OpenRoot(o.Folder)
	if err != nil {
		return nil, err
	}
	s := &Server{o: o, root: root, token: rand.Text(), key: rand.Text()}
	s.jobs = newJobs()
	s.watches = newWatches(s)
	s.handler = s.guard(s.routes())
	return s, nil
}

// Handler answers requests; it is what Serve serves.
func (s *Server) Handler() http.Handler { return s.handler }

// Serve answers on a listener until the context ends, then lets requests under
// way finish, above all those that write.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	if _, port, err := net.SplitHostPort(l.Addr().String()); err == nil {
		s.port = port
	}
	h := &http.Server{
		Handler: s.handler, ReadHeaderTimeout: headerWait, ReadTimeout: bodyWait, IdleTimeout: idleWait, MaxHeaderBytes: mostHeaders,
		ErrorLog: log.New(io.Discard, "", 0), // visitors who hang up or do not trust the certificate
		// Streams end with the program; all else goes on to its end.
		BaseContext: func(net.Listener) context.Context { return context.WithoutCancel(ctx) },
	}
	if s.o.Secure != nil {
		l = tls.NewListener(l, &tls.Config{Certificates: []tls.Certificate{*s.o.Secure}, MinVersion: tls.VersionTLS12})
	}
	done := make(chan error, 1)
	go func() { done <- h.Serve(l) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	s.jobs.stop()
	s.watches.stop()
	wait, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopWait)
	defer cancel()
	err := h.Shutdown(wait)
	if errors.Is(err, context.DeadlineExceeded) {
		return h.Close()
	}
	return err
}

// scheme is that of the page's address.
func (s *Server) scheme() string {
	if s.o.Secure != nil {
		return "https"
	}
	return "http"
}

// Address is the page's address on a listener.
func (s *Server) Address(l net.Listener) string {
	host, port, _ := net.SplitHostPort(l.Addr().String()) // a TCP address always has both
	if ip := net.ParseIP(host); ip != nil && ip.IsUnspecified() {
		host = "localhost"
		if name, err := os.Hostname(); err == nil {
			host = name
		}
	}
	address := s.scheme() + "://" + net.JoinHostPort(host, port) + "/"
	if s.o.Open {
		address += "?key=" + s.key
	}
	return address
}

// Close ends what is running and closes the project.
func (s *Server) Close() error {
	s.jobs.stop()
	s.watches.stop()
	s.books.Lock()
	defer s.books.Unlock()
	var err error
	if s.book != nil {
		err = s.book.Close()
		s.book = nil
	}
	return errors.Join(err, s.root.Close())
}
