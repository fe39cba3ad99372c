package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"
	"syscall"
	"testing"

	"meltspan/predict"
	"meltspan/report"
)

func TestPredictJSONReadsBack(t *testing.T) {
	t.Parallel()
	code, out, errOut := run(t, "predict", "demo", "--samples", "20", "--json")
	if code != exitDone || errOut != "" {
		t.Fatalf("exit code %d, %s", code, errOut)
	}
	var a predict.Answer
	if err := report.ReadJSON([]byte(out), &a); err != nil {
		t.Fatal(err)
	}
	if a.Design != "school bench" || a.Band.Samples != 20 || !(a.Band.Median > 0) || len(a.Nominal.Channels) == 0 {
		t.Errorf("read back design %q, band %+v, %d channels", a.Design, a.Band, len(a.Nominal.Channels))
	}
}

func TestCompareWithItselfHasRatioOne(t *testing.T) {
	t.Parallel()
	code, out, errOut := run(t, "compare", "demo", "demo", "--samples", "50", "--json")
	if code != exitDone {
		t.Fatalf("exit code %d, %s", code, errOut)
	}
	var c predict.Comparison
	if err := report.ReadJSON([]byte(out), &c); err != nil {
		t.Fatal(err)
	}
	if c.NominalA != c.NominalB {
		t.Errorf("nominal run times %g s and %g s of the same design", c.NominalA, c.NominalB)
	}
	// The two trials of the one design still differ in weighing and room, so
	// the median is 1 only within the noise of 50 samples.
	if c.Ratio.Median < 0.97 || c.Ratio.Median > 1.03 {
		t.Errorf("median ratio %g of the same design, want 1", c.Ratio.Median)
	}
}

func TestSameSeedSameBytes(t *testing.T) {
	t.Parallel()
	_, first, _ := run(t, "predict", "demo", "--samples", "20")
	_, again, _ := run(t, "predict", "demo", "--samples", "20")
	if first != again || first == "" {
		t.Error("two runs with the same seed print different answers")
	}
}

// failing is a writer that always fails.
type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestReaderThatHasEnoughIsNoError(t *testing.T) {
	t.Parallel()
	var errOut strings.Builder
	code := Run(t.Context(), []string{"materials"}, nil, failing{syscall.EPIPE}, &errOut)
	if code != exitDone || errOut.String() != "" {
		t.Errorf("exit code %d, %q", code, errOut.String())
	}
}

func TestOutputThatFailsIsToldAndExitsOne(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{{}, {"help"}, {"check", "demo"}, {"predict", "demo", "--samples", "20"}, {"schema"}} {
		var errOut strings.Builder
		code := Run(t.Context(), args, nil, failing{errors.New("disk full")}, &errOut)
		if want := "meltspan: cannot write the output: disk full\n"; code != exitFailed || errOut.String() != want {
			t.Errorf("%v: exit code %d, %q", args, code, errOut.String())
		}
	}
}

func TestInterruptBeforeTheFirstRun(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	endless, _ := io.Pipe() // the design never comes
	var out, errOut strings.Builder
	code := Run(ctx, []string{"predict", "-"}, endless, &out, &errOut)
	if code != exitInterrupted || out.String() != "" || !strings.Contains(errOut.String(), "nothing was computed") {
		t.Errorf("exit code %d, %q, %q", code, out.String(), errOut.String())
	}
}

// impatient is a terminal whose user interrupts once there is progress.
type impatient struct {
	shown     bytes.Buffer
	interrupt func()
}

func (i *impatient) Write(p []byte) (int, error) {
	if strings.Contains(string(p), "run ") {
		i.interrupt()
	}
	return i.shown.Write(p)
}

func TestInterruptKeepsWhatWasComputed(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	var out strings.Builder
	screen := &impatient{interrupt: cancel}
	s := &session{ctx: ctx, out: &output{w: &out}, err: screen, terminal: true}
	code := s.run([]string{"predict", "demo", "--samples", "20000", "--json"})
	var a predict.Answer
	if err := report.ReadJSON([]byte(out.String()), &a); err != nil {
		t.Fatal(err)
	}
	if code != exitInterrupted || a.Band.Samples == 0 || a.Band.Samples >= 20000 || a.Band.Asked != 20000 {
		t.Errorf("exit code %d, %d samples of %d", code, a.Band.Samples, a.Band.Asked)
	}
	screenText := strings.Join(strings.Fields(screen.shown.String()), " ")
	if want := fmt.Sprintf("interrupted: the band rests on %d of 20000 samples", a.Band.Samples); !strings.Contains(screenText, want) {
		t.Errorf("the screen shows %q", screenText)
	}
}

func TestInterruptedSaysWhatTheBandRestsOn(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		samples int
		want    string
	}{
		{0, "interrupted before the first sample was done"},
		{19, "19 of 1000 samples only, too few"},
		{20, "rests on 20 of 1000 samples"},
	} {
		var f *fault
		err := interrupted(context.Canceled, predict.Band{Samples: c.samples, Asked: 1000})
		if !errors.As(err, &f) || f.code != exitInterrupted || !strings.Contains(f.what, c.want) {
			t.Errorf("%d samples: %v", c.samples, err)
		}
	}
}

func TestVersionNamesTheRevision(t *testing.T) {
	t.Parallel()
	info := &debug.BuildInfo{
		Main:     debug.Module{Version: "v1.2.3"},
		Settings: []debug.BuildSetting{{Key: "vcs.revision", Value: "0123abcd"}, {Key: "vcs.modified", Value: "true"}},
	}
	if text := versionText(info); !strings.HasPrefix(text, "meltspan v1.2.3\nsource revision 0123abcd, changed since\nbuilt with go") {
		t.Error(text)
	}
	if text := versionText(nil); !strings.HasPrefix(text, "meltspan unknown\nbuilt with go") {
		t.Error(text)
	}
}
