package sweep

import (
	"errors"
	"fmt"
	"net"
	"os"
	"strconv"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nats.go"
)

// Server is a NATS server that this program runs itself.
type Server struct {
	server *server.Server
	folder string
}

// startWait is how long an embedded server may take until it answers.
const startWait = 10 * time.Second

// Start runs a server on an address such as 127.0.0.1:4222; port 0 takes a free
// one. On an address that other machines can reach it asks for a token.
func Start(address, token string) (*Server, error) {
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return nil, fmt.Errorf("sweep: %q is no address such as 127.0.0.1:4222: %w", address, err)
	}
	number, err := strconv.Atoi(port)
	if err != nil || number < 0 || number > 65535 {
		return nil, fmt.Errorf("sweep: %q is no port", port)
	}
	if number == 0 {
		number = server.RANDOM_PORT
	}
	if ip := net.ParseIP(host); token == "" && !(host == "localhost" || ip != nil && ip.IsLoopback()) {
		return nil, errors.New("sweep: a server that other machines can reach needs a token")
	}
	folder, err := os.MkdirTemp("", "meltspan-sweep-")
	if err != nil {
		return nil, fmt.Errorf("sweep: %w", err)
	}
	s, err := server.NewServer(&server.Options{
		ServerName: "meltspan", Host: host, Port: number, Authorization: token,
		JetStream: true, StoreDir: folder, NoSigs: true, NoLog: true,
	})
	if err != nil {
		os.RemoveAll(folder)
		return nil, fmt.Errorf("sweep: %w", err)
	}
	s.Start()
	if !s.ReadyForConnections(startWait) {
		s.Shutdown()
		os.RemoveAll(folder)
		return nil, fmt.Errorf("sweep: the server does not come up on %s; is the port in use?", address)
	}
	return &Server{s, folder}, nil
}

// URL is where workers find the server.
func (s *Server) URL() string { return s.server.ClientURL() }

// Stop ends the server and takes its folder away.
func (s *Server) Stop() error {
	s.server.Shutdown()
	s.server.WaitForShutdown()
	return os.RemoveAll(s.folder)
}

// Access is how to reach a server.
type Access struct {
	URL         string
	Token       string
	Credentials string // file of NATS credentials; "" for none
}

// connect dials a server, and dials again whenever the connection is lost.
func (a Access) connect(name string) (*nats.Conn, error) {
	options := []nats.Option{nats.Name(name), nats.MaxReconnects(-1), nats.Timeout(5 * time.Second)}
	if a.Token != "" {
		options = append(options, nats.Token(a.Token))
	}
	if a.Credentials != "" {
		options = append(options, nats.UserCredentials(a.Credentials))
	}
	c, err := nats.Connect(a.URL, options...)
	if err != nil {
		return nil, fmt.Errorf("cannot reach the NATS server at %s: %w", a.URL, err)
	}
	return c, nil
}
