package web

import (
	"net/http"
	"strings"
	"testing"
)

// What is saved is shown with the command that writes the same, where there is one.
func TestSavedByCommand(t *testing.T) {
	d := newDesk(t, Options{})
	lighter := strings.Replace(demoText(), "mass: 110 g", "mass: 90 g", 1)
	for _, c := range []struct{ name, from, old, text, want string }{
		{"a copy", "demo:engine-on-ice", demoText(), demoText(), "meltspan starter copy.yaml --example engine-on-ice"},
		{"a value", "demo:engine-on-ice", demoText(), lighter, `meltspan amend demo store.mass '90 g' --write copy.yaml`},
		{"over the old one", "copy.yaml", demoText(), lighter, `meltspan amend copy.yaml store.mass '90 g' --in-place`},
		{"a remark by hand", "demo:engine-on-ice", demoText(), demoText() + "# mine\n", ""},
		{"nothing opened", "", "", demoText(), ""},
		{"a mistake", "demo:engine-on-ice", demoText(), "mass", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := d.savedBy(source{c.from, c.old}, "copy.yaml", c.text); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
	r := d.request("PUT", "/api/designs/copy.yaml", map[string]any{"text": lighter, "from": source{"demo:engine-on-ice", demoText()}})
	r.Header.Set("If-None-Match", "*")
	if w := d.send(r); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "--write copy.yaml") {
		t.Errorf("status %d %.300s", w.Code, w.Body)
	}
}
