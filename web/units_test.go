package web

import (
	"encoding/json"
	"fmt"
	"net/url"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

const otherUnits = "units=degF,in"

// foreign finds what shows a temperature, a difference or a length in degC, K or mm.
var foreign = regexp.MustCompile(`degC|°C|[0-9(] ?(?:K|mm)(?:[^\w/²³]|$)`)

// own tells whether a text is in degF and inches alone.
func own(t testing.TB, what, text string) {
	t.Helper()
	text = strings.NewReplacer("W/(m2 K)", "", "W/(m² K)", "", "W/(m K)", "").Replace(text)
	if found := foreign.FindAllString(text, 5); len(found) > 0 {
		t.Errorf("%s in degF and in: there is %q", what, found)
	}
}

func TestUnitsOfTheReader(t *testing.T) {
	d := newDesk(t, Options{})
	in := source{"demo:engine-on-ice", demoText()}

	var usual, other answered
	d.ask("POST", "/api/answer", in, 200, &usual)
	d.ask("POST", "/api/answer?"+otherUnits, in, 200, &other)
	if !strings.Contains(usual.Chart, "temperature (°C)") || !strings.Contains(other.Chart, "temperature (°F)") || !strings.Contains(other.Chart, "plate difference (°F)") {
		t.Error("the chart's axes are not in the units asked for")
	}
	own(t, "chart", other.Chart)
	own(t, "heat flow", other.HeatFlow)
	if usual.Difference != other.Difference || usual.RunTime != other.RunTime || len(usual.Controls) == 0 || usual.Controls[0] != other.Controls[0] {
		t.Error("numbers in SI depend on the units asked for")
	}

	var parts body
	d.ask("POST", "/api/body?"+otherUnits, in, 200, &parts)
	own(t, "parts", parts.Text)
	if !strings.Contains(parts.Text, "4.57 in") || !strings.HasSuffix(parts.Command, " --units degF,in") {
		t.Errorf("parts: %s, %.300s", parts.Command, parts.Text)
	}

	d.ask("POST", "/api/trials/examples", struct{}{}, 200, nil)
	var trial struct{ Text, Picture, Command string }
	d.ask("GET", "/api/trials/1?"+otherUnits, nil, 200, &trial)
	own(t, "trial", trial.Text)
	own(t, "trial's picture", trial.Picture)
	if !strings.Contains(trial.Picture, "temperature (°F)") || !strings.HasSuffix(trial.Command, " --units degF,in") {
		t.Error("trial:", trial.Command)
	}

	var project struct {
		Displays []string
		Units    map[string]map[string]unit
	}
	d.ask("GET", "/api/project", nil, 200, &project)
	for _, name := range project.Displays {
		if u := project.Units[name]; u["temperature"].Symbol == "" || u["mass"].Symbol != "g" {
			t.Errorf("the page is not told of the units in %s: %v", name, u)
		}
	}
	if u := project.Units["degF,in"]; u["length"] != (unit{"in", 0.0254, 0}) || u["temperature difference"].Symbol != "degF" || u["temperature difference"].Offset != 0 {
		t.Errorf("%v", u)
	}
}

// One result is shown to each reader in the units of each, without being worked
// out anew; what may be kept of it goes by an address with the units in it.
func TestResultsInTheUnitsOfEachReader(t *testing.T) {
	d := newDesk(t, Options{})
	s := d.finish(order{Kind: "predict", source: source{"demo:engine-on-ice", demoText()}, Samples: 40})
	if s.Result == nil || !foreign.MatchString(s.Result.Text) || s.Result.Command != "meltspan predict demo --samples 40" {
		t.Fatalf("%+v", s.Failed)
	}
	var other state
	d.ask("GET", "/api/jobs/"+s.ID+"?"+otherUnits, nil, 200, &other)
	own(t, "prediction", other.Result.Text)
	for _, p := range other.Result.Pictures {
		own(t, p.Name, p.SVG)
	}
	if len(other.Result.Pictures) != len(s.Result.Pictures) || other.Result.Command != s.Result.Command+" --units degF,in" {
		t.Errorf("%d pictures, %s", len(other.Result.Pictures), other.Result.Command)
	}
	streamed := d.send(d.request("GET", "/api/jobs/"+s.ID+"/events?"+otherUnits, nil)).Body.String()
	if !strings.Contains(streamed, "--units degF,in") || strings.Contains(streamed, "degC") {
		t.Error("the stream tells the result in other units than asked for")
	}

	s = d.finish(order{Kind: "report", source: source{"demo:engine-on-ice", demoText()}})
	if s.Result == nil {
		t.Fatalf("%+v", s.Failed)
	}
	page := func(query string) string {
		return d.send(d.request("GET", "/api/jobs/"+s.ID+"/files/report.html"+query, nil)).Body.String()
	}
	if usual, other := page(""), page("?"+otherUnits); !strings.Contains(usual, "temperature (°C)") || !strings.Contains(other, "temperature (°F)") || other != page("?"+otherUnits) {
		t.Error("the report is not in the units asked for")
	}
}

// inOtherUnits reads a kept result in degF and inches.
func (d *desk) inOtherUnits(kept *finished) {
	d.t.Helper()
	var other finished
	path := fmt.Sprintf("/api/results/%d", kept.Kept)
	d.ask("GET", path+"?"+otherUnits, nil, 200, &other)
	own(d.t, kept.Kind, other.Text)
	for _, p := range other.Pictures {
		own(d.t, kept.Kind+", "+p.Name, p.SVG)
	}
	for _, p := range other.Points {
		own(d.t, kept.Kind+", a design found", p.Changes)
	}
	if len(other.Pictures) != len(kept.Pictures) || len(other.Points) != len(kept.Points) || (other.Map == nil) != (kept.Map == nil) || other.Command != kept.Command+" --units degF,in" {
		d.t.Errorf("%s: %d pictures, %d designs, %s", kept.Kind, len(other.Pictures), len(other.Points), other.Command)
	}
	for _, view := range kept.Views {
		svg := d.raw(fmt.Sprintf("%s/frames/0/%s?%s", path, view, otherUnits))
		if own(d.t, kept.Kind+", "+view, svg); !strings.Contains(svg, "°F") {
			d.t.Errorf("%s: the frame of %s has no scale in degF", kept.Kind, view)
		}
	}
	for _, file := range kept.Files { // as it was kept
		if d.raw(path+"/files/"+file+"?"+otherUnits) != d.raw(path+"/files/"+file) {
			d.t.Errorf("the kept %s depends on the reader", file)
		}
	}
}

func TestUnitsThatAreNone(t *testing.T) {
	d := newDesk(t, Options{})
	d.ask("POST", "/api/trials/examples", struct{}{}, 200, nil)
	in := source{"demo:engine-on-ice", demoText()}
	s := d.finish(order{Kind: "predict", source: in, Samples: 20})
	for _, query := range []string{"units=furlong", "units=", "units=degF&units=in", "units=" + url.QueryEscape("degF,degC"), "units=K"} {
		for path, body := range map[string]any{"/api/answer": in, "/api/body": in, "/api/jobs": order{Kind: "predict", source: in}} {
			w := d.send(d.request("POST", path+"?"+query, body))
			var p Problem
			if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != 400 || p.Detail == "" || p.Right == "" || w.Header().Get("Content-Type") != "application/problem+json" {
				t.Errorf("%s?%s: status %d, %s", path, query, w.Code, w.Body)
			}
		}
		for _, path := range []string{"/api/trials/1", "/api/trials/1/watch", "/api/jobs/" + s.ID, "/api/jobs/" + s.ID + "/events", "/api/results/1"} {
			if w := d.send(d.request("GET", path+"?"+query, nil)); w.Code != 400 || w.Header().Get("Content-Type") != "application/problem+json" {
				t.Errorf("%s?%s: status %d, %.200s", path, query, w.Code, w.Body)
			}
		}
	}
}

// The command that the page shows is one that the program takes, with the units.
func TestCommandsShowTheUnits(t *testing.T) {
	d := newDesk(t, Options{})
	s := d.finish(order{Kind: "predict", source: source{"demo:engine-on-ice", demoText()}, Samples: 40})
	var other state
	d.ask("GET", "/api/jobs/"+s.ID+"?"+otherUnits, nil, 200, &other)
	program := filepath.Join(t.TempDir(), "meltspan")
	if out, err := exec.CommandContext(t.Context(), "go", "build", "-o", program, "meltspan/cmd/meltspan").CombinedOutput(); err != nil {
		t.Fatalf("%v %s", err, out)
	}
	words := strings.Fields(other.Result.Command)
	out, err := exec.CommandContext(t.Context(), program, words[1:]...).Output()
	if err != nil || string(out) != other.Result.Text {
		t.Errorf("%s says otherwise than the page: %v\n%s\n%s", other.Result.Command, err, out, other.Result.Text)
	}
}
