package live

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"io"
	"log/slog"
	"math/big"
	"net"
	"strings"
	"sync"
	"testing"
	"time"

	mochi "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/hooks/auth"
	"github.com/mochi-mqtt/server/v2/listeners"
)

// startBroker runs a broker on a port of this machine; with port ":0", any.
func startBroker(t *testing.T, address string, hook mochi.Hook, config any, secure *tls.Config) (s *mochi.Server, bound string, stop func()) {
	t.Helper()
	s = mochi.New(&mochi.Options{InlineClient: true, Logger: slog.New(slog.NewTextHandler(io.Discard, nil))})
	if err := s.AddHook(hook, config); err != nil {
		t.Fatal(err)
	}
	l := listeners.NewTCP(listeners.Config{ID: "bench", Address: address, TLSConfig: secure})
	if err := s.AddListener(l); err != nil {
		t.Fatal(err)
	}
	if err := s.Serve(); err != nil {
		t.Fatal(err)
	}
	stop = sync.OnceFunc(func() { s.Close() })
	t.Cleanup(stop)
	return s, l.Address(), stop
}

func broker(t *testing.T, address string, topics ...string) *Broker {
	t.Helper()
	u, err := ParseBroker(address)
	if err != nil {
		t.Fatal(err)
	}
	return &Broker{Address: u, Topics: topics, Clock: NewClock()}
}

func publish(t *testing.T, s *mochi.Server, topic, payload string, retain bool) {
	t.Helper()
	if err := s.Publish(topic, []byte(payload), retain, 0); err != nil {
		t.Fatal(err)
	}
}

func TestBrokerIsHeardThroughItsRestart(t *testing.T) {
	s, address, stop := startBroker(t, "127.0.0.1:0", new(auth.AllowHook), nil, nil)
	publish(t, s, "bench/bottom", "99", true) // kept by the broker: old when it comes
	h := listening(t, broker(t, "mqtt://"+address, "bench/#"))
	h.until(t, "the connection", func() bool { return len(h.changes) == 1 })
	publish(t, s, "bench/bottom", "3.25", false)
	publish(t, s, "kitchen/bottom", "21", false)
	publish(t, s, "bench/air", `{"t":22}`, false)
	h.until(t, "two messages", func() bool { return len(h.messages) == 2 })
	stop()
	h.until(t, "the loss", func() bool { return len(h.changes) == 2 })
	s, _, _ = startBroker(t, address, new(auth.AllowHook), nil, nil)
	h.until(t, "the second connection", func() bool { return len(h.changes) == 3 })
	publish(t, s, "bench/bottom", "3.5", false)
	h.until(t, "a message after it", func() bool { return len(h.messages) == 3 })
	if want := `bench/bottom3.25|bench/air{"t":22}|bench/bottom3.5`; h.texts() != want {
		t.Errorf("heard %q, want %q", h.texts(), want)
	}
	if !h.changes[2].Up || h.changes[1].Cause == nil {
		t.Errorf("changes %+v", h.changes)
	}
}

func TestBrokerAsksForUserAndPassword(t *testing.T) {
	options := &auth.Options{Ledger: &auth.Ledger{
		Auth: auth.AuthRules{{Username: "bench", Password: "ice", Allow: true}},
		ACL:  auth.ACLRules{{Username: "bench", Filters: auth.Filters{"#": auth.ReadWrite}}},
	}}
	s, address, _ := startBroker(t, "127.0.0.1:0", new(auth.Hook), options, nil)
	b := broker(t, "mqtt://"+address, "#")
	b.User, b.Password = "bench", []byte("water")
	err := Listen(t.Context(), b, BrokerWait, false, nil, nil)
	if err == nil || !strings.Contains(err.Error(), "wrong user name or password") || strings.Contains(err.Error(), "water") {
		t.Errorf("wrong password: %v", err)
	}
	b = broker(t, "mqtt://"+address, "#")
	b.User, b.Password = "bench", []byte("ice")
	h := listening(t, b)
	h.until(t, "the connection", func() bool { return len(h.changes) == 1 })
	publish(t, s, "t", "1", false)
	h.until(t, "a message", func() bool { return len(h.messages) == 1 })
}

// certified makes a certificate for this machine, and those who trust it.
func certified(t *testing.T) (*tls.Config, *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true,
	}
	raw, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	parsed, err := x509.ParseCertificate(raw)
	if err != nil {
		t.Fatal(err)
	}
	pool := x509.NewCertPool()
	pool.AddCert(parsed)
	return &tls.Config{Certificates: []tls.Certificate{{Certificate: [][]byte{raw}, PrivateKey: key}}}, pool
}

func TestSecureBrokerMustBeTrusted(t *testing.T) {
	secure, pool := certified(t)
	s, address, _ := startBroker(t, "127.0.0.1:0", new(auth.AllowHook), nil, secure)
	b := broker(t, "mqtts://"+address, "#")
	if err := Listen(t.Context(), b, BrokerWait, false, nil, nil); err == nil || !strings.Contains(err.Error(), "signed by nobody known") {
		t.Errorf("an unknown certificate: %v", err)
	}
	b = broker(t, "mqtts://"+address, "#")
	b.Roots = pool
	h := listening(t, b)
	h.until(t, "the connection", func() bool { return len(h.changes) == 1 })
	publish(t, s, "t", "1", false)
	h.until(t, "a message", func() bool { return len(h.messages) == 1 })
}

func TestBrokerThatIsNotThereIsAnErrorAtOnce(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := l.Addr().String()
	l.Close()
	if err := Listen(t.Context(), broker(t, "mqtt://"+address, "#"), BrokerWait, false, nil, nil); err == nil || !strings.Contains(err.Error(), "cannot reach") {
		t.Errorf("%v", err)
	}
}

func TestAddressesOfBrokers(t *testing.T) {
	for _, c := range []struct {
		text, want string
		secure     bool
	}{
		{"mqtt://bench.local", "mqtt://bench.local:1883", false},
		{"mqtts://bench.local/", "mqtts://bench.local:8883", true},
		{"mqtt://127.0.0.1:1884", "mqtt://127.0.0.1:1884", true},
		{"mqtt://[::1]", "mqtt://[::1]:1883", true},
	} {
		u, err := ParseBroker(c.text)
		if err != nil || u.String() != c.want || (&Broker{Address: u}).Secure() != c.secure {
			t.Errorf("%s: %v, %v; want %s", c.text, u, err, c.want)
		}
	}
	for _, text := range []string{"", "bench", "http://bench", "mqtt://", "mqtt://a:b@bench", "mqtt://bench/topic", "mqtt://bench:x"} {
		if u, err := ParseBroker(text); err == nil || strings.Contains(err.Error(), "a:b") {
			t.Errorf("%q gave %v, %v", text, u, err)
		}
	}
}
