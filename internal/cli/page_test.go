package cli

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
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
		{"page " + folder + " --notebook ../x", "no file of the project folder"},
	} {
		var out, errs bytes.Buffer
		code := Run(t.Context(), strings.Fields(c.args), strings.NewReader(""), &out, &errs)
		if said := strings.Join(strings.Fields(errs.String()), " "); code != exitBadInput || !strings.Contains(said, c.words) || out.Len() > 0 {
			t.Errorf("%s: code %d, said %q %q", c.args, code, said, out.String())
		}
	}
}
