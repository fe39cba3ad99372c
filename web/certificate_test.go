package web

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"net"
	"net/http"
	"net/http/cookiejar"
	"regexp"
	"strings"
	"testing"
	"time"
)

func certificateFor(t *testing.T, hosts []string, now time.Time) *tls.Certificate {
	t.Helper()
	text, err := SelfSigned(hosts, now)
	if err != nil {
		t.Fatal(err)
	}
	c, err := tls.X509KeyPair(text, text)
	if err != nil {
		t.Fatal(err)
	}
	return &c
}

// A visitor who trusts the certificate is let in by the key, over an encrypted
// connection; one who does not, or who asks in the clear, is not.
func TestEncryptedPage(t *testing.T) {
	c := certificateFor(t, []string{"localhost", "127.0.0.1"}, time.Now())
	s, err := New(Options{Folder: t.TempDir(), Open: true, Secure: c})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- s.Serve(ctx, l) }()
	address := s.Address(l)
	if !strings.HasPrefix(address, "https://127.0.0.1:") {
		t.Errorf("address %s", address)
	}
	trusted := x509.NewCertPool()
	trusted.AddCert(c.Leaf)
	jar, _ := cookiejar.New(nil)
	client := &http.Client{Jar: jar, Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: trusted}}}
	ask := func(method, address, origin string) int {
		t.Helper()
		r, err := http.NewRequestWithContext(ctx, method, address, strings.NewReader("{}"))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Origin", origin)
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set(tokenHeader, s.token)
		a, err := client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		a.Body.Close()
		for _, cookie := range a.Cookies() {
			if !cookie.Secure {
				t.Errorf("the cookie %s may go in the clear", cookie.Name)
			}
		}
		return a.StatusCode
	}
	page, _, _ := strings.Cut(address, "?")
	here := strings.TrimSuffix(page, "/")
	for _, c := range []struct {
		method, address, origin string
		want                    int
	}{
		{"GET", page, "", 401},
		{"GET", address, "", 200}, // by way of the cookie
		{"GET", page + "api/project", here, 200},
		{"POST", page + "api/answer", strings.Replace(here, "https", "http", 1), 403},
		{"POST", page + "api/answer", here, 400}, // let through; there is no design in it
	} {
		if got := ask(c.method, c.address, c.origin); got != c.want {
			t.Errorf("%s %s from %q: status %d, want %d", c.method, c.address, c.origin, got, c.want)
		}
	}
	if a, err := http.Get(page); err == nil {
		a.Body.Close()
		t.Error("a certificate that nobody vouches for is trusted")
	}
	if a, err := http.Get(strings.Replace(page, "https", "http", 1)); err == nil {
		if a.Body.Close(); a.StatusCode != 400 {
			t.Errorf("in the clear: status %d", a.StatusCode)
		}
	}
	client.CloseIdleConnections()
	cancel()
	if err := <-done; err != nil {
		t.Error(err)
	}
}

func TestCertificateHoldsForAYearAndItsNames(t *testing.T) {
	now := time.Now()
	hosts := []string{"localhost", "bench.local", "192.0.2.7", "2001:db8::1"}
	c := certificateFor(t, hosts, now)
	for _, x := range []struct {
		hosts []string
		at    time.Time
		want  bool
	}{
		{hosts, now, true},
		{hosts, now.AddDate(0, 11, 0), true},
		{hosts, now.AddDate(1, 0, -3), false}, // ends within the week
		{hosts, now.AddDate(0, 0, -1), false},
		{[]string{"192.0.2.8"}, now, false},
		{[]string{"other"}, now, false},
	} {
		if got := Holds(c, x.hosts, x.at); got != x.want {
			t.Errorf("%v at %v: %v", x.hosts, x.at, got)
		}
	}
	if f := Fingerprint(c); !regexp.MustCompile(`^([0-9A-F]{2}:){31}[0-9A-F]{2}$`).MatchString(f) {
		t.Errorf("fingerprint %q", f)
	}
	if other := certificateFor(t, hosts, now); Fingerprint(other) == Fingerprint(c) {
		t.Error("two certificates share a key")
	}
	for _, host := range Hosts(net.IPv4zero) {
		if host == "" || host == "0.0.0.0" {
			t.Errorf("host %q", host)
		}
	}
}
