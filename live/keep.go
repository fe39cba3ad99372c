package live

import (
	"context"
	"math"
	"strings"
	"time"

	"meltspan/notebook"
	"meltspan/trial"
)

// deadAfter is the silence of a source, s, after which a sensor of pulses on it
// proves nothing by its own silence.
const deadAfter = 5

// keep writes what waits, in one transaction. What the notebook refuses stays
// in memory and is tried again.
func (in *Intake) keep(ctx context.Context) error {
	err := in.write(ctx)
	switch {
	case err != nil && !in.trouble:
		in.trouble = true
		in.say("The notebook takes nothing at the moment; samples wait in memory: %v.", err)
	case err == nil && in.trouble:
		in.trouble = false
		in.say("The notebook takes samples again; none was lost.")
	}
	return err
}

func (in *Intake) write(ctx context.Context) error {
	if in.begins && len(in.pending) > 0 {
		if err := in.begin(ctx); err != nil {
			return err
		}
	}
	var batches []notebook.Batch
	place := map[*channel]int{}
	for _, w := range in.pending {
		if w.channel.series == 0 {
			series := *w.channel.all
			series.Samples = nil // they wait here
			id, err := in.Notebook.OpenSeries(ctx, in.Trial, series)
			if err != nil {
				return err
			}
			w.channel.series = id
		}
		i, ok := place[w.channel]
		if !ok {
			i = len(batches)
			place[w.channel] = i
			batches = append(batches, notebook.Batch{Series: w.channel.series})
		}
		batches[i].Samples = append(batches[i].Samples, w.sample)
	}
	if len(batches) > 0 {
		if err := in.Notebook.AppendAll(ctx, batches); err != nil {
			return err
		}
		in.status.Kept += len(in.pending)
		in.pending = in.pending[:0]
		if in.Kept != nil {
			in.Kept(in.status.Kept)
		}
	}
	for len(in.remarks) > 0 {
		r := in.remarks[0]
		if err := in.Notebook.Mark(ctx, r.channel.series, r.number, r.number+1, r.mark); err != nil {
			return err
		}
		in.remarks = in.remarks[1:]
	}
	return nil
}

// pulse is what happens once a second, messages or none.
func (in *Intake) pulse(ctx context.Context) {
	now := in.now()
	for _, c := range in.order {
		if c.pulses != nil && in.alive() && c.pulses.Quiet(now) {
			in.sample(c, trial.Sample{Time: now, Value: 0})
		}
	}
	if by := in.Clock.Shift(); by != 0 {
		way := "forward"
		if by < 0 {
			way = "back"
		}
		in.say("The computer's clock was put %s by %s; samples go on by a steady clock.", way, wait(time.Duration(math.Abs(by)*1e9)))
	}
	in.keep(ctx) // what fails is told and tried again
	in.watch(ctx, now)
	in.status.Rate *= math.Exp(-beat.Seconds() / rateWindow)
	in.show()
}

// alive reports whether the silence of one sensor means anything: the
// connection stands, and other sensors on it, if any, are heard.
func (in *Intake) alive() bool {
	if in.status.Away {
		return false
	}
	for _, c := range in.order {
		if c.pulses == nil {
			return in.Clock.Now()-in.lastHeard <= deadAfter
		}
	}
	return true
}

// rateWindow is over which the rate is averaged, s.
const rateWindow = 10.0

func (in *Intake) show() {
	if in.Show == nil {
		return
	}
	in.status.Waiting, in.status.Age = len(in.pending), in.Clock.Now()-in.lastHeard
	in.status.Values = in.status.Values[:0]
	for _, c := range in.order {
		if n := len(c.recent); n > 0 {
			last := c.recent[n-1]
			in.status.Values = append(in.status.Values, Value{c.name(), c.column.Quantity, last.Value, last.Mark, last.Time})
		}
	}
	in.Show(in.status)
}

// changed tells of the connection.
func (in *Intake) changed(c Change) {
	switch {
	case c.Up && c.First:
		in.say("Connected to %s.", in.Source)
	case c.Up:
		in.say("Connected again after %s.", wait(c.After))
	case !in.status.Away && in.status.Kept > 0:
		in.status.Losses++
		in.say("%s; trying again.", sentence(c.Cause))
	default:
		in.say("%s; still trying.", sentence(c.Cause))
	}
	in.status.Away = !c.Up
}

func sentence(err error) string {
	text := err.Error()
	return strings.ToUpper(text[:1]) + text[1:]
}
