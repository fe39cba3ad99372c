package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"meltspan/design"
	"meltspan/notebook"
)

// What the page kept is shown as it was; in other units it reads as the command
// that works it out would have it in them. Its pictures are those of that command.
func TestKeptResultsInTheReadersUnits(t *testing.T) {
	t.Parallel()
	book := filepath.Join(t.TempDir(), "trials.notebook")
	n, err := notebook.Open(t.Context(), book)
	if err != nil {
		t.Fatal(err)
	}
	kept, err := n.SaveDesign(t.Context(), "demo.yaml", design.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	results := []struct{ kind, command string }{
		{notebook.Prediction, "predict demo --samples 20"},
		{notebook.DesignComparison, "compare demo demo:sample-on-cubes --samples 20"},
		{notebook.Variation, "vary demo stand.height 36mm 40mm --steps 2 --samples 20"},
		{notebook.SectionRun, "section demo --spacing 4mm --frames 2"},
		{notebook.NextTrials, "next demo --samples 100"},
	}
	drawn := make([]string, len(results))
	for i, r := range results {
		drawn[i] = t.TempDir()
		words := append(strings.Fields(r.command), "--json")
		if r.kind != notebook.NextTrials { // of which there is no picture
			words = append(words, "--pictures", drawn[i])
		}
		code, answer, told := run(t, words...)
		if code != exitDone {
			t.Fatalf("%s: %s", r.command, told)
		}
		head, found := strings.CutSuffix(strings.TrimSpace(answer), "}")
		if !found {
			t.Fatalf("%s is no object in JSON", r.command)
		}
		payload := json.RawMessage(head + `, "shown": {"text": "as it was shown"}}`)
		if _, err := n.Keep(t.Context(), notebook.Result{Kind: r.kind, Code: "v1", Revision: kept.Revision, Payload: payload}); err != nil {
			t.Fatal(err)
		}
	}
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	for i, r := range results {
		again := t.TempDir()
		show := []string{"notebook", "results", string(rune('1' + i)), "--notebook", book}
		if code, out, told := run(t, append(show, "--pictures", again)...); code != exitDone || !strings.HasPrefix(out, "as it was shown\n") {
			t.Errorf("%s: exit code %d\n%s\n%s", r.command, code, out, told)
		}
		samePictures(t, r.command, drawn[i], again)
		_, want, _ := run(t, append(strings.Fields(r.command), "--units", "degF,in")...)
		if code, out, told := run(t, append(show, "--units", "degF,in")...); code != exitDone || want == "" || !strings.HasPrefix(out, want) {
			t.Errorf("%s: exit code %d\n%s\n%s\nwant\n%s", r.command, code, out, told, want)
		}
	}
}

// samePictures checks that what a command drew is drawn again from what was kept;
// only the film of a section is not.
func samePictures(t *testing.T, command, first, again string) {
	t.Helper()
	for _, name := range strings.Fields(listed(t, first)) {
		if name == "film.png" {
			continue
		}
		want, err := os.ReadFile(filepath.Join(first, name))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(filepath.Join(again, name)); err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s: %s is not as it was first drawn (%v)", command, name, err)
		}
	}
}
