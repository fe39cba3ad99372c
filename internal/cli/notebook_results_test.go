package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"meltspan/notebook"
)

// A design of a search that the page kept is shown and written by command.
func TestFoundOfAKeptSearch(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	book, file := filepath.Join(folder, "trials.notebook"), filepath.Join(folder, "best.yaml")
	n, err := notebook.Open(t.Context(), book)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []notebook.Result{
		{Kind: notebook.Search, Code: "v1", Revision: "0123456789ab", Payload: json.RawMessage(`{"candidates": 20, "shown": {"text": "Longest run time\nfound", "designs": ["meltspan: 1\n", "meltspan: 1\nname: two\n"]}}`)},
		{Kind: notebook.Bench, Code: "v1", Payload: json.RawMessage(`{}`)},
	} {
		if _, err := n.Keep(t.Context(), r); err != nil {
			t.Fatal(err)
		}
	}
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args      []string
		code      int
		out, told string
	}{
		{nil, exitDone, "search", ""},
		{[]string{"1"}, exitDone, "Longest run time\nfound\n", ""},
		{[]string{"1", "--found", "2"}, exitDone, "name: two", ""},
		{[]string{"1", "--found", "1", "--write", file}, exitDone, "Wrote ", ""},
		{[]string{"1", "--found", "1", "--write", file}, exitBadInput, "", "already"},
		{[]string{"1", "--found", "3"}, exitBadInput, "", "--found 1 to 2"},
		{[]string{"2", "--found", "1"}, exitBadInput, "", "holds no designs"},
	} {
		code, out, errOut := run(t, append([]string{"notebook", "results", "--notebook", book}, c.args...)...)
		if code != c.code || !strings.Contains(out, c.out) || !strings.Contains(errOut, c.told) {
			t.Errorf("%v: exit code %d\n%s\n%s", c.args, code, out, errOut)
		}
	}
	if text, err := os.ReadFile(file); err != nil || string(text) != "meltspan: 1\n" {
		t.Errorf("%v %q", err, text)
	}
}
