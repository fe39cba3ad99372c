package cli

import (
	"bytes"
	"context"
	"crypto/tls"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"meltspan/web"
)

// The page is served until the user ends it, and that is a good end.
func TestPageIsServed(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	read, write := io.Pipe()
	done := make(chan int, 1)
	go func() {
		done <- Run(ctx, []string{"page", t.TempDir(), "--port", "0"}, strings.NewReader(""), write, io.Discard)
		write.Close()
	}()
	line := make([]byte, 200)
	n, err := read.Read(line)
	if err != nil {
		t.Fatal(err)
	}
	address := regexp.MustCompile(`http://127\.0\.0\.1:[0-9]+/`).Find(line[:n])
	if address == nil {
		t.Fatalf("no address in %q", line[:n])
	}
	a, err := http.Get(string(address))
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	if page, _ := io.ReadAll(a.Body); a.StatusCode != 200 || !bytes.Contains(page, []byte("<title>Meltspan</title>")) {
		t.Errorf("status %d: %.200s", a.StatusCode, page)
	}
	cancel()
	if code := <-done; code != exitDone {
		t.Errorf("exit code %d", code)
	}
}

func TestPageRefuses(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ args, words string }{
		{"page " + file, "is no folder"},
		{"page " + folder + "/none", "there is no folder"},
		{"page " + folder + " --port 70000", "--port cannot be 70000"},
		{"page " + folder + " --address bench", "--address cannot be"},
		{"page " + folder + " --address 0.0.0.0", "--listen-beyond"},
		{"page " + folder + " --listen-beyond", "needs an --address"},
		{"page " + folder + " --certificate " + file, "goes with its private key"},
		{"page " + folder + " --certificate " + file + " --key " + file, "--listen-beyond"},
		{"page " + folder + " --listen-beyond --address 0.0.0.0 --certificate " + file + " --key " + file, "cannot be used"},
		{"page " + folder + " --listen-beyond --address 0.0.0.0 --certificate none --key none", "cannot read"},
		{"page " + folder + " --notebook ../x", "no file of the project folder"},
	} {
		var out, errs bytes.Buffer
		code := Run(t.Context(), strings.Fields(c.args), strings.NewReader(""), &out, &errs)
		if said := strings.Join(strings.Fields(errs.String()), " "); code != exitBadInput || !strings.Contains(said, c.words) || out.Len() > 0 {
			t.Errorf("%s: code %d, said %q %q", c.args, code, said, out.String())
		}
	}
}

// Beyond loopback what is sent is encrypted, with the certificate whose
// fingerprint is printed; it is kept, and so is the same the next time.
func TestPageBeyondThisMachineIsEncrypted(t *testing.T) {
	settings := t.TempDir()
	for _, name := range []string{"XDG_CONFIG_HOME", "HOME", "AppData"} { // by system
		t.Setenv(name, settings)
	}
	first := encryptedPage(t)
	if second := encryptedPage(t); second != first {
		t.Errorf("fingerprint %s, then %s", first, second)
	}
	file, err := certificateFile()
	if err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(file)
	if err != nil || !strings.HasPrefix(file, settings) || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("%s: %v, %v", file, info, err)
	}
	// The same again, named by the user.
	if third := encryptedPage(t, "--certificate", file, "--key", file); third != first {
		t.Errorf("fingerprint %s, then %s", first, third)
	}
	// A file that is none is replaced.
	if err := os.WriteFile(file, []byte("no certificate"), 0o600); err != nil {
		t.Fatal(err)
	}
	if fourth := encryptedPage(t); fourth == first {
		t.Error("the certificate is made anew, and is the same")
	}
}

// encryptedPage serves a page beyond loopback, visits it, and tells the
// fingerprint that was printed and that the connection had.
func encryptedPage(t *testing.T, more ...string) string {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	read, write := io.Pipe()
	var notes bytes.Buffer
	done := make(chan int, 1)
	go func() {
		done <- Run(ctx, append([]string{"page", t.TempDir(), "--port", "0", "--listen-beyond", "--address", "0.0.0.0"}, more...), strings.NewReader(""), write, &notes)
		write.Close()
	}()
	line := make([]byte, 400)
	n, err := read.Read(line)
	if err != nil {
		t.Fatal(err, notes.String())
	}
	found := regexp.MustCompile(`https://[^/]+:([0-9]+)/(\?key=\S+)`).FindSubmatch(line[:n])
	if found == nil {
		t.Fatalf("no address in %q", line[:n])
	}
	// The certificate is held against the printed fingerprint, not against an
	// authority's signature.
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}}
	a, err := client.Get("https://127.0.0.1:" + string(found[1]) + "/" + string(found[2]))
	if err != nil {
		t.Fatal(err)
	}
	a.Body.Close()
	client.CloseIdleConnections()
	if a.StatusCode != 401 { // the cookie is not kept by this client
		t.Errorf("status %d", a.StatusCode)
	}
	cancel()
	if code := <-done; code != exitDone {
		t.Errorf("exit code %d: %s", code, notes.String())
	}
	fingerprint := web.Fingerprint(&tls.Certificate{Certificate: [][]byte{a.TLS.PeerCertificates[0].Raw}})
	if !strings.Contains(strings.Join(strings.Fields(notes.String()), " "), fingerprint) {
		t.Errorf("the connection has the fingerprint %s, said was %q", fingerprint, notes.String())
	}
	return fingerprint
}
