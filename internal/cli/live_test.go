package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"log/slog"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	mochi "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/hooks/auth"
	"github.com/mochi-mqtt/server/v2/listeners"

	"meltspan/live"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/trial"
)

// shared is a writer that a test reads while the program writes.
type shared struct {
	mutex sync.Mutex
	b     bytes.Buffer
}

func (w *shared) Write(p []byte) (int, error) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	return w.b.Write(p)
}

func (w *shared) String() string {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	return w.b.String()
}

// session starts a command as at a terminal; end interrupts it as Ctrl-C does
// and returns its exit code.
func startSession(t *testing.T, args ...string) (out, screen *shared, end func() int) {
	t.Helper()
	out, screen = &shared{}, &shared{}
	ctx, cancel := context.WithCancel(context.Background())
	code := make(chan int, 1)
	go func() {
		s := &session{ctx: ctx, in: strings.NewReader(""), out: &output{w: out}, err: screen, terminal: true}
		code <- s.run(args)
	}()
	end = sync.OnceValue(func() int { cancel(); return <-code })
	t.Cleanup(func() { end() })
	return out, screen, end
}

func await(t *testing.T, w *shared, text string) {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); !strings.Contains(w.String(), text); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("waited in vain for %q in %q", text, w.String())
		}
	}
}

func TestSerialPortIntoATrial(t *testing.T) {
	t.Parallel()
	if runtime.GOOS != "linux" {
		t.Skip("needs the pseudo-terminals of Linux")
	}
	device, port, err := pty.Open()
	if err != nil {
		t.Skip("this machine gives no pseudo-terminal: ", err)
	}
	defer device.Close()
	port.Close()
	file := filepath.Join(t.TempDir(), "trials.notebook")
	out, screen, end := startSession(t, "trial", "live", "bench", port.Name(), "--new", "--notebook", file)
	await(t, screen, "Connected to "+port.Name())
	io.WriteString(device, "ottom=9\nbottom=3.25 top=17.9\nbottom=3.26 top=17.8\n")
	await(t, screen, `"top" is taken as top plate`)
	await(t, screen, "4 kept")
	await(t, screen, "bottom plate 3.3 degC | top plate 17.8 degC")
	if code := end(); code != exitDone {
		t.Errorf("exit code %d after Ctrl-C", code)
	}
	if !strings.Contains(out.String(), "Trial 1 (bench): 4 samples") {
		t.Errorf("says %q", out.String())
	}
}

func TestBrokerIntoATrial(t *testing.T) {
	t.Parallel()
	s := mochi.New(&mochi.Options{InlineClient: true, Logger: slog.New(slog.NewTextHandler(io.Discard, nil))})
	login := &auth.Options{Ledger: &auth.Ledger{Auth: auth.AuthRules{{Username: "bench", Password: "ice", Allow: true}}, ACL: auth.ACLRules{{Filters: auth.Filters{"#": auth.ReadWrite}}}}}
	if err := s.AddHook(new(auth.Hook), login); err != nil {
		t.Fatal(err)
	}
	l := listeners.NewTCP(listeners.Config{ID: "bench", Address: "127.0.0.1:0"})
	if err := s.AddListener(l); err != nil {
		t.Fatal(err)
	}
	if err := s.Serve(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	folder := t.TempDir()
	file, login2 := filepath.Join(folder, "trials.notebook"), filepath.Join(folder, "login")
	if err := os.WriteFile(login2, []byte("bench\nwater\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	args := []string{"trial", "live", "bench", "mqtt://" + l.Address(), "--topic", "bench/#", "--new", "--notebook", file, "--credentials", login2, "--json"}
	code, _, complaint := run(t, args...)
	complaint = strings.Join(strings.Fields(complaint), " ") // however lines were broken
	if code != exitFailed || !strings.Contains(complaint, "wrong user name or password") || strings.Contains(complaint, "water") ||
		runtime.GOOS != "windows" && !strings.Contains(complaint, "others may read") {
		t.Errorf("wrong password: exit code %d, %q", code, complaint)
	}
	if err := os.WriteFile(login2, []byte("bench\nice\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	out, screen, end := startSession(t, args...)
	await(t, screen, "Connected to")
	s.Publish("bench/top", []byte("17.9"), false, 0)
	await(t, screen, "1 kept")
	if code := end(); code != exitDone {
		t.Errorf("exit code %d", code)
	}
	var a liveAnswer
	if err := json.Unmarshal([]byte(out.String()), &a); err != nil || a.Kept != 1 || a.Series[0].Source != "mqtt://"+l.Address()+", bench/top" {
		t.Errorf("%v, %+v", err, a)
	}
}

// spinning writes pictures of a bar that turns until a picture, one every 30 s
// from 2026-01-17 09:30 on.
func spinning(t *testing.T, folder string, n, stop int) {
	t.Helper()
	r := rand.New(rand.NewPCG(5, 6))
	angle := 0.3
	for i := range n {
		p := image.NewGray(image.Rect(0, 0, 96, 72))
		for y := range 72 {
			for x := range 96 {
				v := 100 + 30*math.Sin(float64(x)/4)*math.Cos(float64(y)/5) + 2*r.NormFloat64()
				dx, dy := float64(x)-48, float64(y)-36
				along, across := dx*math.Cos(angle)+dy*math.Sin(angle), dy*math.Cos(angle)-dx*math.Sin(angle)
				if along > -2 && along < 13 && math.Abs(across) < 3 {
					v += 80
				}
				p.SetGray(x, y, color.Gray{uint8(v)})
			}
		}
		if i < stop {
			angle += 2*math.Pi*0.37 + 0.5*r.Float64()
		}
		f, err := os.Create(filepath.Join(folder, fmt.Sprintf("20260117_%02d%02d%02d.png", 9, 30+i/2, 30*(i%2))))
		if err != nil {
			t.Fatal(err)
		}
		if err := png.Encode(f, p); err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
}

func TestPicturesGiveTheStall(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	pictures, file, marked := filepath.Join(folder, "pictures"), filepath.Join(folder, "trials.notebook"), filepath.Join(folder, "marked.png")
	if err := os.Mkdir(pictures, 0o755); err != nil {
		t.Fatal(err)
	}
	spinning(t, pictures, 40, 26)
	n, err := notebook.Open(t.Context(), file)
	if err != nil {
		t.Fatal(err)
	}
	defer n.Close()
	start := time.Date(2026, 1, 17, 9, 20, 0, 0, time.UTC)
	for range 2 {
		if _, err := n.CreateTrial(t.Context(), trial.Trial{Kind: trial.Run, Start: float64(start.Unix()), Zone: "UTC"}); err != nil {
			t.Fatal(err)
		}
	}
	const region = "34,22,28,28"
	code, out, complaint := run(t, "trial", "frames", "1", pictures, "--notebook", file, "--region", region, "--show", marked)
	if code != exitDone || !strings.Contains(out, "stopped between 2026-01-17 09:42:30 and 2026-01-17 09:43:00") ||
		!strings.Contains(out, "Times are the names of the files") || !strings.Contains(out, "Written into trial 1") {
		t.Errorf("exit code %d, %s%s", code, out, complaint)
	}
	got, err := n.Trial(t.Context(), 1)
	if err != nil {
		t.Fatal(err)
	}
	// Between picture 25 and 26: 22 min 30 s to 23 min after the start.
	if e := got.Event(trial.Stalled); e == nil || math.Abs(e.Time-1365) > 20 || e.Uncertainty < 8 || e.Source != byPictures {
		t.Errorf("%+v", e)
	}
	if data, err := os.ReadFile(marked); err != nil {
		t.Error(err)
	} else if p, err := png.Decode(bytes.NewReader(data)); err != nil || p.Bounds().Dx() != 96 {
		t.Errorf("the marked picture: %v", err)
	}
	// Marked once; a camera whose clock is ahead.
	code, out, complaint = run(t, "trial", "frames", "1", pictures, "--notebook", file, "--camera-ahead", "5 min", "--json")
	var a framesAnswer
	if err := json.Unmarshal([]byte(out), &a); err != nil || code != exitDone || !a.Written || a.From != 1050 || a.Region != (live.Region{X: 34, Y: 22, Width: 28, Height: 28}) {
		t.Errorf("exit code %d, %v, %s%s", code, err, out, complaint)
	}
	if got, err = n.Trial(t.Context(), 1); err != nil || len(got.Events) != 1 {
		t.Errorf("%+v: the second finding must replace the first", got.Events)
	}
	// A stall by speed stands.
	if err := n.AddEvent(t.Context(), 2, trial.Event{Kind: trial.Stalled, Time: 1370, Uncertainty: 1, Source: trial.BySpeed}); err != nil {
		t.Fatal(err)
	}
	code, out, _ = run(t, "trial", "frames", "2", pictures, "--notebook", file, "--region", region)
	if code != exitDone || !strings.Contains(out, "Not written: the trial has its stall by speed") {
		t.Errorf("exit code %d, %s", code, out)
	}
	if code, _, complaint = run(t, "trial", "frames", "1", pictures, "--notebook", file, "--region", "90,60,28,28"); code != exitBadInput {
		t.Errorf("a region outside: exit code %d, %s", code, complaint)
	}
}

func TestMoments(t *testing.T) {
	t.Parallel()
	start := time.Date(2026, 1, 17, 22, 30, 20, 0, time.UTC)
	t0 := &trial.Trial{Start: float64(start.Unix()), Zone: "+01:00"} // 23:30:20 there
	now := start.Add(20 * time.Hour)
	for text, want := range map[string]float64{
		"now": 72000, "1 h 20 min": 4800, "+90 s": 90, "23:40": 580, "23:30": 0, "00:10:20": 2400, "2026-01-18 01:30:20": 7200,
		"2026-01-17T23:30:20Z": 3600, "14:00": 52180,
	} {
		if got, err := moment(text, t0, now); err != nil || got != want {
			t.Errorf("%s: %g s, %v; want %g", text, got, err, want)
		}
	}
	for _, text := range []string{"", "noon", "25:00", "23:20", "2026-13-01 10:00"} {
		if got, err := moment(text, t0, now); err == nil {
			t.Errorf("%q gave %g s", text, got)
		}
	}
	if _, err := moment("23:40", &trial.Trial{Start: math.NaN()}, now); err == nil {
		t.Error("a time of day passed without a start")
	}
}

func TestStatusLineFitsATerminal(t *testing.T) {
	t.Parallel()
	status := live.Status{Age: 0.4, Rate: 1, Kept: 1234, Losses: 1, Bad: 2}
	for range 6 {
		status.Values = append(status.Values, live.Value{Name: "bottom plate", Quantity: trial.BottomPlate, SI: 276.4})
	}
	line := statusLine(status, quantity.Display{})
	if want := "0.4 s ago, 1.0/s, 1234 kept, 1 gap, 2 unread | bottom plate 3.2 degC | "; len(line) != 79 || !strings.HasPrefix(line, want) {
		t.Errorf("%d columns: %q", len(line), line)
	}
	if line := statusLine(live.Status{Age: math.NaN(), Away: true}, quantity.Display{}); line != "AWAY, nothing heard yet, 0.0/s, 0 kept" {
		t.Errorf("%q", line)
	}
}
