package live

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"meltspan/notebook"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

// notebookWith opens a new notebook with one trial that began at Unix 1000.
func notebookWith(t *testing.T) (*notebook.Notebook, int64) {
	t.Helper()
	n, err := notebook.Open(t.Context(), filepath.Join(t.TempDir(), "trials.notebook"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { n.Close() })
	id, err := n.CreateTrial(t.Context(), trial.Trial{Kind: trial.Run, Start: 1000})
	if err != nil {
		t.Fatal(err)
	}
	return n, id
}

// fixedClock stands at a Unix time that the test moves.
func fixedClock(at *float64) *Clock {
	now := func() float64 { return *at }
	return newClock(now, now)
}

// feed runs an intake over messages, and returns what it told.
func feed(t *testing.T, in *Intake, messages ...Message) string {
	t.Helper()
	var told []string
	in.Tell = func(text string) { told = append(told, text) }
	if in.Clock == nil {
		in.Clock = NewClock()
	}
	lines := make(chan Message, len(messages))
	for _, m := range messages {
		lines <- m
	}
	close(lines)
	if err := in.Run(t.Context(), lines, nil); err != nil {
		t.Fatal(err)
	}
	return strings.Join(told, "\n")
}

func kept(t *testing.T, n *notebook.Notebook, id int64) *trial.Trial {
	t.Helper()
	got, err := n.Trial(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	return &got
}

func TestReadingsBecomeSeries(t *testing.T) {
	n, id := notebookWith(t)
	in := &Intake{Notebook: n, Trial: id, Source: "port", Columns: []logfile.Column{{Name: "T3", Quantity: trial.Wall, Place: "side"}}}
	told := feed(t, in,
		Message{Time: 1010, Text: "bottom=3.25 top=17.9 T3=60 degF x=1"},
		Message{Time: 1011, Text: "bottom=nan top=-127 T3=16 x=2"},
		Message{Time: 1012, Text: "\x00\x01"},
		Message{Time: 1012, Text: `{"bottom": 3.5, "hum": "41 %"}`},
	)
	got := kept(t, n, id)
	want := map[trial.Quantity][]trial.Sample{
		trial.BottomPlate: {{Time: 10, Value: 276.4}, {Time: 11, Value: math.NaN(), Mark: trial.Missing}, {Time: 12, Value: 276.65}},
		trial.TopPlate:    {{Time: 10, Value: 291.05}, {Time: 11, Value: 146.15, Mark: trial.Fault}},
		trial.Wall:        {{Time: 10, Value: 288.7056}, {Time: 11, Value: 289.15}},
		trial.Humidity:    {{Time: 12, Value: 0.41}},
	}
	if len(got.Series) != len(want) {
		t.Fatalf("%d series: %+v", len(got.Series), got.Series)
	}
	for q, samples := range want {
		s := got.Find(q)
		if s == nil || len(s.Samples) != len(samples) {
			t.Errorf("%s: %+v", q, s)
			continue
		}
		for i, w := range samples {
			g := s.Samples[i]
			if g.Time != w.Time || g.Mark != w.Mark || math.Abs(g.Value-w.Value) > 1e-3 {
				t.Errorf("%s: sample %d is %+v, want %+v", q, i, g, w)
			}
		}
	}
	for _, part := range []string{`"bottom" is taken as bottom plate, in degC, by its name`, `"T3" is taken as wall, side, in degC`, `"x" is not recorded`, "Line not read (1 so far)"} {
		if !strings.Contains(told, part) {
			t.Errorf("nothing tells %q in\n%s", part, told)
		}
	}
	if n := strings.Count(told, "not recorded"); n != 1 {
		t.Errorf("told %d times what is not recorded, want once", n)
	}
	if s := got.Find(trial.Wall); s.Source != "port, T3" || s.Place != "side" {
		t.Errorf("the wall comes from %q, at %q", s.Source, s.Place)
	}
}

func TestTopicsBecomeSeries(t *testing.T) {
	n, id := notebookWith(t)
	in := &Intake{Notebook: n, Trial: id, Source: "broker", Columns: []logfile.Column{{Name: "bench/7", Quantity: trial.Weight, Unit: "g"}}}
	feed(t, in,
		Message{Time: 1001, Topic: "bench/top_plate/temperature", Text: "18.5"},
		Message{Time: 1002, Topic: "bench/7", Text: "412.5"},
		Message{Time: 1003, Topic: "bench/air", Text: `{"temperature":22,"humidity":40}`},
	)
	got := kept(t, n, id)
	for q, want := range map[trial.Quantity]float64{trial.TopPlate: 291.65, trial.Weight: 0.4125, trial.Room: 295.15, trial.Humidity: 0.4} {
		if s := got.Find(q); s == nil || math.Abs(s.Samples[0].Value-want) > 1e-9 {
			t.Errorf("%s: %+v, want %g", q, s, want)
		}
	}
}

// A sensor that starts up with 85 degC is found out by the reading behind it,
// when the first is on the disk already.
func TestPowerUpValueIsMarkedAfterwards(t *testing.T) {
	n, id := notebookWith(t)
	var messages []Message
	for i, v := range []float64{85, 21.5, 21.4, 85, 21.3, 21.2} {
		messages = append(messages, Message{Time: 1000 + float64(i), Text: fmt.Sprintf("top=%g", v)})
	}
	in := &Intake{Notebook: n, Trial: id, Source: "port"}
	feed(t, in, messages...)
	for i, s := range kept(t, n, id).Find(trial.TopPlate).Samples {
		if want := map[bool]trial.Mark{true: trial.Fault}[i == 0 || i == 3]; s.Mark != want {
			t.Errorf("sample %d: %+v, want the mark %q", i, s, want)
		}
	}
}

// Water with ice in it reads 0 degC for long, which is a sensor's empty register
// as well. It stays a reading when it warms at last.
func TestIceWaterIsNoFault(t *testing.T) {
	n, id := notebookWith(t)
	var messages []Message
	for i := range 40 {
		v := 0
		if i > 20 {
			v = 12
		}
		messages = append(messages, Message{Time: 1000 + float64(i), Text: fmt.Sprintf("water=%d", v)})
	}
	feed(t, &Intake{Notebook: n, Trial: id, Source: "port"}, messages...)
	if marked := kept(t, n, id).Find(trial.Water).Marked(); marked[trial.Good] != 40 {
		t.Errorf("%v", marked)
	}
}

func TestLaterRunGoesOnWithTheSeries(t *testing.T) {
	n, id := notebookWith(t)
	for run := range 2 {
		in := &Intake{Notebook: n, Trial: id, Source: "port"}
		feed(t, in, Message{Time: 1010 + float64(run), Text: "top=20"}, Message{Time: 1010.5 + float64(run), Text: "top=20"})
	}
	got := kept(t, n, id)
	if len(got.Series) != 1 || len(got.Series[0].Samples) != 4 {
		t.Errorf("%+v", got.Series)
	}
}

func TestLinesOfOneReadKeepTheirOrder(t *testing.T) {
	n, id := notebookWith(t)
	feed(t, &Intake{Notebook: n, Trial: id, Source: "port"},
		Message{Time: 1010, Text: "top=20"}, Message{Time: 1010, Text: "top=21"}, Message{Time: 1010, Text: "top=22"})
	s := kept(t, n, id).Find(trial.TopPlate)
	for i, want := range []float64{10, 10.001, 10.002} {
		if math.Abs(s.Samples[i].Time-want) > 1e-9 || s.Samples[i].Mark != trial.Good {
			t.Errorf("%+v", s.Samples[i])
		}
	}
}

// A notebook that takes nothing for a while loses nothing, and the user is told.
func TestSamplesWaitWhileTheNotebookRefuses(t *testing.T) {
	n, id := notebookWith(t)
	refusing, err := notebook.OpenExisting(t.Context(), n.Path())
	if err != nil {
		t.Fatal(err)
	}
	var told []string
	in := &Intake{Notebook: refusing, Trial: id, Source: "port", Clock: NewClock(), Tell: func(text string) { told = append(told, text) }}
	if err := in.open(t.Context()); err != nil {
		t.Fatal(err)
	}
	refusing.Close()
	for i := range 3 {
		in.take(Message{Time: 1010 + float64(i), Text: "top=20"})
		in.pulse(t.Context())
	}
	in.Notebook = n
	in.pulse(t.Context())
	if s := kept(t, n, id).Find(trial.TopPlate); s == nil || len(s.Samples) != 3 {
		t.Errorf("%+v", s)
	}
	text := strings.Join(told, "\n")
	if strings.Count(text, "wait in memory") != 1 || strings.Count(text, "none was lost") != 1 {
		t.Errorf("told %q", text)
	}
}

// A port that comes back by another name gives another series; the stall is
// found over both.
func TestStallIsFoundOverTwoSessions(t *testing.T) {
	n, id := notebookWith(t)
	session := func(port string, from, to int, speed float64) {
		var messages []Message
		for at := from; at < to; at += 10 {
			messages = append(messages, Message{Time: 1000 + float64(at), Text: fmt.Sprintf("speed=%g rpm", speed)})
		}
		feed(t, &Intake{Notebook: n, Trial: id, Source: port, Watch: true}, messages...)
	}
	session("ttyUSB0", 0, 600, 120)
	if got := kept(t, n, id); got.Event(trial.Started) == nil || got.Event(trial.Stalled) != nil {
		t.Errorf("while it runs: %+v", got.Events)
	}
	session("ttyUSB1", 620, 900, 0)
	got := kept(t, n, id)
	if e := got.Event(trial.Stalled); e == nil || e.Time != 605 || len(got.Series) != 2 {
		t.Errorf("%+v, %d series; want a stall between 590 s and 620 s", e, len(got.Series))
	}
}

// Whoever ends a session loses nothing of what had come.
func TestEndKeepsWhatHasCome(t *testing.T) {
	n, id := notebookWith(t)
	messages := make(chan Message, 100)
	for i := range 100 {
		messages <- Message{Time: 1001 + float64(i), Text: "top=20"}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	in := &Intake{Notebook: n, Trial: id, Source: "port", Clock: NewClock()}
	if err := in.open(context.Background()); err != nil {
		t.Fatal(err)
	}
	if err := in.listen(ctx, messages, nil); err != nil {
		t.Fatal(err)
	}
	if s := kept(t, n, id).Find(trial.TopPlate); s == nil || len(s.Samples) != 100 {
		t.Errorf("%+v", s)
	}
}

func TestClockThatIsSetIsToldAndChangesNothing(t *testing.T) {
	n, id := notebookWith(t)
	wall, pace := 1000.0, 0.0
	var told []string
	in := &Intake{Notebook: n, Trial: id, Source: "port", Tell: func(text string) { told = append(told, text) },
		Clock: newClock(func() float64 { return wall }, func() float64 { return pace })}
	if err := in.open(t.Context()); err != nil {
		t.Fatal(err)
	}
	for range 4 {
		pace += 10
		wall += 10
		if pace == 20 {
			wall -= 3600
		}
		in.take(Message{Time: in.Clock.Now(), Text: "top=20"})
		in.pulse(t.Context())
	}
	for i, s := range kept(t, n, id).Find(trial.TopPlate).Samples {
		if want := 10 * float64(i+1); s.Time != want || s.Mark != trial.Good {
			t.Errorf("%+v, want the time %g", s, want)
		}
	}
	if text := strings.Join(told, "\n"); strings.Count(text, "put back by 1 h") != 1 {
		t.Errorf("told %q", text)
	}
}

func TestTrialWithoutStartStartsNow(t *testing.T) {
	n, _ := notebookWith(t)
	id, err := n.CreateTrial(t.Context(), trial.Trial{Kind: trial.Run, Start: math.NaN()})
	if err != nil {
		t.Fatal(err)
	}
	at := 5000.0
	told := feed(t, &Intake{Notebook: n, Trial: id, Source: "port", Clock: fixedClock(&at)}, Message{Time: 5003, Text: "top=20"})
	got := kept(t, n, id)
	if got.Start != 5000 || got.Zone == "" || got.Series[0].Samples[0].Time != 3 || !strings.Contains(told, "no start") {
		t.Errorf("starts at %g in %q, %+v; told %q", got.Start, got.Zone, got.Series, told)
	}
}

// An engine slows down and stops: its pulses stay away, standing still is told
// as speed, and the stall is written with its uncertainty.
func TestStallByPulses(t *testing.T) {
	n, id := notebookWith(t)
	at := 1000.0
	in := &Intake{Notebook: n, Trial: id, Source: "port", Clock: fixedClock(&at), Watch: true,
		Rotors: []Rotor{{Key: "hall", Form: trial.PulseTime, PerRevolution: 1, Tick: 1e-3}}}
	in.Tell = func(string) {}
	lines, done := make(chan Message), make(chan error)
	if err := in.open(t.Context()); err != nil {
		t.Fatal(err)
	}
	for i := range 600 {
		if at += 0.5; at < 1200 {
			in.take(Message{Time: at, Text: fmt.Sprintf("hall=%d", 500*i)})
		}
		in.take(Message{Time: at, Text: "room=22"})
		in.pulse(t.Context())
	}
	close(lines)
	if err := in.finish(t.Context()); err != nil {
		t.Fatal(err)
	}
	close(done)
	got := kept(t, n, id)
	e := got.Event(trial.Stalled)
	if e == nil || e.Source != trial.BySpeed || e.Time < 199.5 || e.Time > 206 || !(e.Uncertainty > 0.1 && e.Uncertainty < 3) {
		t.Errorf("stalled: %+v; want between the last pulse at 199.5 s and standing still, 5 s later", e)
	}
	s := got.Find(trial.Speed)
	if last := s.Samples[len(s.Samples)-1]; last.Value != 0 || math.Abs(s.Samples[10].Value-2) > 1e-9 {
		t.Errorf("speed %+v ... %+v, want 2 /s, and 0 at the end", s.Samples[10], last)
	}
}

func TestStallByDifferenceIsTakenBackWhenItRunsAgain(t *testing.T) {
	n, id := notebookWith(t)
	at := 1000.0
	var told []string
	in := &Intake{Notebook: n, Trial: id, Source: "port", Clock: fixedClock(&at), Watch: true, Stalling: trial.Stalling{Difference: 6, Uncertainty: 0.5},
		Tell: func(text string) { told = append(told, text) }}
	if err := in.open(t.Context()); err != nil {
		t.Fatal(err)
	}
	run := func(seconds int, from, to float64) { // the difference moves evenly
		for i := range seconds / 10 {
			at += 10
			difference := from + (to-from)*float64(i+1)/float64(seconds/10)
			in.take(Message{Time: at, Text: fmt.Sprintf("bottom=2 top=%.3f", 2+difference)})
			in.pulse(t.Context())
		}
	}
	run(1200, 12, 6) // crosses 6 K at 1200 s
	run(200, 6, 5)
	if got := kept(t, n, id); got.Event(trial.Stalled) != nil {
		t.Errorf("written down after 200 s: %+v", got.Events)
	}
	run(400, 5, 3)
	if e := kept(t, n, id).Event(trial.Stalled); e == nil || math.Abs(e.Time-1200) > 10 {
		t.Errorf("after 600 s: %+v, want a stall at about 1200 s", e)
	}
	run(600, 3, 9)
	if e := kept(t, n, id).Event(trial.Stalled); e != nil || !strings.Contains(strings.Join(told, "\n"), "runs again") {
		t.Errorf("not taken back: %+v", e)
	}
	run(1200, 9, 3) // crosses 6 K at 3000 s
	if err := in.finish(t.Context()); err != nil {
		t.Fatal(err)
	}
	if e := kept(t, n, id).Event(trial.Stalled); e == nil || math.Abs(e.Time-3000) > 10 || e.Source != trial.ByDifference {
		t.Errorf("at the end: %+v, want a stall at about 3000 s", e)
	}
}
