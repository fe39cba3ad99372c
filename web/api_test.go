package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"meltspan/calibrate/demo"
	"meltspan/design"
)

// desk is a server with its handler at hand, without a listener.
type desk struct {
	*Server
	t      testing.TB
	folder string
}

func newDesk(t testing.TB, o Options) *desk {
	t.Helper()
	if o.Folder == "" {
		o.Folder = t.TempDir()
	}
	s, err := New(o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return &desk{s, t, o.Folder}
}

func (d *desk) send(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	d.Handler().ServeHTTP(w, r)
	return w
}

// request is one as the page makes it.
func (d *desk) request(method, path string, body any) *http.Request {
	d.t.Helper()
	var data []byte
	switch b := body.(type) {
	case nil:
	case []byte:
		data = b
	default:
		var err error
		if data, err = json.Marshal(b); err != nil {
			d.t.Fatal(err)
		}
	}
	r := httptest.NewRequest(method, "http://localhost"+path, bytes.NewReader(data))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set(tokenHeader, d.token)
	return r
}

// ask sends a request and expects a status.
func (d *desk) ask(method, path string, body any, want int, into any) http.Header {
	d.t.Helper()
	w := d.send(d.request(method, path, body))
	if w.Code != want {
		d.t.Fatalf("%s %s: status %d, want %d: %.300s", method, path, w.Code, want, w.Body)
	}
	if into != nil {
		if err := json.Unmarshal(w.Body.Bytes(), into); err != nil {
			d.t.Fatalf("%s %s: %v: %.300s", method, path, err, w.Body)
		}
	}
	return w.Header()
}

func demoText() string { return string(design.Demo()) }

func TestOnlyThePageMayAsk(t *testing.T) {
	d := newDesk(t, Options{})
	for _, c := range []struct {
		name   string
		change func(*http.Request)
		want   int
	}{
		{"the page itself", func(r *http.Request) {}, 200},
		{"with its origin", func(r *http.Request) { r.Header.Set("Origin", "http://localhost") }, 200},
		{"another name for this machine", func(r *http.Request) { r.Host = "rebound.example" }, 421},
		{"an address elsewhere", func(r *http.Request) { r.Host = "192.0.2.7" }, 421},
		{"no host", func(r *http.Request) { r.Host = "" }, 421},
		{"another origin", func(r *http.Request) { r.Header.Set("Origin", "http://elsewhere.example") }, 403},
		{"another port", func(r *http.Request) { r.Header.Set("Origin", "http://localhost:81") }, 403},
		{"an opaque origin", func(r *http.Request) { r.Header.Set("Origin", "null") }, 403},
		{"another site", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
		{"no token", func(r *http.Request) { r.Header.Del(tokenHeader) }, 403},
		{"a wrong token", func(r *http.Request) { r.Header.Set(tokenHeader, "x") }, 403},
		{"a form", func(r *http.Request) { r.Header.Set("Content-Type", "text/plain") }, 415},
	} {
		r := d.request("POST", "/api/answer", source{"demo:engine-on-ice", demoText()})
		c.change(r)
		w := d.send(r)
		if w.Code != c.want {
			t.Errorf("%s: status %d, want %d: %s", c.name, w.Code, c.want, w.Body)
		}
		if kind := w.Header().Get("Content-Type"); c.want != 200 && kind != "application/problem+json" {
			t.Errorf("%s: a refusal of type %s", c.name, kind)
		}
		if p := w.Header().Get("Content-Security-Policy"); p != policy || strings.Contains(p, "unsafe") {
			t.Errorf("%s: policy %q", c.name, p)
		}
	}
}

// Where others can reach the server, nothing is answered without the key.
func TestKeyBeyondLoopback(t *testing.T) {
	d := newDesk(t, Options{Open: true})
	ask := func(path string, cookie *http.Cookie) *httptest.ResponseRecorder {
		r := httptest.NewRequest("GET", path, nil)
		r.Host = "192.0.2.7"
		if cookie != nil {
			r.AddCookie(cookie)
		}
		return d.send(r)
	}
	if w := ask("/", nil); w.Code != 401 || strings.Contains(w.Body.String(), d.token) {
		t.Errorf("without key: status %d", w.Code)
	}
	if w := ask("/?key=wrong", nil); w.Code != 401 {
		t.Errorf("with a wrong key: status %d", w.Code)
	}
	w := ask("/?key="+d.key, nil)
	cookies := w.Result().Cookies()
	if w.Code != 303 || len(cookies) != 1 || !cookies[0].HttpOnly || cookies[0].SameSite != http.SameSiteStrictMode {
		t.Fatalf("with the key: status %d, cookies %v", w.Code, cookies)
	}
	if w := ask("/api/project", cookies[0]); w.Code != 200 {
		t.Errorf("with the cookie: status %d", w.Code)
	}
}

func TestPageHoldsNoInlineCode(t *testing.T) {
	d := newDesk(t, Options{})
	page := d.send(d.request("GET", "/", nil)).Body.String()
	if !strings.Contains(page, d.token) {
		t.Error("the page has no token")
	}
	for _, word := range []string{" style=", " onclick=", "<style", "javascript:", "http://", "https://"} {
		if strings.Contains(page, word) {
			t.Errorf("the page holds %q", word)
		}
	}
	if strings.Count(page, "<script") != strings.Count(page, "<script type=\"module\" src=") {
		t.Error("the page holds a script of its own")
	}
}

func TestNothingOutsideTheProject(t *testing.T) {
	parent := t.TempDir()
	folder := filepath.Join(parent, "project")
	secret := filepath.Join(parent, "secret.yaml")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(secret, []byte("secret: 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(secret, filepath.Join(folder, "link.yaml")); err != nil {
		t.Skip("SKIPPED: no symbolic links here:", err)
	}
	if err := os.Symlink(parent, filepath.Join(folder, "up")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(secret, filepath.Join(folder, "trials.notebook")); err != nil {
		t.Fatal(err)
	}
	d := newDesk(t, Options{Folder: folder})
	for _, name := range []string{"..%2fsecret.yaml", "link.yaml", "up/secret.yaml", "%2fetc%2fx.yaml", "a%2f..%2f..%2fsecret.yaml", "x%00.yaml", "..%5csecret.yaml", ".hidden.yaml", "c:x.yaml"} {
		for _, method := range []string{"GET", "PUT"} {
			r := d.request(method, "/api/designs/"+name, map[string]string{"text": "mine"})
			r.Header.Set("If-None-Match", "*")
			if w := d.send(r); w.Code < 400 || strings.Contains(w.Body.String(), "secret:") {
				t.Errorf("%s %s: status %d %s", method, name, w.Code, w.Body)
			}
		}
	}
	// A room log that a design names is a file like any other.
	text := strings.Replace(demoText(), "room:\n", "room:\n  log: ../secret.yaml\n", 1)
	if w := d.send(d.request("POST", "/api/answer", source{"x.yaml", text})); w.Code != 400 || strings.Contains(w.Body.String(), "secret: 1") {
		t.Errorf("room log outside: status %d %s", w.Code, w.Body)
	}
	if w := d.send(d.request("GET", "/api/trials", nil)); w.Code != 400 {
		t.Errorf("a notebook by a link: status %d %s", w.Code, w.Body)
	}
	if data, _ := os.ReadFile(secret); string(data) != "secret: 1\n" {
		t.Error("the file outside was written to")
	}
}

// Two browsers edit one design; the second to save is told, and neither text is
// lost.
func TestTwoBrowsersSave(t *testing.T) {
	d := newDesk(t, Options{})
	put := func(text, match string, want int) *httptest.ResponseRecorder {
		t.Helper()
		r := d.request("PUT", "/api/designs/stand.yaml", map[string]string{"text": text})
		if match == "*" {
			r.Header.Set("If-None-Match", "*")
		} else if match != "" {
			r.Header.Set("If-Match", match)
		}
		w := d.send(r)
		if w.Code != want {
			t.Fatalf("saving %q over %q: status %d, want %d: %s", text, match, w.Code, want, w.Body)
		}
		return w
	}
	put("first", "", 428)
	put("first", "*", 200)
	put("first", "*", 412)
	read := d.ask("GET", "/api/designs/stand.yaml", nil, 200, nil).Get("ETag")
	put("one", read, 200)
	var p Problem
	if err := json.Unmarshal(put("other", read, 412).Body.Bytes(), &p); err != nil || !strings.Contains(p.Detail, "changed elsewhere") {
		t.Errorf("the conflict is told so: %+v %v", p, err)
	}
	if data, _ := os.ReadFile(filepath.Join(d.folder, "stand.yaml")); string(data) != "one" {
		t.Errorf("the file holds %q", data)
	}
	put("other", tagged(p.Revision), 200)
	if entries, _ := os.ReadDir(d.folder); len(entries) != 1 {
		t.Errorf("files were left beside: %v", entries)
	}
}

// A slider changes the text at one place; one that cannot be moved so far is
// told at its line, and the text stays.
func TestSliderAnswersWithItsText(t *testing.T) {
	d := newDesk(t, Options{})
	turn := func(path string, value float64) map[string]any {
		return map[string]any{"name": "x.yaml", "text": demoText(), "turn": map[string]any{"path": path, "value": value}}
	}
	var out answered
	d.ask("POST", "/api/answer", turn("store.temperature", 268.15), 200, &out)
	if want := strings.Replace(demoText(), "temperature: -6 degC", "temperature: -5 degC", 1); out.Text != want {
		t.Errorf("the text reads\n%s", out.Text)
	}
	var p Problem
	d.ask("POST", "/api/answer", turn("store.mass", 1), 400, &p)
	lines := strings.Split(demoText(), "\n")
	if len(p.Mistakes) == 0 || p.Mistakes[0].Line < 1 || !strings.Contains(lines[p.Mistakes[0].Line-1], "mass: 110 g") || p.Mistakes[0].Right == "" {
		t.Errorf("a charge larger than the cup: %+v", p)
	}
}

// Every slider of every built-in design can be moved, and reads back.
func TestEverySliderMoves(t *testing.T) {
	for _, name := range design.DemoNames() {
		text, err := design.DemoNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		d, err := design.Parse(name, text, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range controls(d) {
			to := c.Value + c.Step
			if to > c.High {
				to = c.Value - c.Step
			}
			_, turned, err := design.AmendNumbers(name, text, []design.Number{{Path: c.Path, SI: to}}, nil)
			if errors.As(err, new(design.Problems)) {
				continue // a step too far, such as a cup wider than the stand: the page tells so
			} else if err != nil {
				t.Errorf("%s, %s: %v", name, c.Path, err)
				continue
			}
			if k, _ := turned.FindKnob(c.Path); !nearly(k.Value(turned), to) {
				t.Errorf("%s, %s: reads back as %v, want %v", name, c.Path, k.Value(turned), to)
			}
		}
	}
}

// nearly allows for the five digits that a slider writes, in its own unit.
func nearly(a, b float64) bool {
	d := a - b
	return d < 1e-4*(1+b) && -d < 1e-4*(1+b)
}

func TestMistakesAreToldAtTheirLines(t *testing.T) {
	d := newDesk(t, Options{})
	text := strings.Replace(demoText(), "mass: 110 g", "mass: 110 parsecs", 1)
	var p Problem
	d.ask("POST", "/api/answer", source{"x.yaml", text}, 400, &p)
	line := 1 + strings.Count(text[:strings.Index(text, "110 parsecs")], "\n")
	if len(p.Mistakes) != 1 || p.Mistakes[0].Line != line || p.Mistakes[0].Right == "" {
		t.Errorf("mistakes %+v, want one in line %d", p.Mistakes, line)
	}
}

func TestLargeBodiesAreRefused(t *testing.T) {
	d := newDesk(t, Options{})
	var p Problem
	d.ask("POST", "/api/answer", source{"x.yaml", strings.Repeat("#", mostBody)}, 413, &p)
	if p.Title != "Too large" {
		t.Errorf("%+v", p)
	}
}

// filled is a form with a log, as the page sends it.
func (d *desk) filled(path string, log []byte, fields map[string]string) *http.Request {
	d.t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	for k, v := range fields {
		m.WriteField(k, v)
	}
	if log != nil {
		f, err := m.CreateFormFile("log", "../../bench.csv")
		if err != nil {
			d.t.Fatal(err)
		}
		f.Write(log)
	}
	m.Close()
	r := d.request("POST", path, b.Bytes())
	r.Header.Set("Content-Type", m.FormDataContentType())
	return r
}

func TestLogIsReadThenKept(t *testing.T) {
	log, err := demo.Files.ReadFile("trial-1.csv")
	if err != nil {
		t.Fatal(err)
	}
	text, err := demo.Files.ReadFile("stand-1.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d := newDesk(t, Options{})
	fields := map[string]string{"design": "stand.yaml", "text": string(text), "mass": "110.5 g +- 0.5 g", "dry": "1"}
	if w := d.send(d.filled("/api/trials", log, fields)); w.Code != 200 || !strings.Contains(w.Body.String(), "bottom plate") {
		t.Fatalf("dry: status %d %.300s", w.Code, w.Body)
	}
	if entries, _ := os.ReadDir(d.folder); len(entries) != 0 {
		t.Errorf("a dry run left %v", entries)
	}
	delete(fields, "dry")
	if w := d.send(d.filled("/api/trials", log, fields)); w.Code != 201 {
		t.Fatalf("status %d %.300s", w.Code, w.Body)
	}
	var one struct{ Text, Picture string }
	d.ask("GET", "/api/trials/1", nil, 200, &one)
	for _, word := range []string{"store.mass", "stalled", "bench.csv", "Prediction"} {
		if !strings.Contains(one.Text, word) {
			t.Errorf("the trial does not tell %q:\n%s", word, one.Text)
		}
	}
	if !strings.HasPrefix(strings.TrimSpace(one.Picture), "<") {
		t.Error("the trial has no picture")
	}
	d.ask("POST", "/api/trials/1/events", map[string]string{"kind": "drip seen", "when": "2 h"}, 201, nil)
	d.ask("POST", "/api/trials/1/events", map[string]string{"kind": "drip seen", "when": "soon"}, 400, nil)
	d.ask("GET", "/api/trials/7", nil, 400, nil)
	if w := d.send(d.filled("/api/trials", []byte("no log at all"), fields)); w.Code != 400 {
		t.Errorf("no log: status %d %.300s", w.Code, w.Body)
	}
}

// finish waits for a job by its stream.
func (d *desk) finish(in order) state {
	d.t.Helper()
	var begun struct{ ID string }
	d.ask("POST", "/api/jobs", in, 202, &begun)
	body := d.send(d.request("GET", "/api/jobs/"+begun.ID+"/events", nil)).Body.String()
	last := body[strings.LastIndex(body, "event: state\n")+len("event: state\n"):]
	var s state
	if err := json.Unmarshal([]byte(strings.ReplaceAll(strings.TrimSpace(last), "data: ", "")), &s); err != nil {
		d.t.Fatalf("%v: %.300s", err, last)
	}
	return s
}

func TestJobs(t *testing.T) {
	d := newDesk(t, Options{})
	d.ask("POST", "/api/trials/examples", struct{}{}, 200, nil)
	d.ask("POST", "/api/trials/examples", struct{}{}, 400, nil)
	in := source{"demo:engine-on-ice", demoText()}
	for _, c := range []struct {
		order order
		words string
		line  string
	}{
		{order{Kind: "predict", source: in, Samples: 40}, "Run time", "meltspan predict demo --samples 40"},
		{order{Kind: "compare", source: in, Other: "demo:engine-on-ice", Samples: 40}, "school bench", "meltspan compare demo demo"},
	} {
		s := d.finish(c.order)
		if s.Failed != nil || s.Result == nil {
			t.Fatalf("%s: %+v", c.order.Kind, s.Failed)
		}
		if !strings.Contains(s.Result.Text, c.words) || s.Result.Command != c.line || len(s.Result.Pictures) == 0 {
			t.Errorf("%s: command %q, %d pictures, text\n%.200s", c.order.Kind, s.Result.Command, len(s.Result.Pictures), s.Result.Text)
		}
	}
	d.ask("POST", "/api/jobs", order{Kind: "dance", source: in}, 400, nil)
	d.ask("POST", "/api/jobs", order{Kind: "calibrate"}, 400, nil)
	d.ask("GET", "/api/jobs/99", nil, 404, nil)
}

// What trials taught is kept, and a forecast can begin from it.
func TestCalibrationIsKept(t *testing.T) {
	d := newDesk(t, Options{})
	d.ask("POST", "/api/trials/examples", struct{}{}, 200, nil)
	d.ask("GET", "/api/trials/2/watch?learned=latest", nil, 400, nil)
	s := d.finish(order{Kind: "calibrate", Trials: []int64{1}})
	if s.Failed != nil || s.Result.Kept == 0 || s.Result.Command != "meltspan calibrate 1" {
		t.Fatalf("%+v %+v", s.Failed, s.Result)
	}
	p, kept, err := d.latest(t.Context(), 2)
	if err != nil || kept != s.Result.Kept || len(p.Draws) == 0 {
		t.Errorf("result %d, %v", kept, err)
	}
	if _, _, err := d.latest(t.Context(), 1); err == nil {
		t.Error("a trial's own calibration would count its readings twice")
	}
	w := d.finish(order{Kind: "weigh", Trials: []int64{1, 2}})
	if w.Failed != nil || w.Result.Command != "meltspan trial compare 1 2" || len(w.Result.Pictures) != 1 {
		t.Fatalf("%+v %+v", w.Failed, w.Result)
	}
	d.redrawn(s.Result.Kept)
	d.redrawn(w.Result.Kept)

	// A trial goes with what rests on it, as the page has shown it and not otherwise;
	// what is in memory still can be kept again.
	var going going
	d.ask("GET", "/api/trials/1/removal", nil, 200, &going)
	if going.Results != 2 || going.Command != "meltspan trial remove 1 --with-results --yes" || !strings.Contains(going.Text, "2 results: calibration 1; comparison of trials 2.") {
		t.Errorf("%+v", going)
	}
	d.ask("DELETE", "/api/trials/1", nil, 409, nil)
	d.ask("DELETE", "/api/results/9", nil, 404, nil)
	d.ask("DELETE", "/api/results/2", nil, 200, &going)
	if going.Command != "meltspan notebook remove 2 --yes" {
		t.Errorf("%+v", going)
	}
	d.ask("DELETE", "/api/trials/1?results=2", nil, 409, nil)
	d.ask("DELETE", "/api/trials/1?results=1", nil, 200, &going)
	d.ask("GET", "/api/trials/1", nil, 400, nil)
	if list := d.resultList(); len(list) != 0 {
		t.Errorf("%+v", list)
	}
	for _, j := range d.jobs.all() {
		if now, _ := j.now(); now.Result.Kept != 0 {
			t.Errorf("%s: kept as %d", j.order.Kind, now.Result.Kept)
		}
	}
}

// While a slider moves the answer has the values of all sliders and the chart; the
// rest is that of the whole answer.
func TestBriefAnswer(t *testing.T) {
	d := newDesk(t, Options{})
	in := map[string]any{"name": "demo:engine-on-ice", "text": demoText(), "turn": map[string]any{"path": "store.mass", "value": 0.09}}
	var whole, brief answered
	d.ask("POST", "/api/answer", in, 200, &whole)
	in["brief"] = true
	d.ask("POST", "/api/answer", in, 200, &brief)
	if brief.Chart != whole.Chart || brief.Text != whole.Text || brief.RunTime != whole.RunTime || brief.HeatFlow != "" || brief.Controls != nil || whole.HeatFlow == "" || whole.Values != nil {
		t.Errorf("%+v\n%+v", brief, whole)
	}
	for _, c := range whole.Controls {
		if v, ok := brief.Values[c.Path]; !ok || v != c.Value {
			t.Errorf("%s is %v, want %v", c.Path, v, c.Value)
		}
	}
	if len(brief.Values) != len(whole.Controls) || brief.Values["store.mass"] != 0.09 {
		t.Errorf("%d values, %d sliders", len(brief.Values), len(whole.Controls))
	}
}

// A job that is ended tells so at once.
func TestJobIsEnded(t *testing.T) {
	d := newDesk(t, Options{})
	var begun struct{ ID string }
	d.ask("POST", "/api/jobs", order{Kind: "search", source: source{"demo:engine-on-ice", demoText()}, Candidates: mostCandidates, Vary: []varied{{"store.mass", "90 g", "120 g"}, {"stand.cup.diameter", "74 mm", "90 mm"}}}, 202, &begun)
	d.ask("DELETE", "/api/jobs/"+begun.ID, nil, 204, nil)
	body := d.send(d.request("GET", "/api/jobs/"+begun.ID+"/events", nil)).Body.String()
	if !strings.Contains(body, `"over":true`) {
		t.Errorf("%.300s", body)
	}
}

// The way from a slider to the pictures, but for the browser's own part.
func BenchmarkAnswer(b *testing.B) {
	d := newDesk(b, Options{})
	for name, brief := range map[string]bool{"while it moves": true, "whole": false} {
		b.Run(name, func(b *testing.B) {
			in := map[string]any{"name": "demo:engine-on-ice", "text": demoText(), "brief": brief}
			for i := range b.N {
				in["turn"] = map[string]any{"path": "store.mass", "value": 0.09 + 0.0001*float64(i%100)}
				d.ask("POST", "/api/answer", in, 200, nil)
			}
		})
	}
}

func TestBodyAndFile(t *testing.T) {
	d := newDesk(t, Options{})
	var b body
	d.ask("POST", "/api/body", source{"demo:engine-on-ice", demoText()}, 200, &b)
	if len(b.Parts) < 2 {
		t.Fatalf("%d parts", len(b.Parts))
	}
	for _, p := range b.Parts {
		for _, v := range p.Triangles {
			if v < 0 || int(v) >= len(p.Vertices)/3 {
				t.Fatalf("%s: a corner %d of %d", p.Name, v, len(p.Vertices)/3)
			}
		}
	}
	w := d.send(d.request("POST", "/api/parts.3mf", source{"demo:engine-on-ice", demoText()}))
	if data, _ := io.ReadAll(w.Body); w.Code != 200 || !bytes.HasPrefix(data, []byte("PK")) {
		t.Errorf("3MF: status %d", w.Code)
	}
}
