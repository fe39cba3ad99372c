package live

import (
	"context"
	"math"
	"time"

	"meltspan/quantity"
	"meltspan/trial"
)

// A stall is written down once it has lasted: a difference falls and rises
// again about the stall of an engine that is touched, and a sensor of pulses
// may be pushed aside.
const (
	holdSpeed      = 60.0  // s
	holdDifference = 300.0 // s
	lookEvery      = 10.0  // s
)

// stallWatch remembers what was found.
type stallWatch struct {
	looked  float64
	written *trial.Event
}

func wait(d time.Duration) string { return quantity.FormatDuration(math.Ceil(d.Seconds())) }

// detect looks at all that is known of the trial.
func (in *Intake) detect() trial.Detection {
	whole := trial.Trial{}
	for _, c := range in.order {
		s := *c.all
		s.Samples = append(in.earlier(&s), s.Samples...)
		whole.Series = append(whole.Series, s)
	}
	for i := range in.known.Series {
		if s := &in.known.Series[i]; whole.Find(s.Quantity) == nil {
			whole.Series = append(whole.Series, *s)
		}
	}
	return whole.Detect(in.Stalling)
}

// earlier are the samples of other series of the same quantity and place, from
// before this one began: a port may have another name after it was unplugged.
func (in *Intake) earlier(s *trial.Series) []trial.Sample {
	var out []trial.Sample
	for i := range in.known.Series {
		x := &in.known.Series[i]
		if x.Quantity != s.Quantity || x.Place != s.Place || x.Source == s.Source || len(x.Samples) == 0 || len(s.Samples) == 0 {
			continue
		}
		if x.Samples[len(x.Samples)-1].Time < s.Samples[0].Time && (len(out) == 0 || out[len(out)-1].Time < x.Samples[0].Time) {
			out = append(out, x.Samples...)
		}
	}
	return out
}

// watch looks for the stall now and then, writes it down once it has lasted,
// and takes it back when the load runs again.
func (in *Intake) watch(ctx context.Context, now float64) {
	if !in.Watch || now-in.stall.looked < lookEvery {
		return
	}
	in.stall.looked = now
	d := in.detect()
	switch {
	case d.Outcome == trial.HasStalled && now-d.Stall.Time >= hold(d.Stall.Source):
		in.writeStall(ctx, d)
	case d.Outcome == trial.StillRunning && in.stall.written != nil:
		if in.replace(ctx, d.Start) {
			in.stall.written, in.status.Stalled = nil, nil
			in.say("It runs again; the stall was taken back.")
		}
	}
}

func hold(source string) float64 {
	if source == trial.BySpeed {
		return holdSpeed
	}
	return holdDifference
}

// settle looks once more at the end, when nothing more will come.
func (in *Intake) settle(ctx context.Context) {
	if !in.Watch {
		return
	}
	switch d := in.detect(); d.Outcome {
	case trial.HasStalled:
		in.writeStall(ctx, d)
	case trial.StillRunning:
		in.replace(ctx, d.Start)
	}
}

func (in *Intake) writeStall(ctx context.Context, d trial.Detection) {
	e := *d.Stall
	if w := in.stall.written; w != nil && *w == e || !in.replace(ctx, d.Start, d.Stall) {
		return
	}
	if in.stall.written == nil {
		in.say("Stalled at %s, +- %s, by %s.", quantity.FormatDuration(e.Time), quantity.FormatDuration(math.Ceil(e.Uncertainty)), e.Source)
	}
	in.stall.written, in.status.Stalled = &e, &e
}

// replace puts what was detected in the place of what was detected before, and
// reports whether the notebook took it.
func (in *Intake) replace(ctx context.Context, found ...*trial.Event) bool {
	var events []trial.Event
	for _, e := range found {
		if e != nil {
			events = append(events, *e)
		}
	}
	err := in.Notebook.ReplaceEvents(ctx, in.Trial, []string{trial.BySpeed, trial.ByDifference}, events...)
	if err != nil {
		in.say("What was detected could not be written down: %v.", err)
	}
	return err == nil
}
