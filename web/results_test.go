package web

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"meltspan/notebook"
	"meltspan/quantity"
)

// raw is the body of a plain read.
func (d *desk) raw(path string) string {
	d.t.Helper()
	w := d.send(d.request("GET", path, nil))
	if w.Code != 200 {
		d.t.Fatalf("%s: status %d: %.300s", path, w.Code, w.Body)
	}
	return w.Body.String()
}

// resultList is the list of the page.
func (d *desk) resultList() []listedResult {
	d.t.Helper()
	var all struct{ Results []listedResult }
	d.ask("GET", "/api/results", nil, 200, &all)
	return all.Results
}

// redrawn checks that a kept answer, worded and drawn anew, is what was shown.
func (d *desk) redrawn(id int64) {
	d.t.Helper()
	r, err := d.book.Result(d.t.Context(), id)
	if err != nil {
		d.t.Fatal(err)
	}
	f, err := d.again(d.t.Context(), &r)
	if err != nil {
		d.t.Fatal(err)
	}
	if f.shown == nil {
		return // a report: its files are all there is
	}
	parts := func() string {
		b, err := json.Marshal([]any{f.Pictures, f.Map, f.Frames, len(f.Points)})
		if err != nil {
			d.t.Fatal(err)
		}
		return string(b)
	}
	text, drawn := f.Text, parts()
	f.Text, f.Pictures, f.Map = "", nil, nil
	if err := f.say(quantity.Display{}); err != nil {
		d.t.Errorf("%s: %v", r.Kind, err)
	}
	if f.Text != text {
		d.t.Errorf("%s: worded anew it reads\n%s\nbefore\n%s", r.Kind, f.Text, text)
	}
	if parts() != drawn {
		d.t.Errorf("%s: drawn anew it differs", r.Kind)
	}
}

// What was worked out is there again after the server was started anew, to the
// byte: words, pictures, frames, designs, files.
func TestResultsOutliveTheServer(t *testing.T) {
	folder := t.TempDir()
	if n, err := notebook.Open(t.Context(), folder+"/trials.notebook"); err != nil {
		t.Fatal(err)
	} else if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	in := source{"demo:engine-on-ice", demoText()}
	orders := []struct {
		order order
		parts []string // what else belongs to it
	}{
		{order{Kind: "predict", source: in, Samples: 40}, nil},
		{order{Kind: "compare", source: in, Other: "demo:sample-on-cubes", Samples: 20}, nil},
		{order{Kind: "vary", source: in, Samples: 20, Steps: 2, Vary: []varied{{"store.mass", "90 g", "100 g"}, {"stand.wall.cavities", "1", "2"}}}, []string{"designs/0", "designs/3"}},
		{order{Kind: "section", source: in}, []string{"frames/0/section", "frames/3/outside"}},
		{order{Kind: "section", source: in, Around: "6 mm"}, []string{"frames/0/through", "frames/2/cuts"}},
		{order{Kind: "search", source: in, Candidates: 20, Samples: 40, Vary: []varied{{"store.mass", "100 g", "110 g"}}, Choose: []choice{{"stand.material", []string{"pla", "petg"}}}}, []string{"designs/0"}},
		{order{Kind: "report", source: in}, []string{"files/report.html", "files/report.pdf"}},
	}
	type seen struct {
		result *finished
		parts  map[string]string
	}
	var before []seen
	first := newDesk(t, Options{Folder: folder, Code: "tried"})
	for i, o := range orders {
		s := first.finish(o.order)
		if s.Failed != nil || s.Result == nil || s.Result.Kept == 0 || s.Result.Unkept != "" {
			t.Fatalf("%s: %+v %+v", o.order.Kind, s.Failed, s.Result)
		}
		one := seen{s.Result, map[string]string{}}
		for _, part := range o.parts {
			one.parts[part] = first.raw(fmt.Sprintf("/api/jobs/%d/%s", i+1, part))
		}
		before = append(before, one)
	}
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}

	second := newDesk(t, Options{Folder: folder, Code: "tried"})
	list := second.resultList()
	if len(list) != len(orders) {
		t.Fatalf("%d results are listed, want %d", len(list), len(orders))
	}
	slices.Reverse(list)
	for i, want := range before {
		got := list[i]
		if got.Number != want.result.Kept || got.Code != "tried" || got.Revision == "" || got.Design != "school bench" {
			t.Errorf("listed as %+v", got)
		}
		var again finished
		second.ask("GET", fmt.Sprintf("/api/results/%d", got.Number), nil, 200, &again)
		a, _ := json.Marshal(again)
		b, _ := json.Marshal(want.result)
		if string(a) != string(b) {
			t.Errorf("%s: shown otherwise:\n%.400s\nbefore\n%.400s", want.result.Kind, a, b)
		}
		for part, text := range want.parts {
			if got := second.raw(fmt.Sprintf("/api/results/%d/%s", got.Number, part)); got != text {
				t.Errorf("%s: %s differs: %.300s, before %.300s", want.result.Kind, part, got, text)
			}
		}
		second.inOtherUnits(&again)
	}
	for i := range list {
		second.redrawn(list[i].Number)
	}
	// The same asked again is the same result.
	if s := second.finish(orders[0].order); s.Result.Kept != before[0].result.Kept {
		t.Errorf("worked out anew it is result %d, was %d", s.Result.Kept, before[0].result.Kept)
	}
	// A section that follows the design by itself is not kept.
	passing := orders[3].order
	passing.Passing = true
	if s := second.finish(passing); s.Result.Kept != 0 {
		t.Error("a section in passing was kept")
	}
	second.ask("GET", "/api/results/99", nil, 400, nil)
	second.ask("GET", "/api/results/x", nil, 404, nil)
	second.ask("GET", "/api/results/1/frames/0/section", nil, 404, nil)
}

// Without a notebook results stay in memory, until one is kept.
func TestResultIsKeptWhenAsked(t *testing.T) {
	d := newDesk(t, Options{})
	s := d.finish(order{Kind: "predict", source: source{"demo:engine-on-ice", demoText()}, Samples: 20})
	if s.Result.Kept != 0 {
		t.Fatal("kept without a notebook")
	}
	if entries, _ := os.ReadDir(d.folder); len(entries) != 0 {
		t.Fatalf("a computation left %v", entries)
	}
	var answer struct{ Kept int64 }
	for range 2 {
		d.ask("POST", "/api/jobs/"+s.ID+"/keep", struct{}{}, 200, &answer)
		if answer.Kept != 1 {
			t.Errorf("kept as %d", answer.Kept)
		}
	}
	if list := d.resultList(); len(list) != 1 || list[0].About != "20 samples" {
		t.Errorf("%+v", list)
	}
	d.ask("POST", "/api/jobs/9/keep", struct{}{}, 404, nil)
}

// Whoever looks later, from wherever, finds a job under way and can end it.
func TestJobsUnderWayAreListed(t *testing.T) {
	d := newDesk(t, Options{})
	var begun struct{ ID string }
	d.ask("POST", "/api/jobs", order{Kind: "search", source: source{"demo:engine-on-ice", demoText()}, Candidates: mostCandidates, Vary: []varied{{"store.mass", "90 g", "120 g"}, {"stand.cup.diameter", "74 mm", "90 mm"}}}, 202, &begun)
	listed := func() listedJob {
		var all struct{ Jobs []listedJob }
		d.ask("GET", "/api/jobs", nil, 200, &all)
		if len(all.Jobs) != 1 || all.Jobs[0].ID != begun.ID {
			t.Fatalf("%+v", all.Jobs)
		}
		return all.Jobs[0]
	}
	if j := listed(); j.Over || j.Kind != "search" || j.Name != "demo:engine-on-ice" || !strings.Contains(j.About, "store.mass from 90 g to 120 g") || time.Since(time.UnixMilli(int64(1000*j.Begun))) > time.Minute {
		t.Errorf("%+v", j)
	}
	d.ask("DELETE", "/api/jobs/"+begun.ID, nil, 204, nil)
	d.send(d.request("GET", "/api/jobs/"+begun.ID+"/events", nil)) // up to its end
	if j := listed(); !j.Over {
		t.Errorf("%+v", j)
	}
}

func TestOrdersThatCannotBe(t *testing.T) {
	d := newDesk(t, Options{})
	in := source{"demo:engine-on-ice", demoText()}
	plain := source{"plain.yaml", strings.Replace(demoText(), "count: 12", "count: 0", 1)}
	if plain.Text == in.Text {
		t.Fatal("the demo has no pegs to take out")
	}
	mass := varied{"store.mass", "90 g", "100 g"}
	for name, o := range map[string]order{
		"no input":               {Kind: "vary", source: in},
		"three inputs":           {Kind: "vary", source: in, Vary: []varied{mass, mass, mass}},
		"twice the same":         {Kind: "vary", source: in, Vary: []varied{mass, mass}},
		"an empty range":         {Kind: "vary", source: in, Vary: []varied{{"store.mass", "90 g", "90 g"}}},
		"a wrong unit":           {Kind: "vary", source: in, Vary: []varied{{"store.mass", "90 mm", "90 g"}}},
		"no such input":          {Kind: "vary", source: in, Vary: []varied{{"store.mess", "90 g", "100 g"}}},
		"one step":               {Kind: "vary", source: in, Vary: []varied{mass}, Steps: 1},
		"one word":               {Kind: "search", source: in, Choose: []choice{{"stand.material", []string{"pla"}}}},
		"no such word":           {Kind: "search", source: in, Choose: []choice{{"stand.material", []string{"pla", "cheese"}}}},
		"a word of no choice":    {Kind: "search", source: in, Choose: []choice{{"store.mass", []string{"pla", "petg"}}}},
		"too fine":               {Kind: "section", source: in, Around: "0.1 mm"},
		"no length":              {Kind: "section", source: in, Around: "2 g"},
		"nothing round the axis": {Kind: "section", source: plain, Around: "3 mm"},
		"no such revision":       {Kind: "next", source: in, Others: []string{"revision:0123456789ab"}},
		"too many revisions":     {Kind: "next", source: in, Others: make([]string, mostRevisions+1)},
	} {
		var p Problem
		w := d.send(d.request("POST", "/api/jobs", o))
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code < 400 || w.Code > 404 || p.Detail == "" {
			t.Errorf("%s: status %d %.300s", name, w.Code, w.Body)
		}
	}
}

// Designs in the notebook can be ranked by their revision.
func TestNextOfRevisions(t *testing.T) {
	d := newDesk(t, Options{})
	lighter := source{"lighter.yaml", strings.Replace(demoText(), "mass: 110 g", "mass: 90 g", 1)}
	var kept struct{ Revision, Command string }
	d.ask("POST", "/api/revisions", lighter, 201, &kept)
	if kept.Command != "meltspan notebook keep lighter.yaml" {
		t.Errorf("%+v", kept)
	}
	var all struct{ Revisions []listedRevision }
	d.ask("GET", "/api/revisions", nil, 200, &all)
	if len(all.Revisions) != 1 || all.Revisions[0].Revision != kept.Revision || all.Revisions[0].Trials != 0 {
		t.Fatalf("%+v", all)
	}
	work, err := d.nexting(t.Context(), order{Kind: "next", source: source{"demo:engine-on-ice", demoText()}, Others: []string{"revision:" + kept.Revision}})
	if err != nil {
		t.Fatal(err)
	}
	f, err := work(t.Context(), func(string, int, int) {})
	if err != nil || f.Command != "meltspan next demo "+kept.Revision {
		t.Fatalf("%v, %+v", err, f)
	}
	d.ask("POST", "/api/revisions", source{"x.yaml", "mass"}, 400, nil)
}

// What a search may vary beyond the sliders.
func TestSearchable(t *testing.T) {
	d := newDesk(t, Options{})
	var out struct {
		Words []wordControl
		Sizes []control
	}
	d.ask("POST", "/api/searchable", source{"demo:engine-on-ice", demoText()}, 200, &out)
	now := map[string]string{}
	for _, w := range out.Words {
		now[w.Path] = w.Now
	}
	if now["stand.material"] != "pla" || now["stand.top"] != "closed" {
		t.Errorf("words %v", now)
	}
	if len(out.Sizes) != 3 || !(out.Sizes[0].Value > 0 && out.Sizes[0].Low < out.Sizes[0].Value) {
		t.Errorf("sizes %+v", out.Sizes)
	}
}

// Where the notebook is not the usual one, the commands shown name it.
func TestCommandsNameTheNotebook(t *testing.T) {
	d := newDesk(t, Options{Notebook: "other.notebook"})
	d.ask("POST", "/api/trials/examples", struct{}{}, 200, nil)
	var out struct{ Command string }
	named := func(what, line string) {
		t.Helper()
		if !strings.Contains(line, " --notebook other.notebook") {
			t.Errorf("%s: %s", what, line)
		}
	}
	for _, path := range []string{"/api/trials", "/api/trials/1", "/api/results"} {
		d.ask("GET", path, nil, 200, &out)
		named(path, out.Command)
	}
	d.ask("POST", "/api/trials/1/events", map[string]string{"kind": "drip seen", "when": "1 h"}, 201, &out)
	named("event", out.Command)
	named("forecast", (&watch{trial: 1}).command(d.Server))
}

// A point of a variation opens as the text with the value in its unit and with
// its spread, and the command says the same.
func TestPointKeepsUnitAndSpread(t *testing.T) {
	d := newDesk(t, Options{})
	in := source{"heavy.yaml", strings.Replace(demoText(), "mass: 110 g   ", "mass: 110 g +- 2 g", 1)}
	s := d.finish(order{Kind: "vary", source: in, Samples: 20, Steps: 4, Vary: []varied{{"store.mass", "90 g", "100 g"}}})
	var p openedPoint
	d.ask("GET", "/api/jobs/"+s.ID+"/designs/1", nil, 200, &p)
	if want := strings.Replace(in.Text, "mass: 110 g +- 2 g   ", "mass: 93.333 g +- 2 g", 1); p.Text != want {
		t.Errorf("opened as\n%s", p.Text)
	}
	if p.Command != "meltspan amend heavy.yaml store.mass '93.333 g +- 2 g' --write varied-02.yaml" {
		t.Error(p.Command)
	}
}
