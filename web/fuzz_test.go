package web

import (
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
)

// sound is what must hold of every answer, whatever was asked: it is no fault
// inside, and every refusal is a problem in JSON.
func sound(t *testing.T, w *httptest.ResponseRecorder, ask string) {
	t.Helper()
	if w.Code >= 500 && w.Code != http.StatusServiceUnavailable {
		t.Errorf("%s: status %d: %.500s", ask, w.Code, w.Body)
	}
	if kind := w.Header().Get("Content-Type"); w.Code >= 400 && kind != "application/problem+json" {
		t.Errorf("%s: status %d of type %q", ask, w.Code, kind)
	}
	if w.Header().Get("Content-Security-Policy") != policy {
		t.Errorf("%s: no policy", ask)
	}
}

// streams never end by themselves, and are left out of fuzzing by path.
func endless(path string) bool {
	return strings.Contains(path, "/watch") || strings.Contains(path, "/events")
}

// FuzzRequest asks for anything in any way.
func FuzzRequest(f *testing.F) {
	for _, seed := range [][5]string{
		{"GET", "/", "localhost", "", ""},
		{"GET", "/api/project", "127.0.0.1", "http://127.0.0.1", ""},
		{"GET", "/api/designs/demo:engine-on-ice", "localhost", "", ""},
		{"GET", "/api/designs/..%2f..%2fetc%2fpasswd.yaml", "[::1]:80", "null", ""},
		{"PUT", "/api/designs/x.yaml", "localhost", "", `{"text": "meltspan: 1"}`},
		{"GET", "/page/../routes.go", "localhost", "http://[::1", ""},
		{"GET", "/api/jobs/1/frames/-1/section", "localhost", "", ""},
		{"GET", "/api/trials/9223372036854775808/forecast.svg?learned=1", "localhost", "", ""},
		{"DELETE", "/api/jobs/0", "localhost", "", ""},
		{"POST", "/api/trials/1/events", "localhost", "", `{"kind": "stalled", "when": "1 h"}`},
		{"POST", "/api/trials", "localhost", "", "--x--"},
		{"GET", "/api/results", "localhost", "", ""},
		{"GET", "/api/results/9223372036854775808", "localhost", "", ""},
		{"GET", "/api/results/1/frames/0/through", "localhost", "", ""},
		{"GET", "/api/jobs/1/designs/-1?file=../x.yaml", "localhost", "", ""},
		{"POST", "/api/jobs/1/keep", "localhost", "", "{}"},
		{"GET", "/api/revisions", "localhost", "", ""},
		{"DELETE", "/api/trials/1?results=-1", "localhost", "", ""},
		{"GET", "/api/results/1/removal", "localhost", "", ""},
	} {
		f.Add(seed[0], seed[1], seed[2], seed[3], seed[4])
	}
	parent := f.TempDir()
	folder := parent + "/project"
	if err := os.Mkdir(folder, 0o755); err != nil {
		f.Fatal(err)
	}
	d := newDesk(f, Options{Folder: folder})
	f.Fuzz(func(t *testing.T, method, path, host, origin, body string) {
		r, err := http.NewRequest(method, "http://localhost", strings.NewReader(body))
		if err != nil || endless(path) {
			t.Skip()
		}
		u, err := r.URL.Parse(path)
		if err != nil || u.Scheme != "http" {
			t.Skip()
		}
		r.URL, r.Host = u, host
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Origin", origin)
		r.Header.Set("If-None-Match", "*")
		r.Header.Set(tokenHeader, d.token)
		w := d.send(r)
		if w.Code == http.StatusTemporaryRedirect || w.Code == http.StatusMovedPermanently {
			return // a path cleaned by the multiplexer
		}
		sound(t, w, method+" "+path)
		if entries, _ := os.ReadDir(parent); len(entries) != 1 {
			t.Fatalf("something was written outside of the project: %v", entries)
		}
	})
}

// FuzzBody sends any body to everything that reads one.
func FuzzBody(f *testing.F) {
	paths := []string{"/api/answer", "/api/jobs", "/api/body", "/api/parts.3mf", "/api/trials", "/api/trials/1/events", "/api/designs/a.yaml", "/api/searchable", "/api/revisions", "/api/jobs/1/keep"}
	for i := range paths {
		f.Add(i, "application/json", `{"name": "x.yaml", "text": "meltspan: 1\nname: x\n"}`)
	}
	f.Add(1, "application/json", `{"kind": "search", "vary": [{"path": "store.mass", "from": "1 g", "to": "x"}]}`)
	f.Add(1, "application/json", `{"kind": "search", "choose": [{"path": "stand.material", "words": ["pla", ""]}]}`)
	f.Add(1, "application/json", `{"kind": "vary", "name": "x.yaml", "text": "meltspan: 1", "vary": [{"path": "store.mass", "from": "1 g", "to": "9e999 g"}], "steps": 41}`)
	f.Add(1, "application/json", `{"kind": "section", "around": "0 mm"}`)
	f.Add(1, "application/json", `{"kind": "next", "others": ["revision:", "demo:", "../x.yaml"]}`)
	f.Add(0, "application/json", `{"name": "x.yaml", "text": "", "brief": true}`)
	f.Add(6, "application/json", `{"text": "", "from": {"name": "demo:x", "text": "meltspan: 1"}}`)
	f.Add(0, "application/json", `{"name": "x.yaml", "text": "", "turn": {"path": "store.mass", "value": 1e400}}`)
	f.Add(0, "application/json", `{"name": "../x.yaml", "text": "room: {log: ../../etc/passwd}"}`)
	f.Add(4, "multipart/form-data; boundary=x", "--x\r\nContent-Disposition: form-data; name=\"log\"; filename=\"../a.csv\"\r\n\r\nt,T1\r\n0,1\r\n--x\r\nContent-Disposition: form-data; name=\"start\"\r\n\r\nnow\r\n--x--\r\n")
	d := newDesk(f, Options{})
	f.Fuzz(func(t *testing.T, which int, kind, body string) {
		path := paths[(which%len(paths)+len(paths))%len(paths)]
		method := "POST"
		if strings.Contains(path, "designs") {
			method = "PUT"
		}
		r := httptest.NewRequest(method, "http://localhost"+path, strings.NewReader(body))
		r.Header.Set(tokenHeader, d.token)
		r.Header.Set("Content-Type", kind)
		r.Header.Set("If-None-Match", "*")
		w := d.send(r)
		sound(t, w, path)
		if w.Code == http.StatusAccepted { // a job was begun after all: it need not run to its end
			d.jobs.mu.Lock()
			for _, j := range d.jobs.list {
				j.cancel()
			}
			d.jobs.mu.Unlock()
		}
	})
}
