package web

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The room log of a design in a folder lies beside it, also when a trial of it is
// kept.
func TestRoomLogLiesBesideTheDesign(t *testing.T) {
	d := newDesk(t, Options{})
	if err := os.Mkdir(filepath.Join(d.folder, "stands"), 0o755); err != nil {
		t.Fatal(err)
	}
	log := "time_s,temperature_degC,humidity_percent\n0,20,50\n36000,24,50\n"
	if err := os.WriteFile(filepath.Join(d.folder, "stands", "room.csv"), []byte(log), 0o644); err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(demoText(), "  temperature: 22 degC\n  humidity: 55 %\n", "  log: room.csv\n", 1)
	if text == demoText() {
		t.Fatal("the demo's room is not as thought")
	}
	w := d.send(d.filled("/api/trials", nil, map[string]string{"design": "stands/logged.yaml", "text": text, "mass": "110 g", "stalled": "6 h"}))
	if w.Code != 201 {
		t.Fatalf("status %d %.300s", w.Code, w.Body)
	}
	if c, err := d.caseOf(t.Context(), 1); err != nil || c.Design.Room.Log != "room.csv" {
		t.Errorf("%v, %+v", err, c.Design)
	}
}
