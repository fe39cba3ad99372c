package notebook

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"meltspan/design"
	"meltspan/trial"
)

// contents is all that can be read of a notebook.
type contents struct {
	Designs     []Design
	Heads       []Head
	Trials      []trial.Trial
	Attachments [][]Attachment
	Contents    map[string][]byte
	Results     []Result
}

func contentsOf(t testing.TB, n *Notebook) contents {
	t.Helper()
	ctx := t.Context()
	c := contents{Contents: map[string][]byte{}}
	c.Designs = must[[]Design](t)(n.Designs(ctx))
	c.Heads = must[[]Head](t)(n.Trials(ctx))
	for i := range c.Heads {
		c.Trials = append(c.Trials, must[trial.Trial](t)(n.Trial(ctx, c.Heads[i].ID)))
		list := must[[]Attachment](t)(n.Attachments(ctx, c.Heads[i].ID))
		for _, a := range list {
			c.Contents[a.Hash] = must[[]byte](t)(n.Content(ctx, a.Hash))
		}
		c.Attachments = append(c.Attachments, list)
		for j := range c.Heads[i].Series {
			c.Heads[i].Series[j].ID = 0 // numbers of series are the notebook's own
		}
	}
	c.Results = must[[]Result](t)(n.Results(ctx, ""))
	return c
}

// files are a folder's files by their names.
func files(t testing.TB, folder string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(folder, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		short, _ := filepath.Rel(folder, name)
		out[filepath.ToSlash(short)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Any text that is text, any number, anything marked in any way.
var (
	anyText  = rapid.StringN(0, 12, 40)
	anyName  = rapid.StringMatching(`[a-z \."/\\:]{0,5}[a-zäß]`)
	anyValue = rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Copysign(0, -1), 293.15}))
	anyTime  = rapid.Float64Range(-1e9, 1e9)
)

func anySeries(t *rapid.T) trial.Series {
	s := trial.Series{
		Quantity: rapid.SampledFrom(trial.Quantities()).Draw(t, "quantity"), Place: anyText.Draw(t, "place"), Source: anyText.Draw(t, "source"),
		Uncertainty: rapid.Float64Range(0, 10).Draw(t, "uncertainty"), Emissivity: rapid.Float64Range(0, 1).Draw(t, "emissivity"),
	}
	for range rapid.IntRange(0, 5).Draw(t, "samples") {
		s.Samples = append(s.Samples, trial.Sample{Time: anyTime.Draw(t, "time"), Value: anyValue.Draw(t, "value"), Mark: rapid.SampledFrom(marks).Draw(t, "mark")})
	}
	return s
}

func anyTrial(t *rapid.T, revisions []string) trial.Trial {
	x := trial.Trial{
		Name: anyName.Draw(t, "name"), Kind: rapid.SampledFrom(trial.Kinds()).Draw(t, "kind"), Design: anyText.Draw(t, "design"),
		Revision: rapid.SampledFrom(append(revisions, "")).Draw(t, "revision"), Zone: anyText.Draw(t, "zone"), Note: anyText.Draw(t, "note"),
		Start: rapid.SampledFrom([]float64{math.NaN(), 1.76e9, 0.1}).Draw(t, "start"),
	}
	for _, path := range rapid.SliceOfNDistinct(anyText, 0, 3, rapid.ID).Draw(t, "settings") {
		x.Settings = append(x.Settings, trial.Setting{Path: path, Value: anyText.Draw(t, "value")})
	}
	for range rapid.IntRange(0, 3).Draw(t, "series") {
		x.Series = append(x.Series, anySeries(t))
	}
	for range rapid.IntRange(0, 3).Draw(t, "events") {
		x.Events = append(x.Events, trial.Event{Kind: rapid.SampledFrom(trial.EventKinds()).Draw(t, "kind"), Time: anyTime.Draw(t, "at"),
			Uncertainty: rapid.Float64Range(0, 1e5).Draw(t, "give or take"), Source: anyText.Draw(t, "source"), Note: anyText.Draw(t, "note")})
	}
	return x
}

// fill writes something of everything into a notebook.
func fill(t *rapid.T, tb testing.TB, n *Notebook) {
	ctx := tb.Context()
	var revisions []string
	for range rapid.IntRange(0, 2).Draw(t, "designs") {
		text := append([]byte("# "+rapid.StringMatching(`[a-zµ]{0,5}\r?`).Draw(t, "remark")+"\n"), design.Demo()...)
		d, err := n.SaveDesign(ctx, anyName.Draw(t, "file"), text, nil)
		if err != nil {
			t.Fatal(err)
		}
		revisions = append(revisions, d.Revision)
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "trials") {
		x := anyTrial(t, revisions)
		x.Name += string(rune('0' + i)) // each its own
		id, err := n.CreateTrial(ctx, x)
		if err != nil {
			t.Fatal(err)
		}
		for j := range rapid.IntRange(0, 2).Draw(t, "attachments") {
			a := Attachment{Name: anyName.Draw(t, "attached") + string(rune('0'+j)), Time: rapid.SampledFrom([]float64{math.NaN(), 60}).Draw(t, "at"), Note: anyText.Draw(t, "note")}
			if _, err := n.Attach(ctx, id, a, rapid.SliceOfN(rapid.Byte(), 0, 9).Draw(t, "data")); err != nil {
				t.Fatal(err)
			}
		}
		inputs, _ := json.Marshal(map[string]any{"<&>": anyText.Draw(t, "input"), "x": []float64{1e-7, 3}})
		if _, err := n.Keep(ctx, Result{Kind: anyText.Draw(t, "kind"), Code: anyText.Draw(t, "code"), Trials: []int64{id}, Inputs: inputs}); err != nil {
			t.Fatal(err)
		}
		if rapid.Bool().Draw(t, "taken out") {
			if _, err := n.RemoveTrial(ctx, id, nil); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// An exported notebook imported again is equal to the first, and exporting
// that gives the same files to the byte.
func TestExportAndImportGiveTheSame(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		folder, err := os.MkdirTemp(t.TempDir(), "")
		if err != nil {
			r.Fatal(err)
		}
		first := opened(t, filepath.Join(folder, "first"))
		fill(r, t, first)
		out, again := filepath.Join(folder, "out"), filepath.Join(folder, "again")
		if err := first.Export(t.Context(), out); err != nil {
			r.Fatal(err)
		}
		second := opened(t, filepath.Join(folder, "second"))
		if err := second.Import(t.Context(), out); err != nil {
			r.Fatal(err)
		}
		if diff := cmp.Diff(contentsOf(t, first), contentsOf(t, second), equal); diff != "" {
			r.Fatalf("first and second notebook:\n%s", diff)
		}
		if err := second.Export(t.Context(), again); err != nil {
			r.Fatal(err)
		}
		if diff := cmp.Diff(files(t, out), files(t, again)); diff != "" {
			r.Fatalf("first and second export:\n%s", diff)
		}
		first.Close()
		second.Close()
	})
}

// exported is a notebook with one trial in a folder.
func exported(t *testing.T) string {
	t.Helper()
	ctx, n := t.Context(), fresh(t)
	d := must[Design](t)(n.SaveDesign(ctx, "demo.yaml", design.Demo(), nil))
	id := must[int64](t)(n.CreateTrial(ctx, full(d.Revision)))
	must[Attachment](t)(n.Attach(ctx, id, Attachment{Name: "photo.jpg", Time: math.NaN()}, []byte("a photo")))
	must[int64](t)(n.Keep(ctx, Result{Kind: "prediction", Trials: []int64{id}}))
	folder := filepath.Join(t.TempDir(), "export")
	if err := n.Export(ctx, folder); err != nil {
		t.Fatal(err)
	}
	return folder
}

func TestFolderIsReadable(t *testing.T) {
	t.Parallel()
	got := files(t, exported(t))
	if want := "time_s,value_K,mark\n0,294.15,\n30,,missing\n20,146.15,out of order\n"; got["trials/0001/series-01.csv"] != want {
		t.Errorf("%q", got["trials/0001/series-01.csv"])
	}
	if got["trials/0001/files/01-photo.jpg"] != "a photo" || !strings.Contains(got["trials/0001/trial.json"], `"value": "119.4 g +- 0.2 g"`) {
		t.Errorf("%v", got)
	}
	found := false
	for name, text := range got {
		found = found || strings.HasPrefix(name, "designs/0001-") && text == string(design.Demo())
	}
	if !found {
		t.Error("the design is not there as written")
	}
}

func TestExportOverwritesNothing(t *testing.T) {
	t.Parallel()
	folder := exported(t)
	var p *Problem
	if err := fresh(t).Export(t.Context(), folder); !errors.As(err, &p) || !strings.Contains(p.What, "not empty") {
		t.Errorf("%v", err)
	}
	file := filepath.Join(folder, indexFile)
	if err := fresh(t).Export(t.Context(), file); !errors.As(err, &p) {
		t.Errorf("a file in the way: %v", err)
	}
	if entries, err := os.ReadDir(filepath.Dir(folder)); err != nil || len(entries) != 1 {
		t.Errorf("something is left: %v", entries)
	}
}

// An import that fails leaves an empty notebook empty, and says where and what.
func TestBadFoldersAreRefused(t *testing.T) {
	t.Parallel()
	secret := filepath.Join(t.TempDir(), "secret")
	if err := os.WriteFile(secret, []byte("a photo"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, file, old, new, want string }{
		{"a time", "trials/0001/series-01.csv", "30,", "later,", `trials/0001/series-01.csv:3:1: "later" is no time`},
		{"a value", "trials/0001/series-01.csv", "294.15", "warm", `trials/0001/series-01.csv:2:3: "warm" is no value`},
		{"a mark", "trials/0001/series-01.csv", "missing", "gone", `there is no mark "gone"`},
		{"a cell less", "trials/0001/series-01.csv", "30,,missing", "30", "no three cells"},
		{"a wrong head", "trials/0001/series-01.csv", "value_K", "value_C", "the first line"},
		{"broken JSON", "trials/0001/trial.json", `"name"`, `"name`, "trials/0001/trial.json:"},
		{"an unknown key", "trials/0001/trial.json", `"kind"`, `"sort"`, `unknown field "sort"`},
		{"a number for a name", "trials/0001/trial.json", `"first run"`, `"77"`, "cannot be called"},
		{"an unknown design", "trials/0001/trial.json", `"revision": "`, `"revision": "x`, "there is no design"},
		{"a changed design", "designs/*.yaml", "ice", "ICE", "was changed"},
		{"a changed photo", "trials/0001/files/01-photo.jpg", "a photo", "another", "was changed"},
		{"a lost file", indexFile, "trials/0001", "trials/0002", "lacks the file"},
		{"a later format", indexFile, `"meltspan_notebook": 1`, `"meltspan_notebook": 2`, "format 2"},
		{"a way out", "trials/0001/trial.json", "trials/0001/files/01-photo.jpg", "../../secret", "in the folder"},
		{"an absolute way out", "trials/0001/trial.json", "trials/0001/files/01-photo.jpg", filepath.ToSlash(secret), "in the folder"},
		{"a result of no trial", "results/0001.json", "[\n    1\n  ]", "[\n    8\n  ]", "there is no trial 8"},
	} {
		folder := exported(t)
		found, err := filepath.Glob(filepath.Join(folder, c.file))
		if err != nil || len(found) != 1 {
			t.Fatalf("%s: %v %v", c.name, found, err)
		}
		text, _ := os.ReadFile(found[0])
		changed := bytes.Replace(text, []byte(c.old), []byte(c.new), 1)
		if bytes.Equal(text, changed) {
			t.Fatalf("%s: nothing was changed in\n%s", c.name, text)
		}
		if err := os.WriteFile(found[0], changed, 0o644); err != nil {
			t.Fatal(err)
		}
		n := fresh(t)
		if err := n.Import(t.Context(), folder); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q in it", c.name, err, c.want)
		}
		if left := contentsOf(t, n); len(left.Designs)+len(left.Heads)+len(left.Results) > 0 {
			t.Errorf("%s: something was kept", c.name)
		}
	}
}

func TestLinksLeadNowhere(t *testing.T) {
	t.Parallel()
	folder := exported(t)
	photo := filepath.Join(folder, "trials/0001/files/01-photo.jpg")
	secret := filepath.Join(t.TempDir(), "secret")
	if err := errors.Join(os.WriteFile(secret, []byte("a photo"), 0o600), os.Remove(photo)); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(secret, photo); err != nil {
		t.Skipf("no links here: %v", err)
	}
	if err := fresh(t).Import(t.Context(), folder); err == nil || !strings.Contains(err.Error(), "in the folder") {
		t.Errorf("%v", err)
	}
}

func TestImportNeedsAnEmptyNotebook(t *testing.T) {
	t.Parallel()
	folder, n := exported(t), fresh(t)
	must[int64](t)(n.CreateTrial(t.Context(), full("")))
	var p *Problem
	if err := n.Import(t.Context(), folder); !errors.As(err, &p) || !strings.Contains(p.What, "not empty") {
		t.Errorf("%v", err)
	}
	if err := n.Import(t.Context(), filepath.Join(folder, "nowhere")); !errors.As(err, &p) {
		t.Errorf("%v", err)
	}
}
