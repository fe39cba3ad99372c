package design

import (
	"errors"
	"io/fs"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"meltspan/quantity"
)

func TestReadTellsAMissingFile(t *testing.T) {
	if _, err := Read(fstest.MapFS{}, "none.yaml"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("got %v", err)
	}
}

func TestRoomLogReplacesTemperatureAndHumidity(t *testing.T) {
	files := fstest.MapFS{
		"trials/d.yaml": {Data: []byte(strings.Replace(base, "  temperature: 22 degC\n  humidity: 55 %\n", "  log: room.csv\n", 1))},
		// Columns out of order and one to pass over; the mean over time is
		// (20+22)/2*100 + (22+22)/2*300 over 400 s: 21.75 degC.
		"trials/room.csv": {Data: []byte("time_s,humidity_percent,lux,temperature_degC\n0,40,3,20\n100,60,3,22\n400,60,3,22\n")},
	}
	d, err := Read(files, "trials/d.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if got := d.Room.Temperature.SI - 273.15; math.Abs(got-21.75) > 1e-9 || d.Room.Temperature.Origin != quantity.Measured {
		t.Errorf("mean temperature %v degC, %s", got, d.Room.Temperature.Origin)
	}
	if got := d.Room.Humidity.SI; math.Abs(got-0.575) > 1e-9 {
		t.Errorf("mean humidity %v", got)
	}
	if len(d.Room.Series) != 3 || d.Room.Series[1] != (RoomSample{100, 295.15, 0.6}) {
		t.Errorf("series %v", d.Room.Series)
	}
}

func TestRoomLogMistakes(t *testing.T) {
	const head = "time_s,temperature_degC,humidity_percent\n"
	cases := []struct {
		name, csv    string
		line, column int
		what         string
	}{
		{"empty", "", 1, 1, "empty or no CSV"},
		{"no such column", "time_s,temp,humidity_percent\n0,20,50\n", 1, 1, "no column temperature_degC"},
		{"not a number", head + "0,20,50\n60,warm,50\n", 3, 4, `"warm" is not a number in column temperature_degC`},
		{"not finite", head + "0,20,50\n60,NaN,50\n", 3, 4, "not a number"},
		{"out of range", head + "0,20,50\n60,20,101\n", 3, 7, "humidity_percent is 101"},
		{"time stands still", head + "0,20,50\n0,21,50\n", 3, 1, "time_s goes from 0 to 0"},
		{"row too short", head + "0,20,50\n60,20\n", 3, 1, "no CSV"},
		{"one row", head + "0,20,50\n", 1, 1, "fewer than two rows"},
	}
	text := []byte(strings.Replace(base, "  humidity: 55 %\n", "  log: room.csv\n", 1))
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := Parse("d.yaml", text, func(string) ([]byte, error) { return []byte(c.csv), nil })
			var problems Problems
			if !errors.As(err, &problems) {
				t.Fatalf("got %v", err)
			}
			if p := problems[0]; p.File != "room.csv" || p.Line != c.line || p.Column != c.column || !strings.Contains(p.What, c.what) || p.Excerpt == "" && c.csv != "" {
				t.Errorf("want %d:%d %q, got\n%v", c.line, c.column, c.what, p)
			}
		})
	}
}

func TestWrongColumnOfALogIsNotListedRowByRow(t *testing.T) {
	csv := "time_s,temperature_degC,humidity_percent\n" + strings.Repeat("x,20,50\n", 1000)
	_, err := Parse("d", []byte(strings.Replace(base, "  humidity: 55 %\n", "  log: room.csv\n", 1)), func(string) ([]byte, error) { return []byte(csv), nil })
	var problems Problems
	if !errors.As(err, &problems) || len(problems) != mostLogFaults {
		t.Errorf("%d problems", len(problems))
	}
}

func TestRoomLogThatCannotBeOpened(t *testing.T) {
	text := strings.Replace(base, "  humidity: 55 %\n", "  log: room.csv\n", 1)
	if p := one(t, text); p.Line != 23 || p.Column != 8 || !strings.Contains(p.What, "cannot be read here") {
		t.Errorf("%v", p)
	}
	_, err := Read(fstest.MapFS{"d.yaml": {Data: []byte(text)}}, "d.yaml")
	if err == nil || !strings.Contains(err.Error(), `the room log "room.csv" cannot be opened`) {
		t.Errorf("%v", err)
	}
}

func TestLogAndDailySwingExcludeEachOther(t *testing.T) {
	p := one(t, strings.Replace(base, "  humidity: 55 %\n", "  log: room.csv\n  daily: {swing: 2 K, warmest_after: 3 h}\n", 1))
	if p.Line != 24 || p.Column != 3 || p.Key != "room.daily" {
		t.Errorf("%v", p)
	}
}
