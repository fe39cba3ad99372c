package record_test

import (
	"errors"
	"math"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"meltspan/design"
	"meltspan/notebook"
	"meltspan/record"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

var unknown = math.NaN()

func TestEvent(t *testing.T) {
	const start = 1769868300 // 2026-01-31 14:05 UTC
	for _, c := range []struct {
		when                     string
		start, time, uncertainty float64
	}{
		{"6 h 40 min", unknown, 24000, record.WatchSpread},
		{"6 h 40 min +- 1 min", unknown, 24000, 60},
		{"2026-01-31 20:22", start, 22620, record.WatchSpread},
	} {
		e, err := record.Event(trial.Stalled, c.when, c.start, time.UTC)
		if err != nil || e.Time != c.time || e.Uncertainty != c.uncertainty || e.Source != record.ByHand {
			t.Errorf("%q: %+v, %v", c.when, e, err)
		}
	}
	for _, when := range []string{"", "soon", "2026-01-31 20:22", "6 kg"} {
		_, err := record.Event(trial.Stalled, when, unknown, time.UTC)
		var p design.Problem
		if !errors.As(err, &p) || p.Right == "" || !strings.Contains(p.What, "stalled") {
			t.Errorf("%q is taken, or not told of: %v", when, err)
		}
	}
}

// The start of a trial is where it is stated, else where the log says.
func TestPlace(t *testing.T) {
	read := func(text string) *logfile.Log {
		l, err := logfile.Read("log.csv", []byte(text), logfile.Mapping{Time: logfile.Time{Zone: "UTC"}})
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	dated := "time,bottom plate\n2026-01-31 14:00:00,20\n2026-01-31 14:10:00,19\n2026-01-31 14:20:00,18\n"
	counted := "time (s),bottom plate\n0,20\n600,19\n1200,18\n"
	const first = 1769868000
	for _, c := range []struct {
		log          string
		start, after float64
		at, sample   float64 // the start in the log; the first sample's time from there
		then         float64 // what the trial knows of its start
	}{
		{dated, unknown, unknown, first, 0, first},
		{dated, first + 300, unknown, first + 300, -300, first + 300},
		{dated, unknown, 60, first + 60, -60, first + 60},
		{dated, first + 60, 60, first + 60, -60, first + 60},
		{counted, unknown, unknown, 0, 0, unknown},
		{counted, first, 60, 60, -60, first},
	} {
		x := trial.Trial{Start: c.start}
		p, err := record.Place(read(c.log), &x, c.after, "UTC")
		if err != nil || p.Start != c.at || p.Because == "" || p.Series[0].Samples[0].Time != c.sample {
			t.Errorf("%+v: %+v, %v", c, p, err)
		}
		if x.Start != c.then && !(math.IsNaN(x.Start) && math.IsNaN(c.then)) {
			t.Errorf("%+v: the trial starts at %v", c, x.Start)
		}
	}
	for _, c := range []struct{ start, after float64 }{{first + 3600, unknown}, {first - 40*86400, unknown}, {first + 300, 60}} {
		x := trial.Trial{Start: c.start}
		_, err := record.Place(read(dated), &x, c.after, "UTC")
		if p := new(design.Problem); !errors.As(err, p) || p.Right == "" {
			t.Errorf("%+v is taken, or not told of: %v", c, err)
		}
	}
}

// What the log shows is found, but for what a user saw.
func TestDetectLeavesWhatWasTypedIn(t *testing.T) {
	x := trial.Trial{Kind: trial.Run, Start: unknown}
	speed := trial.Series{Quantity: trial.Speed}
	for i := range 200 {
		turns := 1.0
		if i < 10 || i > 150 {
			turns = 0
		}
		speed.Samples = append(speed.Samples, trial.Sample{Time: 60 * float64(i), Value: turns})
	}
	x.Series = []trial.Series{speed}
	outcome, found, err := record.Detect(&x, nil)
	if err != nil || outcome != trial.HasStalled || len(found) != 2 || found[0].Kind != trial.Started || found[1].Kind != trial.Stalled {
		t.Fatalf("%s, %+v, %v", outcome, found, err)
	}
	x.Events = []trial.Event{{Kind: trial.Stalled, Time: 9000, Source: record.ByHand}}
	if _, found, err = record.Detect(&x, nil); err != nil || len(found) != 1 || found[0].Kind != trial.Started {
		t.Errorf("%+v, %v", found, err)
	}
	x.Kind = trial.WarmPlate
	if outcome, found, err = record.Detect(&x, nil); err != nil || outcome != trial.Unknown || found != nil {
		t.Errorf("a bench log stalls: %s, %+v, %v", outcome, found, err)
	}
}

func TestLogFileTakesAFreeName(t *testing.T) {
	there := []notebook.Attachment{{Name: "log.csv"}, {Name: "2-log.csv"}}
	if f := record.LogFile(there, "log.csv", []byte("x")); len(f) != 1 || f[0].Name != "3-log.csv" || !math.IsNaN(f[0].Time) {
		t.Errorf("%+v", f)
	}
	if f := record.LogFile(nil, "log.csv", make([]byte, record.MostKeptLog+1)); f != nil {
		t.Error("a log of any size is kept")
	}
}

// A trial goes into a notebook and comes out as it is shown and learned from.
func TestKeptTrialsAreShown(t *testing.T) {
	ctx := t.Context()
	n, err := notebook.Open(ctx, filepath.Join(t.TempDir(), "x.notebook"))
	if err != nil {
		t.Fatal(err)
	}
	defer n.Close()
	if err := record.Examples(ctx, n); err != nil {
		t.Fatal(err)
	}
	heads, err := n.Trials(ctx)
	if err != nil || len(heads) != 8 {
		t.Fatalf("%d trials, %v", len(heads), err)
	}
	for i := range heads {
		if !strings.Contains(heads[i].Trial.Note, "Invented") {
			t.Errorf("trial %d does not say that it is invented", heads[i].ID)
		}
	}
	if r := record.RowOf(&heads[0]); r.Run == "not known" || !(r.RunTime > 3600) || r.Readings == 0 || r.Start != "not known" {
		t.Errorf("%+v", r)
	}
	v, err := record.View(ctx, n, 1, true)
	if err != nil || v.Prediction == nil || v.Stall == 0 || len(v.Attachments) == 0 || len(v.Series) != len(v.Trial.Series) {
		t.Errorf("%+v, %v", v, err)
	}
	if v, err = record.View(ctx, n, 1, false); err != nil || v.Prediction != nil || v.Stall == 0 {
		t.Errorf("without a prediction: %+v, %v", v, err)
	}
	c, err := record.Case(ctx, n, 1)
	if err != nil || c.Design == nil || c.Trial.Revision != c.Design.Revision() {
		t.Errorf("%+v, %v", c, err)
	}
	bare, err := record.Create(ctx, n, record.Design{}, trial.Trial{Name: "bare", Kind: trial.Run, Start: unknown})
	if err != nil {
		t.Fatal(err)
	}
	if v, err = record.View(ctx, n, bare, true); err != nil || v.Unpredicted == "" {
		t.Errorf("without a design: %+v, %v", v, err)
	}
	if _, err = record.Case(ctx, n, bare); !errors.As(err, new(design.Problem)) {
		t.Errorf("learned from no design: %v", err)
	}
	if _, err := record.AddEvent(ctx, n, bare, trial.Stalled, "2 h", "seen", time.UTC); err != nil {
		t.Error(err)
	}
	if _, err := record.AddEvent(ctx, n, bare, trial.Started, "3 h", "", time.UTC); err == nil {
		t.Error("a start after the stall is taken")
	}
	head, err := n.Head(ctx, bare)
	if e := head.Trial.Event(trial.Stalled); err != nil || e == nil || e.Note != "seen" || len(head.Trial.Events) != 1 {
		t.Errorf("%+v, %v", head.Trial.Events, err)
	}
}
